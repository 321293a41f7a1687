using System.Text.RegularExpressions;

namespace Trace.Web.Import;

/// <param name="Column">From 0.</param>
internal sealed record LoggerProbe(int Column, TemperatureUnit Unit);

/// <summary>Which columns are times and which are temperatures. Whatever is not plain is asked, never guessed.</summary>
internal sealed partial class LoggerColumns(LoggerLayout layout, LoggerOptions options, char separator, LoggerProblems problems)
{
    private readonly CellKind[] kinds = [.. Enumerable.Range(0, layout.Columns).Select(layout.KindOf)];

    /// <summary>Columns of numbers that were not taken for temperatures.</summary>
    public List<int> LeftOut { get; } = [];

    public TimeColumns? Times()
    {
        if (options.TimeColumn is { } name)
        {
            if (layout.Find(name) is not { } told)
            {
                problems.Ask("timeColumn", $"There is no column {LoggerProblems.Quoted(name)}. {AllColumns()}");
                return null;
            }

            return kinds[told] switch
            {
                CellKind.DateAndTime => new(TimeShape.DateAndTime, told, told),
                CellKind.Date when Of(CellKind.Time) is [var time] => new(TimeShape.DateBesideTime, told, time),
                CellKind.Number => new(TimeShape.ElapsedNumber, told, told),
                CellKind.Time => new(TimeShape.ElapsedClock, told, told),
                _ => Asked($"{layout.Name(told)} does not hold times."),
            };
        }

        var (whole, days, clocks) = (Of(CellKind.DateAndTime), Of(CellKind.Date), Of(CellKind.Time));
        if (whole.Count == 1) return new(TimeShape.DateAndTime, whole[0], whole[0]);
        if (whole.Count > 1) return Asked("Several columns hold times.");
        if (days.Count == 1 && clocks.Count == 1) return new(TimeShape.DateBesideTime, days[0], clocks[0]);
        if (days.Count > 1 || clocks.Count > 1) return Asked("Several columns hold dates or times.");
        if (days.Count == 1) return Asked("The file has days but no times of day.");
        if (clocks.Count == 1)
        {
            if (SinceStartHeading().IsMatch(layout.Heading(clocks[0]))) return new(TimeShape.ElapsedClock, clocks[0], clocks[0]);
            return Asked($"{layout.Name(clocks[0])} has times without a date. Export the date too; if they count from the start of the run, name the column.");
        }

        return Elapsed();
    }

    /// <summary>Null when it must be asked.</summary>
    public IReadOnlyList<LoggerProbe>? Probes(TimeColumns times)
    {
        var numbers = Of(CellKind.Number)
            .Where(column => column != times.Column && column != times.Beside && !IsCounter(column, times)).ToList();
        var chosen = options.Column is { } name ? Named(name, numbers) : layout.HasHeadings ? ByHeadings(numbers) : ByPlace(numbers);
        if (chosen is null) return null;
        LeftOut.AddRange(Of(CellKind.Number).Where(column => column != times.Column && !chosen.Contains(column)));
        var probes = new List<LoggerProbe>();
        foreach (var column in chosen)
        {
            if (UnitOf(column) is not { } unit) return null;
            probes.Add(new(column, unit));
        }

        return probes;
    }

    private TimeColumns? Elapsed()
    {
        var numbers = Of(CellKind.Number);
        if (!layout.HasHeadings) return new(TimeShape.ElapsedNumber, numbers[0], numbers[0]);
        var named = numbers.Where(column => ElapsedHeading().IsMatch(layout.Heading(column))).ToList();
        return named.Count == 1
            ? new(TimeShape.ElapsedNumber, named[0], named[0])
            : Asked(named.Count == 0 ? "No column holds times." : "Several columns may hold times.");
    }

    private List<int>? Named(string name, List<int> numbers)
    {
        if (layout.Find(name) is { } column && numbers.Contains(column)) return [column];
        problems.Ask("column", $"There is no temperature column {LoggerProblems.Quoted(name)}. {AllColumns()}");
        return null;
    }

    private List<int>? ByHeadings(List<int> numbers)
    {
        var open = numbers.Where(column => !OtherHeading().IsMatch(layout.Heading(column))).ToList();
        var temperatures = open.Where(column => IsTemperature(layout.Heading(column))).ToList();
        if (temperatures.Count == open.Count && open.Count > 0) return open;
        if (open.Count == 1) return open;
        problems.Ask(
            "column",
            open.Count == 0
                ? $"No column is headed as a temperature. {AllColumns()} Name the one that counts, by heading or number."
                : $"Some columns may be temperatures and some not: {Names(open)}. Name the one that counts, by heading or number.");
        return null;
    }

    /// <summary>Without headings every column of numbers is a probe, unless two of them may be the halves of one number.</summary>
    private List<int>? ByPlace(List<int> numbers)
    {
        if (numbers.Count == 0)
        {
            problems.Ask("column", $"No column of temperatures was found. {AllColumns()}");
            return null;
        }

        var mayBeHalves = separator == ',' && numbers.Count > 1
            && layout.Rows.All(row => numbers.TrueForAll(column => LoggerCell.DecimalSign(row.At(column)) is null));
        if (!mayBeHalves) return numbers;
        var row = layout.Rows[0];
        problems.Ask("column", $"line {row.Line}: {string.Join(',', numbers.Select(row.At))} may be {numbers.Count} probes or one temperature with a decimal comma. Export with semicolons or with headings, or name the column.");
        return null;
    }

    private TemperatureUnit? UnitOf(int column)
    {
        var inFields = layout.Rows.Select(row => LoggerCell.UnitIn(row.At(column))).FirstOrDefault(unit => unit is not null);
        var found = LoggerCell.UnitIn(layout.Heading(column)) ?? inFields ?? BeforeReadings();
        if (found is not null && options.Unit is { } told && told != found)
        {
            problems.Ask("unit", $"The file says {Sign(found.Value)} for {layout.Name(column)}, and {Sign(told)} was told. One of the two is wrong.");
            return null;
        }

        if ((found ?? options.Unit) is { } unit) return unit;
        problems.Ask("unit", $"The file does not say whether {layout.Name(column)} is °C or °F. Say which.");
        return null;
    }

    /// <summary>A unit that the lines before the readings name, if they name one alone.</summary>
    private TemperatureUnit? BeforeReadings()
    {
        var named = layout.Before.SelectMany(row => row.Fields).Select(LoggerCell.UnitIn).OfType<TemperatureUnit>().Distinct().ToList();
        return named is [var one] ? one : null;
    }

    /// <summary>A running number before the time: one more in each line.</summary>
    private bool IsCounter(int column, TimeColumns times)
    {
        if (layout.HasHeadings || column > times.Column || layout.Rows.Count < 2) return false;
        var values = layout.Rows.Select(row => int.TryParse(row.At(column), out var value) ? value : (int?)null).ToList();
        return values[0] is { } first && values.Index().All(one => one.Item == first + one.Index);
    }

    private List<int> Of(CellKind kind) => [.. Enumerable.Range(0, kinds.Length).Where(column => kinds[column] == kind)];

    private TimeColumns? Asked(string what)
    {
        problems.Ask("timeColumn", $"{what} {AllColumns()}");
        return null;
    }

    private string AllColumns() => $"The columns are {Names([.. Enumerable.Range(0, kinds.Length)])}.";

    private string Names(List<int> columns) =>
        string.Join(", ", columns.Take(20).Select(column => layout.HasHeadings ? $"{column + 1} {layout.Name(column)}" : layout.Name(column)));

    internal static string Sign(TemperatureUnit unit) => unit == TemperatureUnit.Celsius ? "°C" : "°F";

    private static bool IsTemperature(string heading) => LoggerCell.UnitIn(heading) is not null || TemperatureHeading().IsMatch(heading);

    [GeneratedRegex(@"\b(?:elapsed|runtime|duration|dauer|laufzeit|time|zeit|sec|secs|seconds?|sek|sekunden?|s|min|mins|minutes?|minuten?)\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex ElapsedHeading();

    /// <summary>Under "time" hours and minutes are those of the day.</summary>
    [GeneratedRegex(@"\b(?:elapsed|runtime|duration|dauer|laufzeit)\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex SinceStartHeading();

    [GeneratedRegex(@"temp|probe|sensor|f(?:ü|ue|u)hler|kanal|channel|sonde|sonda|thermo|core|kern|\bch\s*\d|\bt\d*\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex TemperatureHeading();

    [GeneratedRegex(@"humid|feuchte|\brh\b|r\.h\.|%|volt|batt|akku|\bv\b|press|druck|hpa|mbar|dew|taupunkt|\bco2\b|\blux\b|^#|\bno\.?$|\bnr\.?$|index|sample|record|serial|\bid\b|elapsed|runtime|duration|dauer|laufzeit|marker|alarm", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex OtherHeading();
}
