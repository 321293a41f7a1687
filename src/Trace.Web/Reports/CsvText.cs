using System.Globalization;

namespace Trace.Web.Reports;

/// <summary>Cells of CSV files after RFC 4180.</summary>
internal static class CsvText
{
    /// <summary>Quotes what needs it, and takes the sting out of texts that a spreadsheet would run as a formula.</summary>
    public static string Cell(string value)
    {
        var safe = Harmless(value);
        return safe.AsSpan().ContainsAny(",\"\r\n") ? "\"" + safe.Replace("\"", "\"\"", StringComparison.Ordinal) + "\"" : safe;
    }

    /// <summary>A text that no spreadsheet runs; numbers stay numbers.</summary>
    public static string Harmless(string value) => value.Length > 0 && value[0] is '=' or '+' or '-' or '@' or '\t' or '\r'
        && !decimal.TryParse(value, NumberStyles.Number, CultureInfo.InvariantCulture, out _)
        ? "'" + value
        : value;
}
