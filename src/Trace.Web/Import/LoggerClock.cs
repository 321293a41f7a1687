using System.Globalization;
using System.Text.RegularExpressions;

namespace Trace.Web.Import;

/// <summary>A date as it stands in the file; which number is the day may be open.</summary>
/// <param name="Month">By its name; 0 when it is a number.</param>
internal readonly record struct DateParts(int First, int Second, int Third, int Month, bool IsYearFirst, bool IsYearWhole)
{
    /// <summary>Whether the two ways to read it make two days.</summary>
    public bool IsOpen => !IsYearFirst && Month == 0 && (First != Second || !IsYearWhole);
}

/// <param name="Offset">As it stands behind the time; null when none does.</param>
internal readonly record struct TimeParts(TimeSpan OfDay, TimeSpan? Offset);

/// <summary>Takes dates and times of loggers apart. Says nothing about zones.</summary>
internal static partial class LoggerClock
{
    private const string DateForm =
        @"(?:(?<a>\d{1,4})(?<sep>[./ -])(?<b>\d{1,2}|[A-Za-z]{3,9}\.?)\k<sep>(?<c>\d{1,4})|(?<mon>[A-Za-z]{3,9})\.?\s+(?<day>\d{1,2}),?\s+(?<year>\d{4}))\.?";

    private const string TimeForm =
        @"(?<h>\d{1,2}):(?<m>\d{2})(?::(?<s>\d{2})(?:[.,](?<f>\d{1,7})\d*)?)?\s*(?<ap>[ap]\.?m\.?)?\s*(?<o>Z|UTC|GMT|[+-]\d{2}(?::?\d{2})?)?";

    private static readonly string[] Months = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

    public static bool IsDateAndTime(string field) => DateAndTime().IsMatch(field);

    public static bool IsDate(string field) => Date().IsMatch(field);

    public static bool IsTime(string field) => Time().IsMatch(field);

    /// <summary>Of a date, or of a date with a time behind it.</summary>
    public static DateParts? DateOf(string field)
    {
        var found = DateAndTime().Match(field) is { Success: true } both ? both : Date().Match(field);
        if (!found.Success) return null;
        if (found.Groups["mon"].Success)
        {
            return MonthOf(found.Groups["mon"].Value) is { } named
                ? new(Number(found, "day"), Number(found, "day"), Number(found, "year"), named, false, true)
                : null;
        }

        var (a, b, c) = (found.Groups["a"].Value, found.Groups["b"].Value, found.Groups["c"].Value);
        var month = char.IsLetter(b[0]) ? MonthOf(b) : 0;
        if (month is null || a.Length == 3 || c.Length == 3 || (a.Length == 4 && c.Length == 4)) return null;
        return new(Number(found, "a"), month > 0 ? 0 : Number(found, "b"), Number(found, "c"), month.Value, a.Length == 4, c.Length == 4);
    }

    /// <summary>Of a time, or of a time behind a date. Null when there is no such time of day.</summary>
    public static TimeParts? TimeOf(string field)
    {
        var found = DateAndTime().Match(field) is { Success: true } both ? both : Time().Match(field);
        if (!found.Success) return null;
        var (hour, minute, second) = (Number(found, "h"), Number(found, "m"), found.Groups["s"].Success ? Number(found, "s") : 0);
        if (found.Groups["ap"] is { Success: true } half)
        {
            if (hour is < 1 or > 12) return null;
            hour = hour % 12 + (half.Value[0] is 'p' or 'P' ? 12 : 0);
        }

        var offset = OffsetOf(found.Groups["o"].Value);
        if (hour > 23 || minute > 59 || second > 59 || (found.Groups["o"].Success && offset is null)) return null;
        var fraction = found.Groups["f"] is { Success: true } part
            ? long.Parse(part.Value.PadRight(7, '0'), CultureInfo.InvariantCulture)
            : 0;
        return new(new TimeSpan(hour, minute, second) + TimeSpan.FromTicks(fraction), offset);
    }

    /// <summary>Time since the start, written as hours, minutes and seconds; more than a day is no run.</summary>
    public static TimeSpan? ElapsedOf(string field) => TimeOf(field) is { Offset: null } time ? time.OfDay : null;

    /// <summary>An offset that a heading names, such as <c>GMT+03:00</c> or <c>UTC</c>.</summary>
    public static TimeSpan? OffsetInHeading(string heading) =>
        HeadingZone().Match(heading) is { Success: true } found ? OffsetOf(found.Groups["o"].Value) ?? TimeSpan.Zero : null;

    private static TimeSpan? OffsetOf(string text)
    {
        if (text.Length == 0) return null;
        if (char.IsLetter(text[0])) return TimeSpan.Zero;
        var digits = text[1..].Replace(":", "", StringComparison.Ordinal);
        var hours = int.Parse(digits.Length < 3 ? digits : digits[..^2], CultureInfo.InvariantCulture);
        var minutes = digits.Length < 3 ? 0 : int.Parse(digits[^2..], CultureInfo.InvariantCulture);
        if (hours > 14 || minutes > 59) return null;
        var offset = new TimeSpan(hours, minutes, 0);
        return text[0] == '-' ? -offset : offset;
    }

    private static int? MonthOf(string name) =>
        Array.IndexOf(Months, name[..3].ToLowerInvariant()) is >= 0 and var place ? place + 1 : null;

    private static int Number(Match found, string group) => int.Parse(found.Groups[group].Value, CultureInfo.InvariantCulture);

    [GeneratedRegex("^" + DateForm + @"(?:T|\s+|,\s*)" + TimeForm + "$", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex DateAndTime();

    [GeneratedRegex("^" + DateForm + "$", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex Date();

    [GeneratedRegex("^" + TimeForm + "$", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex Time();

    [GeneratedRegex(@"\b(?:GMT|UTC)\s*(?<o>[+-]\d{1,2}(?::?\d{2})?)?", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex HeadingZone();
}
