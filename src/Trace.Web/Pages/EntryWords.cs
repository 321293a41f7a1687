using System.Globalization;
using System.Text;
using System.Text.Json;

namespace Trace.Web.Pages;

/// <summary>Journal entries in words: a title for the type, and the payload's members as lines of label and value.</summary>
public static class EntryWords
{
    private static readonly Dictionary<string, string> Titles = new(StringComparer.Ordinal)
    {
        ["receiving.received"] = "Larvae received",
        ["sanitising.run"] = "Sanitised",
        ["drying.started"] = "Drying started",
        ["drying.cycle"] = "Drying cycle",
        ["drying.weighed-out"] = "Weighed out",
        ["cooling.read"] = "Cooling reading",
        ["checks.recorded"] = "Check recorded",
        ["filling.filled"] = "Filled into a container",
        ["filling.opened"] = "Container opened",
        ["filling.closed"] = "Container closed",
        ["filling.clean-break"] = "Clean break",
        ["packing.packed"] = "Packed",
        ["packing.weighed"] = "Packs weighed",
        ["instruments.checked"] = "Instrument checked",
        ["labels.printed"] = "Labels printed",
        ["labels.reconciled"] = "Labels counted",
        ["labels.queued"] = "Labels sent to a printer",
        ["labels.sending"] = "Labels on the wire",
        ["labels.accepted"] = "Labels taken by the printer",
        ["labels.cancel-asked"] = "Cancelling asked for",
        ["labels.job-ended"] = "End of a label job",
        ["shipping.shipped"] = "Shipped",
        ["stock.disposed"] = "Disposed of",
        ["stock.sampled"] = "Sample taken",
        ["stock.counted"] = "Stock counted",
        ["holds.placed"] = "Hold placed",
        ["holds.released"] = "Hold released",
        ["holds.accepted"] = "Rule hold accepted",
        ["shift.handed-over"] = "Handed over",
        ["complaints.opened"] = "Complaint",
        ["complaints.assessed"] = "Complaint judged",
        ["complaints.answered"] = "Complaint answered",
        ["complaints.closed"] = "Complaint closed",
        ["actions.planned"] = "Action planned",
        ["actions.done"] = "Action done",
        ["actions.checked"] = "Action looked at",
        ["returns.received"] = "Came back from a customer",
        ["returns.destroyed"] = "Destroyed",
        ["recalls.opened"] = "Recall opened",
        ["recalls.widened"] = "Recall widened",
        ["recalls.published"] = "Recall made public",
        ["recalls.notified"] = "Consignees told",
        ["recalls.notice-sending"] = "Notice on the wire",
        ["recalls.notice-ended"] = "End of a notice",
        ["recalls.answered"] = "Consignee's answer",
        ["recalls.checked"] = "Consignee checked",
        ["recalls.reported"] = "Status report",
        ["recalls.closed"] = "Recall closed",
        ["inspections.opened"] = "Opened to an inspector",
        ["inspections.ended"] = "Inspection ended",
        ["journal.corrected"] = "Correction",
    };

    public static string Title(string type) => Titles.GetValueOrDefault(type, type);

    /// <summary>
    /// The members worth reading. Masses come out in grams; evidence and label texts are left to their own places, and from a seed one
    /// could make numbers.
    /// </summary>
    public static IReadOnlyList<(string Label, string Value)> Lines(JsonElement payload) => payload.ValueKind != JsonValueKind.Object
        ? []
        : [.. payload.EnumerateObject()
            .Where(member => member.Name is not ("evidence" or "label" or "templateHash" or "serialSeed" or "link" or "notices") && member.Value.ValueKind != JsonValueKind.Null)
            .Select(member => (Label(member.Name), Value(member.Name, member.Value)))];

    /// <summary>Old and new side by side; every label of either stands once.</summary>
    public static IReadOnlyList<(string Label, string? Was, string? Now)> Compare(JsonElement old, JsonElement now)
    {
        var (before, after) = (Lines(old), Lines(now));
        return [.. before.Select(line => line.Label).Union(after.Select(line => line.Label)).Select(label => (
            label, Find(before, label), Find(after, label)))];
    }

    private static string? Find(IReadOnlyList<(string Label, string Value)> lines, string label) =>
        lines.FirstOrDefault(line => line.Label == label).Value;

    /// <summary><c>massOutMilligrams</c> reads "mass out".</summary>
    private static string Label(string name)
    {
        var words = new StringBuilder();
        foreach (var character in Unitless(name).Name)
        {
            if (char.IsUpper(character)) words.Append(' ');
            words.Append(char.ToLowerInvariant(character));
        }

        return words.ToString();
    }

    private static (string Name, string Unit) Unitless(string name)
    {
        foreach (var (ending, unit) in new[] { ("Milligrams", "g"), ("Grams", "g"), ("Kilopascal", "kPa"), ("Metres", "m"), ("Celsius", "°C"), ("Percent", "%"), ("Watts", "W"), ("Seconds", "s") })
        {
            if (name.EndsWith(ending, StringComparison.Ordinal) && name.Length > ending.Length) return (name[..^ending.Length], unit);
        }

        return name == "seconds" ? (name, "s") : (name, "");
    }

    private static string Value(string name, JsonElement value) => value.ValueKind switch
    {
        JsonValueKind.True => "yes",
        JsonValueKind.False => "no",
        JsonValueKind.String => value.GetString()!,
        JsonValueKind.Number when name.EndsWith("Milligrams", StringComparison.Ordinal) =>
            (value.GetInt64() / 1000m).ToString("0.### 'g'", CultureInfo.InvariantCulture),
        JsonValueKind.Number => $"{value.GetRawText()} {Unitless(name).Unit}".TrimEnd(),
        JsonValueKind.Array => Items(name, value),
        JsonValueKind.Object => string.Join(", ", value.EnumerateObject().Where(member => member.Value.ValueKind != JsonValueKind.Null)
            .Select(member => member.Name is "lot" or "at" ? Value(member.Name, member.Value) : $"{Label(member.Name)} {Value(member.Name, member.Value)}")),
        _ => "",
    };

    private static string Items(string name, JsonElement items)
    {
        const int most = 12;
        var shown = string.Join("; ", items.EnumerateArray().Take(most).Select(item => Value(name, item)));
        return items.GetArrayLength() > most ? $"{shown}; and {items.GetArrayLength() - most} more" : shown;
    }
}
