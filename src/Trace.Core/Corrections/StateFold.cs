using System.Text.Json;
using Trace.Core.Journal;
using Trace.Core.Lots;
using Trace.Core.Operations;

namespace Trace.Core.Corrections;

/// <summary>
/// Folds a site's journal into its state. A corrected entry counts in its old place with its new content, so everything after it is
/// judged on what is now known to be true. The newest correction of an entry counts.
/// </summary>
public sealed class StateFold(EventCodec codec)
{
    /// <summary>Folds all entries: once through, and once more when corrections were found on the way.</summary>
    /// <param name="read">Reads the stream from its first entry; called at most twice.</param>
    public SiteState Fold(Func<IEnumerable<JournalEntry>> read)
    {
        var corrections = new Dictionary<long, EntryCorrected>();
        var state = new SiteState();
        foreach (var entry in read())
        {
            if (Apply(state, entry.Seq, entry.Entry, null) is EntryCorrected corrected) corrections[corrected.Corrects] = corrected;
        }

        return corrections.Count == 0 ? state : Fold(read(), corrections);
    }

    /// <summary>
    /// Goes on from a state with the entries behind it; false if a correction is among them, which changes what came before.
    /// </summary>
    public bool GoOn(SiteState state, IEnumerable<JournalEntry> entries)
    {
        foreach (var entry in entries)
        {
            if (entry.Entry.Type == EntryCorrected.Type) return false;
            Apply(state, entry.Seq, entry.Entry, null);
        }

        return true;
    }

    /// <summary>Folds entries in the light of the given corrections.</summary>
    public SiteState Fold(IEnumerable<JournalEntry> entries, IReadOnlyDictionary<long, EntryCorrected> corrections)
    {
        var state = new SiteState();
        foreach (var entry in entries) Apply(state, entry.Seq, entry.Entry, corrections.GetValueOrDefault(entry.Seq));
        return state;
    }

    /// <summary>Applies one entry, or what a correction says instead, and gives the event that the entry holds.</summary>
    public ITraceEvent Apply(SiteState state, long seq, NewEntry entry, EntryCorrected? correction)
    {
        var happened = codec.Read(entry.Type, entry.Payload);
        Apply(state, seq, entry, happened, correction);
        return happened;
    }

    public void Apply(SiteState state, long seq, NewEntry entry, ITraceEvent happened, EntryCorrected? correction)
    {
        if (seq != state.Head + 1) throw new InvalidOperationException($"Entry {seq} cannot follow {state.Head}.");
        var at = new EventContext(seq, entry.HappenedAt, entry.RecordedAt, entry.Person, entry.Device);
        if (correction is null)
        {
            happened.Apply(state, at);
        }
        else if (correction.Replacement is { } replacement)
        {
            codec.Read(correction.EventType, replacement.GetRawText()).Apply(state,
                at with { HappenedAt = correction.HappenedAt ?? entry.HappenedAt });
        }
        else
        {
            happened.ApplyVoid(state);
        }

        // A lot that the corrected entry made and what counts now does not.
        if (correction is not null && happened is IMakesLot makes && !state.IsTaken(makes.Lot)) state.Retire(makes.Lot);
        state.Head = seq;
        if (entry.RequestKey is not null) state.NoteRequest(entry.RequestKey, seq);
        state.Rest();
    }

    /// <summary>Folds entries in the light of their corrections and of one that is about to be recorded.</summary>
    /// <param name="read">Reads the stream from its first entry; called twice.</param>
    public SiteState FoldWith(Func<IEnumerable<JournalEntry>> read, EntryCorrected corrected)
    {
        var corrections = new Dictionary<long, EntryCorrected>(CorrectionsIn(read())) { [corrected.Corrects] = corrected };
        return Fold(read(), corrections);
    }

    /// <summary>The newest correction of each entry.</summary>
    public IReadOnlyDictionary<long, EntryCorrected> CorrectionsIn(IEnumerable<JournalEntry> entries)
    {
        var found = new Dictionary<long, EntryCorrected>();
        foreach (var entry in entries)
        {
            if (entry.Entry.Type == EntryCorrected.Type && codec.Read(entry.Entry.Type, entry.Entry.Payload) is EntryCorrected corrected)
                found[corrected.Corrects] = corrected;
        }

        return found;
    }
}
