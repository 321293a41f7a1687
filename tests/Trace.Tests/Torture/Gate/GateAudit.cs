using System.Text.Json;
using Trace.Core;
using Trace.Core.Corrections;
using Trace.Core.Holds;
using Trace.Core.Journal;
using Trace.Core.Lots;
using Trace.Tests.Simulation;
using Trace.Tests.Support;

namespace Trace.Tests.Torture.Gate;

/// <summary>
/// Goes through the journal in its own order and judges each entry on what was known just before it: the state is folded up to there and
/// the gate asked as of the time told, and the model that knows only the entries' text is asked beside it.
/// </summary>
internal sealed class GateAudit(MemoryJournal journal)
{
    /// <summary>What the default specification allows a balance to be off, and larvae to gain in hot water.</summary>
    private const long ToleranceMilligrams = 2000;
    private const double Gain = 1.15;

    private readonly StateFold fold = new(Areas.Codec);
    private readonly HoldGate gate = new();
    private readonly List<JournalEntry> seen = [];
    private readonly HashSet<string> given = new(StringComparer.Ordinal);
    private SiteState state = new();

    public EntryModel Model { get; private set; } = new();

    /// <summary>Passages that were asked about, and corrections among the entries.</summary>
    public int Passages { get; private set; }

    public int Corrections { get; private set; }

    public int Count => seen.Count;

    /// <summary>Judges what was written since the last call; the first fault, or null.</summary>
    public string? Follow()
    {
        foreach (var entry in journal.Read(Plant.Code, seen.Count + 1).ToList())
        {
            var fault = Repeats(entry) ?? Moved(entry) ?? Model.Fault(entry);
            Take(entry);
            if ((fault ?? Masses(entry)) is { } found) return $"Entry {entry.Seq}, told for {entry.Entry.HappenedAt:O}: {found}\n{Last()}";
        }

        return null;
    }

    /// <summary>Lot codes, prints, shipments and request keys are given once in the life of a journal, also if they were voided.</summary>
    private string? Repeats(JournalEntry entry)
    {
        if (entry.Entry.RequestKey is { } key && !given.Add("key " + key)) return $"the key {key} was recorded before";
        var text = JsonDocument.Parse(entry.Entry.Payload).RootElement;
        if (entry.Entry.Type == EntryCorrected.Type)
        {
            // What counts instead keeps the number.
            var old = seen[(int)text.GetProperty("corrects").GetInt64() - 1];
            return text.TryGetProperty("replacement", out var now) && Number(old.Entry.Type, now) is { } kept
                && kept != Number(old.Entry.Type, JsonDocument.Parse(old.Entry.Payload).RootElement)
                ? $"the correction of entry {old.Seq} gives another number, {kept}"
                : null;
        }

        return Number(entry.Entry.Type, text) is { } number && !given.Add(number) ? $"{number} was given before" : null;
    }

    private static string? Number(string type, JsonElement text) => type switch
    {
        "filling.filled" when !text.GetProperty("opens").GetBoolean() => null,
        "receiving.received" or "sanitising.run" or "drying.started" or "filling.filled" or "packing.packed" => "lot " + text.GetProperty("lot").GetString(),
        "labels.printed" => "print " + text.GetProperty("print").GetString(),
        "shipping.shipped" => "shipment " + text.GetProperty("shipment").GetString(),
        _ => null,
    };

    private string? Moved(JournalEntry entry)
    {
        if (Door(entry.Entry.Type) is not { } door) return null;
        Passages++;
        foreach (var code in EntryModel.Moved(entry))
        {
            if (state.Find(code) is not { } lot) return $"{entry.Entry.Type} moved {code}, which is no lot";
            if (gate.HoldsOn(state, lot, entry.Entry.HappenedAt, door) is [var hold, ..])
                return $"{entry.Entry.Type} moved {code} while {hold.Rule} held {hold.Lot}: {hold.Reason}";
        }

        return null;
    }

    private static Passages? Door(string type) => type switch
    {
        "sanitising.run" => Core.Lots.Passages.Sanitising,
        "drying.started" => Core.Lots.Passages.Drying,
        "filling.filled" => Core.Lots.Passages.Filling,
        "packing.packed" => Core.Lots.Passages.Packing,
        "labels.printed" => Core.Lots.Passages.Labelling,
        "shipping.shipped" => Core.Lots.Passages.Shipping,
        _ => null,
    };

    private void Take(JournalEntry entry)
    {
        if (entry.Entry.Type == EntryCorrected.Type)
        {
            Corrections++;
            state = fold.FoldWith(() => seen, (EntryCorrected)Areas.Codec.Read(entry.Entry.Type, entry.Entry.Payload));
        }

        seen.Add(entry);
        fold.Apply(state, entry.Seq, entry.Entry, null);
        if (entry.Entry.Type == EntryCorrected.Type) Model = EntryModel.Of(seen);
        else Model.Take(entry);
    }

    /// <summary>No step takes more out of a lot than is in it, or makes more than went into it. Corrections tell what happened, and hold.</summary>
    private string? Masses(JournalEntry entry)
    {
        if (entry.Entry.Type == EntryCorrected.Type) return null;
        foreach (var lot in EntryModel.Moved(entry).Concat(Taken(entry)).Select(code => Model.Lots[code]))
        {
            if (lot.OnHand < -ToleranceMilligrams) return $"{-lot.OnHand} mg more were taken out of {lot.Code} than were in it";
        }

        if (entry.Entry.Type is not ("sanitising.run" or "drying.weighed-out" or "packing.packed")) return null;
        var made = Model.Lots[JsonDocument.Parse(entry.Entry.Payload).RootElement.GetProperty("lot").GetString()!];
        var most = made.Inputs.Sum(input => input.Milligrams) * (made.Kind == "T" ? Gain : 1) + ToleranceMilligrams;
        return made.Made > most ? $"{made.Made} mg came out as {made.Code}; {most} mg can" : null;
    }

    private static string[] Taken(JournalEntry entry) => entry.Entry.Type is "stock.disposed" or "stock.sampled" ? [entry.Entry.Lots[0]] : [];

    private string Last() => string.Join('\n', seen.TakeLast(12).Select(entry =>
        $"{entry.Seq} {entry.Entry.RecordedAt:O} {entry.Entry.Type} {entry.Entry.Payload[..Math.Min(300, entry.Entry.Payload.Length)]}"));
}
