using System.Globalization;
using Trace.Core.Operations;
using Trace.Core.Lots;
using Trace.Core.Science;
using Trace.Core.Shipments;
using Trace.Core.Steps.Checks;
using Trace.Core.Time;
using Trace.Core.Units;
using Trace.Web.Import;
using Trace.Web.Validation;

namespace Trace.Web.Pages.Forms;

/// <summary>
/// What came back from a form, read with our own parsers. A value that cannot be read is noted and a stand-in returned, so that all
/// problems
/// are told at once; a request with problems is never used.
/// </summary>
public sealed class FormValues(IReadOnlyDictionary<string, string> texts, SiteZone zone, DateTimeOffset now)
{
    private readonly List<Refusal> problems = [];

    public IReadOnlyList<Refusal> Problems => problems;

    public string Line(string name)
    {
        if (LineOrNull(name) is { } line) return line;
        Note(name, "this is needed.");
        return "";
    }

    public string? LineOrNull(string name) => texts.GetValueOrDefault(name)?.Trim() is { Length: > 0 } text ? text : null;

    public string Code(string name) => ToCode(Line(name));

    public string? CodeOrNull(string name) => LineOrNull(name) is { } text ? ToCode(text) : null;

    public IReadOnlyList<string> Codes(string name) =>
        [.. Line(name).Split(['\n', '\r', ' ', '\t', ',', ';'], StringSplitOptions.RemoveEmptyEntries).Select(ToCode)];

    public decimal Quantity(string name)
    {
        if (QuantityText.TryParse(texts.GetValueOrDefault(name), out var value, out var problem)) return value;
        Note(name, problem);
        return 0;
    }

    public decimal? QuantityOrNull(string name) => LineOrNull(name) is null ? null : Quantity(name);

    public double Number(string name) => (double)Quantity(name);

    public double? NumberOrNull(string name) => (double?)QuantityOrNull(name);

    public int Whole(string name)
    {
        if (QuantityText.TryParseWhole(texts.GetValueOrDefault(name), out var value, out var problem)) return value;
        Note(name, problem);
        return 0;
    }

    public int? WholeOrNull(string name) => LineOrNull(name) is null ? null : Whole(name);

    public bool YesNo(string name)
    {
        if (LineOrNull(name) is "yes" or "no") return LineOrNull(name) == "yes";
        Note(name, "say yes or no.");
        return false;
    }

    /// <summary>Null for nothing.</summary>
    public bool? YesOrNull(string name) => LineOrNull(name) is null ? null : YesNo(name);

    public T Choice<T>(string name)
        where T : struct, Enum
    {
        if (LineOrNull(name) is { } text && char.IsAsciiLetter(text[0])
            && Enum.TryParse<T>(text.Replace("-", "", StringComparison.Ordinal), ignoreCase: true, out var chosen))
            return chosen;
        Note(name, "choose one.");
        return default;
    }

    /// <summary>A choice in the words of the wire, such as <c>test-weight</c>; null for nothing or <c>other</c>.</summary>
    public T? ChoiceOrNull<T>(string name)
        where T : struct, Enum => LineOrNull(name) is null or "other" ? null : Choice<T>(name);

    /// <summary>Masses in grams, one a line: as people type them, or as a scale types its lines. Null for nothing.</summary>
    /// <param name="wanted">What the masses are; a line that says it is something else is refused.</param>
    public IReadOnlyList<decimal>? WeighedOrNull(string name, ScaleKind wanted)
    {
        if (LineOrNull(name) is not { } text) return null;
        var values = new List<decimal>();
        var lines = text.Split('\n');
        for (var place = 0; place < lines.Length && problems.Count <= 5; place++)
        {
            var line = lines[place].Trim();
            if (line.Length == 0) continue;
            if (AllTyped(line) is { } typed) values.AddRange(typed);
            else if (!ScaleLine.TryRead(line, out var grams, out var kind, out var problem)) Note(name, $"line {place + 1}: {problem}");
            else if (!Suits(kind, wanted)) Note(name, $"line {place + 1}: the scale says that this is the {Words(kind)} mass; here the {Words(wanted)} mass is wanted.");
            else values.Add(grams);
        }

        return values;
    }

    /// <summary>Plain numbers with blanks between; null for anything else.</summary>
    private static List<decimal>? AllTyped(string line)
    {
        var values = new List<decimal>();
        foreach (var part in line.Split([' ', '\t', ';'], StringSplitOptions.RemoveEmptyEntries))
        {
            if (!QuantityText.TryParse(part, out var value, out _)) return null;
            values.Add(value);
        }

        return values;
    }

    /// <summary>A scale calls gross what lies on it since it was set to zero: the net mass too if that was with the empty pouch.</summary>
    private static bool Suits(ScaleKind told, ScaleKind wanted) =>
        told is ScaleKind.Untold or ScaleKind.Gross || told == wanted;

    private static string Words(ScaleKind kind) => kind.ToString().ToLowerInvariant();

    public DateTimeOffset Moment(string name)
    {
        if (LocalTimeText.TryParse(texts.GetValueOrDefault(name), zone, now, out var time, out var problem)) return time;
        Note(name, problem);
        return now;
    }

    /// <summary>A day, as a browser sends it.</summary>
    public DateOnly Day(string name)
    {
        if (DateOnly.TryParseExact(Line(name), "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var day)) return day;
        if (LineOrNull(name) is not null) Note(name, "a day such as 2026-11-25 is wanted.");
        return zone.DateOf(now);
    }

    /// <summary>Lines of text, without blanks around them and without empty ones; null for nothing.</summary>
    public IReadOnlyList<string>? LinesOrNull(string name) => LineOrNull(name) is { } text
        ? [.. text.Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)]
        : null;

    public IReadOnlyList<LotInput> LotMasses(string name) =>
        Rows(name, "massGrams", (place, lot) => new LotInput(lot, Quantity($"{name}[{place}].massGrams")));

    public IReadOnlyList<ShipmentLineRequest> LotPacks(string name) =>
        Rows(name, "packs", (place, lot) => new ShipmentLineRequest(lot, Whole($"{name}[{place}].packs")));

    /// <summary>Lines of "seconds temperature", counted from any start; the last line is the end of the run. Or lines with times of their
    /// own, which stay where they are.</summary>
    public IReadOnlyList<CoreReading> Readings(string name, DateTimeOffset end)
    {
        if (!IsPlain(Line(name)))
        {
            var (record, refusals) = LoggerFile.ReadText(Line(name), "text", new LoggerOptions(zone));
            problems.AddRange(refusals.Select(refusal => LoggerForm.OfField(refusal, name)));
            return record?.Coldest ?? [];
        }

        var read = new List<(decimal Seconds, decimal Celsius)>();
        var lines = Line(name).Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        for (var place = 0; place < lines.Length; place++)
        {
            var parts = lines[place].Split([' ', '\t', ';'], StringSplitOptions.RemoveEmptyEntries);
            if (parts.Length != 2)
                Note(name, $"line {place + 1}: two numbers are wanted, seconds and °C, such as '30 71.5'.");
            else if (!QuantityText.TryParse(parts[0], out var seconds, out var problem)
                || !QuantityText.TryParse(parts[1], out _, out problem))
                Note(name, $"line {place + 1}: {problem}");
            else if (seconds is < 0 or > 86_400 || (read.Count > 0 && seconds <= read[^1].Seconds))
                Note(name, $"line {place + 1}: seconds rise from line to line, from 0 to 86400.");
            else if (QuantityText.TryParse(parts[1], out var celsius, out _))
                read.Add((seconds, celsius));
            if (problems.Count > 5) break;
        }

        return [.. read.Select(reading =>
            new CoreReading(end - TimeSpan.FromSeconds((double)(read[^1].Seconds - reading.Seconds)), (double)reading.Celsius))];
    }

    /// <summary>Whether lines of readings are the plain ones that people type: two numbers. Judged by the first.</summary>
    internal static bool IsPlain(string text)
    {
        var first = text.Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries).FirstOrDefault() ?? "";
        var parts = first.Split([' ', '\t', ';'], StringSplitOptions.RemoveEmptyEntries);
        return parts.Length < 2 || (parts.Length == 2 && QuantityText.TryParse(parts[0], out _, out _));
    }

    /// <summary>Lines of "water activity, moisture as a fraction": one sample a line.</summary>
    public IReadOnlyList<IsothermPair> Pairs(string name)
    {
        var pairs = new List<IsothermPair>();
        var lines = Line(name).Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        for (var place = 0; place < lines.Length && problems.Count <= 5; place++)
        {
            var parts = lines[place].Split([' ', '\t', ';'], StringSplitOptions.RemoveEmptyEntries);
            if (parts.Length != 2) Note(name, $"line {place + 1}: two numbers are wanted, water activity and moisture, such as '0.42 0.061'.");
            else if (!QuantityText.TryParse(parts[0], out var activity, out var problem)
                || !QuantityText.TryParse(parts[1], out _, out problem))
                Note(name, $"line {place + 1}: {problem}");
            else if (QuantityText.TryParse(parts[1], out var moisture, out _)) pairs.Add(new((double)activity, (double)moisture));
        }

        return pairs;
    }

    /// <summary>Values of a check, one a line: numbers as people type them, with <c>&lt;</c> or <c>&gt;</c> before them where a
    /// laboratory wrote so.</summary>
    public IReadOnlyList<CheckValue> CheckValues(string name)
    {
        var values = new List<CheckValue>();
        foreach (var line in Line(name).Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries))
        {
            var sign = line[0] is '<' or '>' ? line[..1] : "";
            if (QuantityText.TryParse(line[sign.Length..], out var value, out var problem))
                values.Add(new(FormattableString.Invariant($"{sign}{value}")));
            else Note(name, $"line {values.Count + 1}: {problem}");
            if (problems.Count > 5) break;
        }

        return values;
    }

    private List<T> Rows<T>(string name, string amount, Func<int, string, T> make)
    {
        var rows = new List<T>();
        for (var place = 0; texts.ContainsKey($"{name}[{place}].lot") || texts.ContainsKey($"{name}[{place}].{amount}"); place++)
            rows.Add(make(place, Code($"{name}[{place}].lot")));
        if (rows.Count == 0) Note($"{name}[0].lot", "name at least one lot.");
        return rows;
    }

    private void Note(string name, string problem) => problems.Add(new Refusal("request.invalid", problem, name));

    private static string ToCode(string text) => text.Trim().ToUpperInvariant();
}
