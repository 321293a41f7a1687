using System.Globalization;
using System.Text.Json;
using Trace.Core.Science;
using Trace.Web.Import;

namespace Trace.Web.Pages.Forms;

/// <summary>Puts what an entry recorded back into the fields of its form, so that a correction is typed only where it was wrong.</summary>
internal static class RecordedTexts
{
    private const string Grams = "Grams";

    /// <param name="payload">What counts of the entry. A field that it does not have stays empty.</param>
    /// <param name="happenedAt">When that happened.</param>
    /// <param name="local">The same as a time field has it.</param>
    internal static Dictionary<string, string> Of(BenchForm form, JsonElement payload, DateTimeOffset happenedAt, string local)
    {
        var texts = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (var field in form.Fields)
        {
            if (field.UnlessRecorded is { } source && Member(payload, source) is not null) continue;
            if (field.Kind == FieldKind.Moment)
            {
                texts[field.Name] = local;
            }
            else if (field.Kind == FieldKind.Readings)
            {
                if (Member(payload, field.Name) is { } readings) texts[field.Name] = Lines(readings, happenedAt);
            }
            else if (field.Kind == FieldKind.Pairs)
            {
                if (Member(payload, field.Name) is { } pairs) texts[field.Name] = Lines(pairs);
            }
            else if (field.IsRows)
            {
                PutRows(texts, field, payload);
            }
            else if (TextOf(payload, field.Name) is { } text)
            {
                texts[field.Name] = text;
            }
        }

        return texts;
    }

    private static void PutRows(Dictionary<string, string> texts, FormField field, JsonElement payload)
    {
        if (Member(payload, field.Name) is not { ValueKind: JsonValueKind.Array } rows) return;
        foreach (var (place, row) in rows.EnumerateArray().Index())
        {
            texts[$"{field.Name}[{place}].lot"] = TextOf(row, "lot") ?? "";
            texts[$"{field.Name}[{place}].{field.Amount}"] = TextOf(row, field.Amount) ?? "";
        }
    }

    /// <summary>
    /// The form counts back from the end of the run; readings that end at another time would be moved, and keep their times.
    /// </summary>
    private static string Lines(JsonElement readings, DateTimeOffset end)
    {
        var read = readings.EnumerateArray()
            .Select(reading => (At: reading.GetProperty("at").GetDateTimeOffset(),
                Core: reading.GetProperty("coreCelsius").GetRawText())).ToList();
        return read.Count == 0 || read[^1].At != end
            ? LoggerLines.Write(read.Select(one => new CoreReading(one.At, double.Parse(one.Core, CultureInfo.InvariantCulture))))
            : string.Join('\n', read.Select(reading =>
                FormattableString.Invariant($"{(reading.At - read[0].At).TotalSeconds} {reading.Core}")));
    }

    private static string Lines(JsonElement pairs) => string.Join('\n', pairs.EnumerateArray()
        .Select(pair => $"{pair.GetProperty("waterActivity").GetRawText()} {pair.GetProperty("moistureFraction").GetRawText()}"));

    private static string? TextOf(JsonElement payload, string name)
    {
        if (name.EndsWith(Grams, StringComparison.Ordinal) && Member(payload, name[..^Grams.Length] + "Milligrams") is { } mass)
            return mass.ValueKind == JsonValueKind.Array ? string.Join('\n', mass.EnumerateArray().Select(GramsOf)) : GramsOf(mass);
        return Member(payload, name) switch
        {
            { ValueKind: JsonValueKind.String } text => text.GetString(),
            { ValueKind: JsonValueKind.Number } number => number.GetRawText(),
            { ValueKind: JsonValueKind.True } => "yes",
            { ValueKind: JsonValueKind.False } => "no",
            { ValueKind: JsonValueKind.Array } list => string.Join('\n', list.EnumerateArray().Select(item => item.GetString())),
            _ => null,
        };
    }

    private static string GramsOf(JsonElement milligrams) => (milligrams.GetInt64() / 1000m).ToString("0.###", CultureInfo.InvariantCulture);

    private static JsonElement? Member(JsonElement payload, string name) =>
        payload.TryGetProperty(name, out var member) && member.ValueKind != JsonValueKind.Null ? member : null;
}
