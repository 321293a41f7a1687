using CsvHelper;

namespace Trace.Web.Import;

/// <summary>One record of the file with at least one field that is not empty.</summary>
/// <param name="Line">From 1, empty lines counted.</param>
/// <param name="Fields">Unquoted and trimmed.</param>
internal sealed record LoggerRow(int Line, IReadOnlyList<string> Fields)
{
    /// <summary>Without empty fields at the end: many loggers close each line with the separator.</summary>
    public int Width { get; } = Fields.Count - Fields.Reverse().TakeWhile(field => field.Length == 0).Count();

    public string At(int column) => column < Fields.Count ? Fields[column] : "";
}

/// <summary>Splits a logger's file into rows, by the separator that fits.</summary>
internal static class LoggerTable
{
    /// <summary>The comma last: where another one fits as well, the commas are decimal.</summary>
    private static readonly (char Sign, string Word)[] Separators =
        [('\t', "tabs"), (';', "semicolons"), ('|', "bars"), (',', "commas")];

    /// <param name="separator">What was found, with its word.</param>
    public static IReadOnlyList<LoggerRow> Read(string text, LoggerProblems problems, out (char Sign, string Word) separator)
    {
        separator = Told(text) ?? Fitting(text);
        return Rows(text, separator.Sign, problems);
    }

    /// <summary>Spreadsheets may write the separator into a first line of its own.</summary>
    private static (char Sign, string Word)? Told(string text) =>
        text.StartsWith("sep=", StringComparison.OrdinalIgnoreCase) && text.Length > 4 && Array.Exists(Separators, one => one.Sign == text[4])
            ? Array.Find(Separators, one => one.Sign == text[4])
            : null;

    /// <summary>The one by which most rows have the same number of fields, more than one.</summary>
    private static (char Sign, string Word) Fitting(string text)
    {
        var best = Separators[^1];
        var most = 0;
        foreach (var separator in Separators)
        {
            var alike = Rows(text, separator.Sign, new LoggerProblems()).Where(row => row.Width > 1)
                .GroupBy(row => row.Width).Select(group => group.Count()).DefaultIfEmpty(0).Max();
            if (alike > most) (best, most) = (separator, alike);
        }

        return best;
    }

    private static List<LoggerRow> Rows(string text, char separator, LoggerProblems problems)
    {
        var options = new CsvReaderOptions
        {
            Separator = separator,
            HasHeader = false,
            TrimWhitespace = true,
            TrackLineNumbers = true,

            // One quote that is never closed must not swallow the rest of the run.
            AllowLineBreaksInQuotes = false,
            OnMalformedRecord = record => problems.At(
                (int)record.LineNumber, $"{LoggerProblems.Quoted(record.RawRecord)} has a quotation mark that is not closed or stands inside a field."),
        };
        var rows = new List<LoggerRow>();
        using var reader = CsvReader.FromText(text, options);
        while (reader.Read())
        {
            var row = new LoggerRow(
                (int)reader.LineNumber, [.. Enumerable.Range(0, reader.FieldCount).Select(field => reader.GetString(field).Trim())]);
            if (row.Width > 0) rows.Add(row);
        }

        return rows;
    }
}
