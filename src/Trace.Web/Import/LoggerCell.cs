using System.Text.RegularExpressions;
using Trace.Web.Validation;

namespace Trace.Web.Import;

internal enum CellKind
{
    Empty,
    Number,

    /// <summary>What loggers write when there is no temperature.</summary>
    Missing,
    DateAndTime,
    Date,
    Time,
    Text,
}

/// <summary>What a field of the file looks like, and the temperature in it.</summary>
internal static partial class LoggerCell
{
    private const int Longest = 60;

    public static CellKind KindOf(string field)
    {
        if (field.Length == 0) return CellKind.Empty;
        if (field.Length > Longest) return CellKind.Text;
        if (Missing().IsMatch(field)) return CellKind.Missing;
        if (LoggerClock.IsDateAndTime(field)) return CellKind.DateAndTime;
        if (LoggerClock.IsDate(field)) return CellKind.Date;
        if (LoggerClock.IsTime(field)) return CellKind.Time;
        return Number().IsMatch(field) ? CellKind.Number : CellKind.Text;
    }

    /// <summary>A number with or without its unit. One decimal sign at most: two can be read in two ways.</summary>
    public static bool TryNumber(string field, out double value, out string problem)
    {
        var found = Number().Match(field);
        value = 0;
        if (!found.Success)
        {
            problem = $"{LoggerProblems.Quoted(field)} is no number.";
            return false;
        }

        var isRead = QuantityText.TryParse(found.Groups["n"].Value, out var number, out problem);
        value = (double)number;
        return isRead;
    }

    /// <summary>The decimal sign in it, if any.</summary>
    public static char? DecimalSign(string field) => field.IndexOfAny(['.', ',']) is >= 0 and var place ? field[place] : null;

    /// <summary>The scale that a heading or a field names.</summary>
    public static TemperatureUnit? UnitIn(string text)
    {
        var (celsius, fahrenheit) = (Celsius().IsMatch(text), Fahrenheit().IsMatch(text));
        return celsius == fahrenheit ? null : celsius ? TemperatureUnit.Celsius : TemperatureUnit.Fahrenheit;
    }

    [GeneratedRegex(@"^\+?(?<n>[-−]?\d+(?:[.,٫]\d+)*)\s*(?:°\s*[CF]|º\s*[CF]|deg\.?\s*[CF]|[CF])?$", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex Number();

    [GeneratedRegex(@"^(?:[-+]?nan|err(?:or)?[-.:# ]?\d*|[-–—_*#?.]+|n/?a|null|none|open|short|ol|[-+]?o\.?l\.?|[-+]?inf(?:inity)?|over(?:flow|range)?|under(?:range)?|fault|fail|no data|no probe|lo|hi)$", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex Missing();

    [GeneratedRegex(@"[°º˚]\s*C\b|\bdeg\.?\s*C\b|[(\[]\s*C\s*[)\]]|^C$|celsius|\b\d\s*C$|_C$", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex Celsius();

    [GeneratedRegex(@"[°º˚]\s*F\b|\bdeg\.?\s*F\b|[(\[]\s*F\s*[)\]]|^F$|fahrenheit|\b\d\s*F$|_F$", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex Fahrenheit();
}
