using Trace.Core.Science;
using Trace.Core.Time;

namespace Trace.Web.Import;

/// <summary>The scale a logger writes in. What leaves the reader is always °C.</summary>
public enum TemperatureUnit
{
    Celsius,
    Fahrenheit,
}

/// <summary>Which comes first in dates such as 03/04/2026. Never guessed: it turns a run by a month.</summary>
public enum DateOrder
{
    DayFirst,
    MonthFirst,
}

/// <summary>Of times that count from the start of the record.</summary>
public enum ElapsedUnit
{
    Seconds,
    Minutes,
}

/// <summary>
/// What the person says of a logger's file. Whatever is left out must be plain from the file itself, or the file is refused.
/// </summary>
/// <param name="Zone">For times without an offset.</param>
/// <param name="IsZoneTold">The person named the zone; otherwise it is the site's, and a zone in the file's heading goes before it.</param>
/// <param name="Column">The one temperature column that counts: its heading, or its number from 1. Null: all of them, the coldest
/// counts.</param>
/// <param name="TimeColumn">The column of times, likewise, when there are several.</param>
/// <param name="Start">The instant at which elapsed time is zero.</param>
public sealed record LoggerOptions(
    SiteZone Zone, bool IsZoneTold = false, TemperatureUnit? Unit = null, string? Column = null, string? TimeColumn = null,
    DateOrder? Order = null, DateTimeOffset? Start = null, ElapsedUnit? Elapsed = null);

/// <summary>One line of the file: an instant, and the temperature of each probe that counts.</summary>
/// <param name="Line">In the file, from 1.</param>
/// <param name="Celsius">At least one, in the order of the columns, °C.</param>
public sealed record LoggerReading(int Line, DateTimeOffset At, IReadOnlyList<double> Celsius)
{
    /// <summary>What counts when larvae are heated: the probe that is behind the others.</summary>
    public double Coldest => Celsius.Min();
}

/// <summary>A logger's file as it was read.</summary>
/// <param name="Readings">At least one, in order of time, none left out.</param>
/// <param name="Detected">How the file was understood, in words for the person who has to agree.</param>
public sealed record LoggerRecord(IReadOnlyList<LoggerReading> Readings, IReadOnlyList<string> Detected)
{
    /// <summary>As a sanitising run takes them: the coldest probe at each time.</summary>
    public IReadOnlyList<CoreReading> Coldest => [.. Readings.Select(reading => new CoreReading(reading.At, reading.Coldest))];
}
