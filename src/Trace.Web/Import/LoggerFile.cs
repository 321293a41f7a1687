using System.Globalization;
using Trace.Core.Operations;

namespace Trace.Web.Import;

/// <summary>
/// Reads the CSV text of a temperature logger. All readings are taken or none: a file with a line that cannot be read, a probe without a
/// temperature, or times out of order is refused by line, since what is left out silently may be the cold part of a run.
/// </summary>
public static class LoggerFile
{
    /// <summary>Readings of one run; more is a whole day's record and not a run.</summary>
    public const int MostReadings = 5000;

    /// <summary>°C. Outside it a probe is broken or the unit is wrong.</summary>
    public const double LeastCelsius = -40, MostCelsius = 200;

    public static (LoggerRecord? Record, IReadOnlyList<Refusal> Refusals) Read(ReadOnlySpan<byte> file, LoggerOptions options)
    {
        if (LoggerText.Of(file, out var encoding) is { } text) return ReadText(text, encoding, options);
        var problems = new LoggerProblems();
        problems.OfFile("This is no text. A spreadsheet or a logger's own format cannot be read: export it as CSV.");
        return (null, problems.Refusals);
    }

    /// <param name="encoding">How the text was told, in a word.</param>
    public static (LoggerRecord? Record, IReadOnlyList<Refusal> Refusals) ReadText(string text, string encoding, LoggerOptions options)
    {
        ArgumentNullException.ThrowIfNull(options);
        var problems = new LoggerProblems();
        var record = Record(text, encoding, options, problems);
        return problems.Any ? (null, problems.Refusals) : (record, []);
    }

    private static LoggerRecord? Record(string text, string encoding, LoggerOptions options, LoggerProblems problems)
    {
        var rows = LoggerTable.Read(text, problems, out var separator);
        if (problems.Any || LoggerLayout.Of(rows, problems) is not { } layout) return null;
        if (layout.Rows.Count > MostReadings)
        {
            problems.At(layout.Rows[MostReadings].Line, $"this is reading {MostReadings + 1}; a run has at most {MostReadings}. Export the run alone.");
            return null;
        }

        var columns = new LoggerColumns(layout, options, separator.Sign, problems);
        var times = columns.Times();
        var probes = times is null ? null : columns.Probes(times);
        if (times is null || probes is null) return null;
        var clock = new LoggerTimes(layout, times, options, problems);
        var instants = clock.Read();
        var temperatures = Temperatures(layout, probes, problems, out var sign);
        if (problems.Any) return null;
        List<LoggerReading> readings =
            [.. layout.Rows.Select((row, place) => new LoggerReading(row.Line, instants[place], temperatures[place]))];
        CheckOrder(readings, problems);
        if (problems.Any) return null;
        var order = $"{encoding}, separated by {separator.Word}{(sign is null ? "" : sign == ',' ? ", decimal comma" : ", decimal point")}";
        return new LoggerRecord(readings, [order, .. Words(layout, times, probes, columns.LeftOut, clock.Words), Span(readings)]);
    }

    private static List<double[]> Temperatures(
        LoggerLayout layout, IReadOnlyList<LoggerProbe> probes, LoggerProblems problems, out char? sign)
    {
        sign = null;
        var read = new List<double[]>();
        foreach (var row in layout.Rows)
        {
            var line = new double[probes.Count];
            foreach (var (place, probe) in probes.Index())
            {
                var field = row.At(probe.Column);
                if (ProblemOf(field, probe, ref sign, out line[place]) is { } wrong) problems.At(row.Line, $"{layout.Name(probe.Column)}: {wrong}");
            }

            read.Add(line);
        }

        return read;
    }

    private static string? ProblemOf(string field, LoggerProbe probe, ref char? sign, out double celsius)
    {
        celsius = 0;
        if (LoggerCell.KindOf(field) is CellKind.Missing or CellKind.Empty)
            return $"{(field.Length == 0 ? "nothing" : LoggerProblems.Quoted(field))} is no temperature. What the probe did not see does not count: pick another probe with 'column', or export only the run's sound part.";
        if (!LoggerCell.TryNumber(field, out var value, out var problem)) return problem;
        if (LoggerCell.UnitIn(field) is { } unit && unit != probe.Unit) return $"{LoggerProblems.Quoted(field)} is in another unit than the column.";
        if (LoggerCell.DecimalSign(field) is { } own)
        {
            sign ??= own;
            if (own != sign) return $"{LoggerProblems.Quoted(field)} has another decimal sign than the lines before it.";
        }

        // A tenth of a thousandth is finer than any probe; without rounding, 167.9 °F would be written with 14 decimals.
        celsius = probe.Unit == TemperatureUnit.Celsius ? value : Math.Round((value - 32) / 1.8, 4);
        return celsius is >= LeastCelsius and <= MostCelsius
            ? null
            : FormattableString.Invariant($"{celsius:0.#} °C cannot be. Is the unit right, and the probe sound? From {LeastCelsius} to {MostCelsius} °C are taken.");
    }

    private static void CheckOrder(List<LoggerReading> readings, LoggerProblems problems)
    {
        for (var place = 1; place < readings.Count; place++)
        {
            var (before, here) = (readings[place - 1], readings[place]);
            if (here.At == before.At)
                problems.At(here.Line, $"{LoggerTimes.Iso(here.At)} stands in line {before.Line} already. Export times with seconds, and each reading once.");
            else if (here.At < before.At)
                problems.At(here.Line, $"{LoggerTimes.Iso(here.At)} is earlier than line {before.Line}. Export the readings in order of time, oldest first.");
        }
    }

    private static IEnumerable<string> Words(
        LoggerLayout layout, TimeColumns times, IReadOnlyList<LoggerProbe> probes, List<int> leftOut, string clock)
    {
        if (layout.Before.Count > 0) yield return $"{layout.Before.Count} lines before the readings passed over";
        var beside = times.Beside == times.Column ? "" : $" and {layout.Name(times.Beside)}";
        yield return $"times from {layout.Name(times.Column)}{beside}: {clock}";
        var names = probes.Select(probe => $"{layout.Name(probe.Column)} in {LoggerColumns.Sign(probe.Unit)}{(probe.Unit == TemperatureUnit.Celsius ? "" : ", turned into °C")}").ToList();
        yield return names.Count == 1 ? $"temperature from {names[0]}" : $"{names.Count} probes, the coldest counts at each time: {string.Join("; ", names)}";
        if (leftOut.Count > 0) yield return $"left out: {string.Join(", ", leftOut.Select(layout.Name))}";
    }

    private static string Span(List<LoggerReading> readings)
    {
        var gaps = readings.Zip(readings.Skip(1), (left, right) => (Gap: right.At - left.At, right.Line)).ToList();
        var longest = gaps.Count == 0 ? "" : gaps.MaxBy(gap => gap.Gap) is var gap
            ? string.Create(CultureInfo.InvariantCulture, $", longest gap {gap.Gap.TotalSeconds:0.#} s before line {gap.Line}")
            : "";
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{readings.Count} readings from {LoggerTimes.Iso(readings[0].At)} to {LoggerTimes.Iso(readings[^1].At)}{longest}; {readings.Min(reading => reading.Coldest):0.##} °C to {readings.Max(reading => reading.Coldest):0.##} °C");
    }
}
