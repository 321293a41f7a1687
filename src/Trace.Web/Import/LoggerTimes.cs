using System.Globalization;
using System.Text.RegularExpressions;
using Trace.Core.Time;

namespace Trace.Web.Import;

/// <summary>The instants of a file's lines. A date that can be read two ways, or a wall-clock time that came twice, is refused.</summary>
internal sealed partial class LoggerTimes(LoggerLayout layout, TimeColumns columns, LoggerOptions options, LoggerProblems problems)
{
    /// <summary>How the times were understood.</summary>
    public string Words { get; private set; } = "";

    /// <summary>One instant a row; what cannot be read is among the problems.</summary>
    public IReadOnlyList<DateTimeOffset> Read() =>
        columns.Shape is TimeShape.ElapsedNumber or TimeShape.ElapsedClock ? Elapsed() : WallClock();

    private List<DateTimeOffset> Elapsed()
    {
        if (options.Start is not { } start)
        {
            problems.Ask("start", $"{layout.Name(columns.Column)} counts from the start of the record. Say when that was.");
            return [];
        }

        var seconds = 1.0;
        var unit = "hours, minutes and seconds";
        if (columns.Shape == TimeShape.ElapsedNumber)
        {
            if (UnitOfElapsed() is not { } told) return [];
            (seconds, unit) = told == ElapsedUnit.Seconds ? (1, "seconds") : (60, "minutes");
        }

        Words = $"{unit} since {Iso(start)}";
        var read = new List<DateTimeOffset>();
        foreach (var row in layout.Rows)
        {
            var field = row.At(columns.Column);
            var (since, wrong) = Since(field, seconds);
            if (wrong is not null) problems.At(row.Line, $"time {LoggerProblems.Quoted(field)}: {wrong}");
            else read.Add(start + since);
        }

        return read;
    }

    private (TimeSpan Since, string? Wrong) Since(string field, double seconds)
    {
        if (columns.Shape == TimeShape.ElapsedClock)
            return LoggerClock.ElapsedOf(field) is { } clock ? (clock, null) : (default, "hours, minutes and seconds such as 00:12:30 are wanted.");
        if (!LoggerCell.TryNumber(field, out var value, out var problem)) return (default, problem);
        return value >= 0 && value * seconds <= 86_400
            ? (TimeSpan.FromTicks((long)Math.Round(value * seconds * TimeSpan.TicksPerSecond)), null)
            : (default, "from 0 to 24 hours since the start are wanted. A count from 1970 or 1900 is no elapsed time: export dates.");
    }

    private ElapsedUnit? UnitOfElapsed()
    {
        var heading = layout.Heading(columns.Column);
        var (isSeconds, isMinutes) = (SecondsHeading().IsMatch(heading), MinutesHeading().IsMatch(heading));
        ElapsedUnit? found = isSeconds == isMinutes ? null : isSeconds ? ElapsedUnit.Seconds : ElapsedUnit.Minutes;
        if (found is not null && options.Elapsed is { } told && told != found)
            problems.Ask("elapsed", $"The heading {LoggerProblems.Quoted(heading)} says {found.ToString()!.ToLowerInvariant()}, and {told.ToString().ToLowerInvariant()} was told.");
        else if ((found ?? options.Elapsed) is { } unit) return unit;
        else problems.Ask("elapsed", $"The file does not say whether {layout.Name(columns.Column)} counts seconds or minutes. Say which.");
        return null;
    }

    private List<DateTimeOffset> WallClock()
    {
        if (options.Start is not null)
        {
            problems.Ask("start", "The file has times of its own, so no start is wanted. Leave it out.");
            return [];
        }

        var dates = layout.Rows.Select(row => LoggerClock.DateOf(row.At(columns.Column))).ToList();
        if (Order(dates) is not { } order) return [];
        var inHeading = LoggerClock.OffsetInHeading($"{layout.Heading(columns.Column)} {layout.Heading(columns.Beside)}");
        if (inHeading is not null && options.IsZoneTold)
        {
            problems.Ask("zone", $"The heading names a zone itself, and {options.Zone.Id} was told. Leave 'zone' out if the heading is right.");
            return [];
        }

        bool? haveOffsets = null;
        var read = new List<DateTimeOffset>();
        foreach (var (place, row) in layout.Rows.Index())
        {
            var told = columns.Shape == TimeShape.DateAndTime ? row.At(columns.Column) : $"{row.At(columns.Column)} {row.At(columns.Beside)}".Trim();
            var time = LoggerClock.TimeOf(row.At(columns.Beside));
            if (dates[place] is not { } parts || time is not { } clock || DayOf(parts, order) is not { } day)
            {
                problems.At(row.Line, $"{LoggerProblems.Quoted(told)} is no date and time{(order == DateOrder.MonthFirst ? " with the month first" : "")}.");
                continue;
            }

            haveOffsets ??= clock.Offset is not null;
            if (haveOffsets != clock.Offset is not null)
                problems.At(row.Line, $"{LoggerProblems.Quoted(told)} {(haveOffsets.Value ? "has no offset, as the lines before it have" : "has an offset, as the lines before it have not")}. Export all times alike.");
            else if (Instant(day + clock.OfDay, clock.Offset ?? inHeading, options.Zone, out var at) is { } wrong)
                problems.At(row.Line, wrong);
            else
                read.Add(at);
        }

        Words = $"{OrderWords(dates, order)}{(haveOffsets == true ? "with their own offsets" : inHeading is { } offset ? $"offset {OffsetWord(offset)} by the heading" : $"clock of {options.Zone.Id}")}";
        return read;
    }

    /// <summary>Told, or shown by a number above 12 somewhere in the file.</summary>
    private DateOrder? Order(List<DateParts?> dates)
    {
        var open = dates.Index().Where(date => date.Item is { IsOpen: true })
            .Select(date => (layout.Rows[date.Index].Line, Date: date.Item!.Value)).ToList();
        if (open.Count == 0) return options.Order ?? DateOrder.DayFirst;
        if (options.Order is { } told) return told;
        var sure = open.Where(one => one.Date.IsYearWhole).ToList();
        var (dayFirst, monthFirst) = (sure.Find(one => one.Date.First > 12), sure.Find(one => one.Date.Second > 12));
        if (dayFirst.Line > 0 && monthFirst.Line > 0)
        {
            problems.At(monthFirst.Line, $"the month stands in another place than in line {dayFirst.Line}. Export all dates alike.");
            return null;
        }

        if (dayFirst.Line > 0) return DateOrder.DayFirst;
        if (monthFirst.Line > 0) return DateOrder.MonthFirst;
        problems.Ask("order", $"line {open[0].Line}: {LoggerProblems.Quoted(layout.Rows.First(row => row.Line == open[0].Line).At(columns.Column))} can be read in two ways. Say whether the day or the month comes first.");
        return null;
    }

    internal static DateTime? DayOf(DateParts parts, DateOrder order)
    {
        var (year, month, day) = parts switch
        {
            { IsYearFirst: true, Month: 0 } => (parts.First, parts.Second, parts.Third),
            { IsYearFirst: true } => (parts.First, parts.Month, parts.Third),
            { Month: > 0 } => (parts.Third, parts.Month, parts.First),
            _ when order == DateOrder.DayFirst => (parts.Third, parts.Second, parts.First),
            _ => (parts.Third, parts.First, parts.Second),
        };
        if (!parts.IsYearFirst && !parts.IsYearWhole) year += 2000;
        return year is >= 2000 and <= 2200 && month is >= 1 and <= 12 && day >= 1 && day <= DateTime.DaysInMonth(year, month)
            ? new DateTime(year, month, day)
            : null;
    }

    /// <returns>What is wrong, or null.</returns>
    internal static string? Instant(DateTime wall, TimeSpan? offset, SiteZone zone, out DateTimeOffset at)
    {
        at = default;
        var rules = TimeZoneInfo.FindSystemTimeZoneById(zone.Id);
        if (offset is { } told) at = new DateTimeOffset(wall, told);
        else if (rules.IsInvalidTime(wall)) return $"the clocks of {zone.Id} were put forward past {wall:HH:mm:ss} that day: there was no such time. Is the logger's clock in another zone?";
        else if (rules.IsAmbiguousTime(wall)) return $"{wall:HH:mm:ss} came twice that night in {zone.Id}. Export times with their offset, or in UTC.";
        else at = new DateTimeOffset(wall, rules.GetUtcOffset(wall));
        return null;
    }

    private static string OrderWords(List<DateParts?> dates, DateOrder order) =>
        dates.Exists(date => date is { IsOpen: true }) ? order == DateOrder.DayFirst ? "day before month, " : "month before day, " : "";

    internal static string Iso(DateTimeOffset time) => time.ToString("yyyy-MM-dd'T'HH:mm:ss.FFFFFFFzzz", CultureInfo.InvariantCulture);

    private static string OffsetWord(TimeSpan offset) =>
        new DateTimeOffset(2000, 1, 1, 0, 0, 0, offset).ToString("zzz", CultureInfo.InvariantCulture);

    [GeneratedRegex(@"\b(?:s|sec|secs|seconds?|sek|sekunden?)\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex SecondsHeading();

    [GeneratedRegex(@"\b(?:min|mins|minutes?|minuten?)\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex MinutesHeading();
}
