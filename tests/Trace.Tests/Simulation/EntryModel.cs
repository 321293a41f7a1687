using System.Text.Json;
using Trace.Core.Corrections;
using Trace.Core.Journal;

namespace Trace.Tests.Simulation;

/// <summary>
/// The plant seen a second time, straight from the text of the entries: none of the program's own folding, rules or graph is used, so a
/// fault in those shows as a difference.
/// </summary>
internal sealed class EntryModel
{
    private readonly Dictionary<string, string> holds = [];
    private int holdNumber;

    public Dictionary<string, ModelLot> Lots { get; } = [];

    /// <summary>Milligrams shipped to anybody, by lot.</summary>
    public Dictionary<string, long> Shipped { get; } = [];

    /// <summary>All entries in the light of their newest corrections.</summary>
    public static EntryModel Of(IEnumerable<JournalEntry> entries)
    {
        var all = entries.ToList();
        var corrections = new Dictionary<long, JsonElement>();
        foreach (var entry in all.Where(entry => entry.Entry.Type == EntryCorrected.Type))
        {
            var text = Parse(entry.Entry.Payload);
            corrections[text.GetProperty("corrects").GetInt64()] = text;
        }

        var model = new EntryModel();
        foreach (var entry in all)
        {
            if (!corrections.TryGetValue(entry.Seq, out var correction)) model.Take(entry);
            else if (correction.TryGetProperty("replacement", out var now)) model.Take(entry.Entry.Type, now, correction.GetProperty("happenedAt").GetDateTimeOffset());
        }

        return model;
    }

    public void Take(JournalEntry entry) => Take(entry.Entry.Type, Parse(entry.Entry.Payload), entry.Entry.HappenedAt);

    /// <summary>The lot and all that is in it.</summary>
    public HashSet<string> Ancestors(string lot) => Walk(lot, code => Lots[code].Inputs.Select(input => input.Lot));

    /// <summary>The lot and all that it went into: what a recall has to cover.</summary>
    public HashSet<string> Descendants(string lot) =>
        Walk(lot, code => Lots.Values.Where(other => other.Inputs.Any(input => input.Lot == code)).Select(other => other.Code));

    /// <summary>Why a passage that was recorded should have been refused; null if it was right.</summary>
    public string? Fault(JournalEntry entry)
    {
        foreach (var lot in Moved(entry))
        {
            var held = Ancestors(lot).FirstOrDefault(code => holds.ContainsValue(code));
            if (held is not null) return $"{entry.Entry.Type} moved {lot} while a hold stood on {held}";
            if (entry.Entry.Type is not ("sanitising.run" or "drying.started") && WetOrWarm(lot, entry.Entry.HappenedAt) is { } wet)
                return $"{entry.Entry.Type} moved {lot} although batch {wet} was not dry and cold";
            if (entry.Entry.Type != "sanitising.run" && Nearest(lot, "T").FirstOrDefault(run => Lots[run].ColdestCelsius < 70) is { } cool)
                return $"{entry.Entry.Type} moved {lot} although run {cool} was too cool";
            if (entry.Entry.Type != "sanitising.run" && Lots[lot].Kind == "H") return $"{entry.Entry.Type} moved the fresh lot {lot}";
        }

        return null;
    }

    /// <summary>The lots that the entry moved, labelled or shipped.</summary>
    public static string[] Moved(JournalEntry entry)
    {
        var text = Parse(entry.Entry.Payload);
        return entry.Entry.Type switch
        {
            "sanitising.run" or "drying.started" or "filling.filled" or "packing.packed" => [.. Inputs(text).Select(input => input.Lot)],
            "shipping.shipped" => [.. text.GetProperty("lines").EnumerateArray().Select(line => line.GetProperty("lot").GetString()!)],
            "labels.printed" => [text.GetProperty("lot").GetString()!],
            _ => [],
        };
    }

    /// <summary>The first batch in it that was not dry, or not cold when its product went on.</summary>
    private string? WetOrWarm(string lot, DateTimeOffset at)
    {
        var waiting = new Stack<(string Lot, DateTimeOffset At)>([(lot, at)]);
        var seen = new HashSet<(string, DateTimeOffset)>();
        while (waiting.TryPop(out var next))
        {
            if (!seen.Add(next)) continue;
            if (Lots[next.Lot].Kind == "D")
            {
                if (!Lots[next.Lot].IsDryAndCold(next.At)) return next.Lot;
                continue;
            }

            foreach (var input in Lots[next.Lot].Inputs) waiting.Push((input.Lot, input.At));
        }

        return null;
    }

    /// <summary>The lots of a kind in it that no later lot of that kind has made good.</summary>
    private HashSet<string> Nearest(string lot, string kind) =>
        [.. Walk(lot, code => Lots[code].Kind == kind ? [] : Lots[code].Inputs.Select(input => input.Lot)).Where(code => Lots[code].Kind == kind)];

    private static HashSet<string> Walk(string start, Func<string, IEnumerable<string>> next)
    {
        var found = new HashSet<string> { start };
        var waiting = new Queue<string>(found);
        while (waiting.TryDequeue(out var code))
        {
            foreach (var other in next(code))
            {
                if (found.Add(other)) waiting.Enqueue(other);
            }
        }

        return found;
    }

    private void Take(string type, JsonElement text, DateTimeOffset at)
    {
        switch (type)
        {
            case "receiving.received": Make(text, "H", at).Made = Long(text, "massMilligrams"); break;
            case "sanitising.run":
                var run = Make(text, "T", at);
                run.Made = Long(text, "massOutMilligrams");
                run.ColdestCelsius = text.GetProperty("readings").EnumerateArray().Min(reading => reading.GetProperty("coreCelsius").GetDouble());
                break;
            case "drying.started":
                var batch = Make(text, "D", at);
                batch.FreshGrams = batch.Inputs.Sum(input => input.Milligrams / 1000.0 * Lots[input.Lot].FreshPerGram);
                break;
            case "drying.cycle": Of(text).IsDry = false; break;
            case "drying.weighed-out":
                var dry = Of(text);
                dry.Made = Long(text, "massOutMilligrams");
                dry.FreshPerGram = dry.FreshGrams / (dry.Made / 1000.0);
                dry.IsDry = text.GetProperty("puffed").GetBoolean() && text.GetProperty("crumbles").GetBoolean() && 1 / dry.FreshPerGram <= 0.35 + 1e-12;
                dry.WeighedAt = at;
                break;
            case "cooling.read":
                Of(text).Readings.Add((at, text.GetProperty("coreCelsius").GetDouble() - text.GetProperty("roomCelsius").GetDouble()));
                break;
            case "filling.filled": Fill(text, at); break;
            case "filling.clean-break": Of(text).Gone += Of(text).OnHand; break;
            case "packing.packed":
                var packs = Make(text, "P", at);
                packs.NetMilligrams = Long(text, "netMassMilligrams");
                packs.Made = packs.NetMilligrams * text.GetProperty("packs").GetInt32();
                break;
            case "shipping.shipped":
                foreach (var line in text.GetProperty("lines").EnumerateArray())
                {
                    var mass = Of(line).NetMilligrams * line.GetProperty("packs").GetInt32();
                    Of(line).Gone += mass;
                    Shipped[Of(line).Code] = Shipped.GetValueOrDefault(Of(line).Code) + mass;
                }

                break;
            case "stock.disposed" or "stock.sampled": Of(text).Gone += Long(text, "massMilligrams"); break;
            case "stock.counted": Of(text).Gone += Of(text).OnHand - Long(text, "massMilligrams"); break;
            case "holds.placed": holds[$"Q{++holdNumber:0000}"] = Of(text).Code; break;
            case "holds.released": holds.Remove(text.GetProperty("hold").GetString()!); break;
            case "recalls.opened" when text.GetProperty("kind").GetString() != "drill":
                foreach (var lot in text.GetProperty("lots").EnumerateArray()) holds[$"Q{++holdNumber:0000}"] = lot.GetString()!;
                break;
        }
    }

    private void Fill(JsonElement text, DateTimeOffset at)
    {
        var bulk = text.GetProperty("opens").GetBoolean() ? Make(text, "C", at) : Of(text);
        if (!text.GetProperty("opens").GetBoolean()) TakeInputs(bulk, text, at);
        bulk.Made += Inputs(text).Sum(input => input.Milligrams);
        bulk.FreshPerGram = bulk.Inputs.Sum(input => input.Milligrams * Lots[input.Lot].FreshPerGram) / bulk.Inputs.Sum(input => input.Milligrams);
    }

    private ModelLot Make(JsonElement text, string kind, DateTimeOffset at)
    {
        var lot = new ModelLot(text.GetProperty("lot").GetString()!, kind);
        Lots.Add(lot.Code, lot);
        TakeInputs(lot, text, at);
        return lot;
    }

    private void TakeInputs(ModelLot lot, JsonElement text, DateTimeOffset at)
    {
        foreach (var input in Inputs(text))
        {
            lot.Inputs.Add((input.Lot, input.Milligrams, at));
            Lots[input.Lot].Gone += input.Milligrams;
        }
    }

    private static IEnumerable<(string Lot, long Milligrams)> Inputs(JsonElement text) => text.TryGetProperty("inputs", out var inputs)
        ? inputs.EnumerateArray().Select(input => (input.GetProperty("lot").GetString()!, Long(input, "massMilligrams")))
        : [];

    private ModelLot Of(JsonElement text) => Lots[text.GetProperty("lot").GetString()!];

    private static long Long(JsonElement text, string name) => text.GetProperty(name).GetInt64();

    private static JsonElement Parse(string text)
    {
        using var document = JsonDocument.Parse(text);
        return document.RootElement.Clone();
    }
}

internal sealed class ModelLot(string code, string kind)
{
    public string Code => code;

    public string Kind => kind;

    public List<(string Lot, long Milligrams, DateTimeOffset At)> Inputs { get; } = [];

    public long Made { get; set; }

    public long Gone { get; set; }

    public long OnHand => Made - Gone;

    public long NetMilligrams { get; set; }

    public double FreshGrams { get; set; }

    public double FreshPerGram { get; set; } = 1;

    public double ColdestCelsius { get; set; } = double.MaxValue;

    public bool IsDry { get; set; }

    /// <summary>When, and how far above the room.</summary>
    public List<(DateTimeOffset At, double AboveRoom)> Readings { get; } = [];

    public DateTimeOffset? WeighedAt { get; set; }

    public bool IsDryAndCold(DateTimeOffset at) =>
        IsDry && Readings.Where(reading => reading.At >= WeighedAt && reading.At <= at).OrderBy(reading => reading.At).LastOrDefault() is { At.Ticks: > 0, AboveRoom: <= 5 };
}
