namespace Trace.Web.Import;

internal enum TimeShape
{
    DateAndTime,
    DateBesideTime,

    /// <summary>Seconds or minutes since the start.</summary>
    ElapsedNumber,

    /// <summary>Hours, minutes and seconds since the start.</summary>
    ElapsedClock,
}

/// <param name="Column">From 0; of the date when date and time stand apart.</param>
/// <param name="Beside">The time's column then.</param>
internal sealed record TimeColumns(TimeShape Shape, int Column, int Beside);

/// <summary>Which rows are readings, and what their columns mean.</summary>
/// <param name="Rows">From the first reading to the end of the file.</param>
/// <param name="Before">What stands before the readings and their headings.</param>
/// <param name="Headings">Of each column; empty without a heading line.</param>
internal sealed record LoggerLayout(IReadOnlyList<LoggerRow> Rows, IReadOnlyList<LoggerRow> Before, IReadOnlyList<string> Headings)
{
    public bool HasHeadings => Headings.Count > 0;

    public int Columns => Rows.Max(row => row.Width);

    public string Heading(int column) => column < Headings.Count ? Headings[column] : "";

    /// <summary>The column as a person finds it again.</summary>
    public string Name(int column) => Heading(column) is { Length: > 0 } heading ? LoggerProblems.Quoted(heading) : $"column {column + 1}";

    /// <summary>Null when there are no readings, or when a row does not fit; then the problems say so.</summary>
    public static LoggerLayout? Of(IReadOnlyList<LoggerRow> rows, LoggerProblems problems)
    {
        var first = rows.Index().FirstOrDefault(row => IsReading(row.Item), (Index: -1, Item: null!)).Index;
        if (first < 0)
        {
            problems.OfFile("No line with a time and a temperature was found. Export the logger's readings as CSV text, one reading a line.");
            return null;
        }

        var (headings, used) = HeadingsBefore(rows, first);
        var layout = new LoggerLayout([.. rows.Skip(first)], [.. rows.Take(first - used)], headings);
        layout.CheckRows(used == 0 ? rows[first].Width : headings.Count, used > 0, problems);
        return problems.Any ? null : layout;
    }

    /// <summary>What a column mostly holds. A field without a temperature counts as one: its line is told later.</summary>
    public CellKind KindOf(int column) => Rows
        .Select(row => LoggerCell.KindOf(row.At(column))).Select(kind => kind == CellKind.Missing ? CellKind.Number : kind)
        .Where(kind => kind != CellKind.Empty).GroupBy(kind => kind).OrderByDescending(group => group.Count())
        .Select(group => group.Key).FirstOrDefault(CellKind.Empty);

    /// <summary>The column that a person names by its heading or its number from 1.</summary>
    public int? Find(string name)
    {
        var wanted = name.Trim();
        var named = Enumerable.Range(0, Columns)
            .Where(column => string.Equals(Heading(column), wanted, StringComparison.OrdinalIgnoreCase)).ToList();
        if (named.Count == 1) return named[0];
        return int.TryParse(wanted, out var number) && number >= 1 && number <= Columns ? number - 1 : null;
    }

    /// <summary>A time first (or a counter before it), and at least a place for a temperature behind it.</summary>
    private static bool IsReading(LoggerRow row)
    {
        var kinds = row.Fields.Select(LoggerCell.KindOf).ToList();
        if (kinds.FirstOrDefault(kind => kind != CellKind.Empty) is CellKind.Empty or CellKind.Text or CellKind.Missing) return false;
        var numbers = kinds.Count(kind => kind is CellKind.Number or CellKind.Missing);
        return kinds.Exists(kind => kind is CellKind.DateAndTime or CellKind.Date or CellKind.Time)
            ? numbers > 0 || kinds.Contains(CellKind.Empty)
            : numbers > 1;
    }

    /// <summary>The line before the first reading, joined with a line of units under it.</summary>
    private static (List<string> Headings, int Used) HeadingsBefore(IReadOnlyList<LoggerRow> rows, int first)
    {
        if (first == 0 || !IsHeading(rows[first - 1], rows[first])) return ([], 0);
        var last = rows[first - 1];
        var hasUnits = first > 1 && last.Fields.Any(IsUnit) && IsHeading(rows[first - 2], rows[first]);
        var names = hasUnits ? rows[first - 2] : last;
        var width = Math.Max(names.Width, last.Width);
        return (
            [.. Enumerable.Range(0, width).Select(column => hasUnits ? $"{names.At(column)} {last.At(column)}".Trim() : names.At(column))],
            hasUnits ? 2 : 1);
    }

    private static bool IsHeading(LoggerRow row, LoggerRow reading) => row.Width > 1
        && (row.Width == reading.Width
            || row.Fields.All(field => LoggerCell.KindOf(field) is CellKind.Text or CellKind.Empty or CellKind.Missing))
        && row.Fields.Any(field => LoggerCell.KindOf(field) == CellKind.Text);

    private static bool IsUnit(string field) => field.Length is > 0 and <= 8 && LoggerCell.UnitIn(field) is not null;

    private void CheckRows(int width, bool byHeadings, LoggerProblems problems)
    {
        foreach (var row in Rows)
        {
            if (row.Width > width)
            {
                problems.At(row.Line, $"{row.Width} fields, but {(byHeadings ? "headings for " : "in the first reading ")}{width}. A decimal comma between separating commas must stand in quotation marks: export with semicolons, or with decimal points.");
            }
            else if (!IsReading(row))
            {
                problems.At(row.Line, $"{LoggerProblems.Quoted(string.Join(' ', row.Fields.Where(field => field.Length > 0)))} is no reading. Remove the line if it is a note; if it is a reading, export the file again.");
            }
        }
    }
}
