using System.Text.Json;
using Trace.Core.Journal;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;

namespace Trace.Core.Corrections;

/// <summary>
/// Decides what a correction makes of an entry: its replacement is decided on the state as it was just before the entry, so that it is as
/// valid as it would have been then, and nothing that later entries build on may fall away.
/// </summary>
internal sealed class CorrectionDecision(IJournal journal, EventCodec codec, TimeProvider clock)
{
    private readonly StateFold fold = new(codec);

    public Decision Decide(
        string site, SiteState state, JournalEntry entry, CorrectEntry correction, Operation operation, IRequest? replacement,
        Caller caller,
        Surroundings surroundings)
    {
        var decision = Replace(site, state, entry, correction, operation, replacement, caller, surroundings);
        if (decision.Refusals.Count > 0) return decision;

        // No further than what is known here: another program may be writing, and then the append is refused.
        var folded = fold.FoldWith(
            () => journal.Read(site).TakeWhile(known => known.Seq <= state.Head), (EntryCorrected)decision.Events[0]);
        return TwiceFilled(folded) is { } container
            ? Decision.Refuse("entry.not-correctable", $"Container {container} would hold two lots at once. Correct the later fill or clean break first.", "seq")
            : decision;
    }

    /// <summary>
    /// A container with a lot in it that it knows nothing of: two lots would be in it, or a clean break of the one would have emptied it
    /// of the other, and the next fill would begin a third.
    /// </summary>
    private static string? TwiceFilled(SiteState state) => state.Lots
        .Where(lot => lot.Kind == LotKind.Bulk && lot.Record is BulkRecord { IsClosedOff: false } bulk
            && (!state.Containers.TryGetValue(bulk.Container, out var container) || container.Lot != lot.Code))
        .Select(lot => ((BulkRecord)lot.Record).Container).FirstOrDefault();

    private Decision Replace(
        string site, SiteState state, JournalEntry entry, CorrectEntry correction, Operation operation, IRequest? replacement,
        Caller caller,
        Surroundings surroundings)
    {
        var now = clock.GetUtcNow();
        var old = codec.Read(entry.Entry.Type, entry.Entry.Payload);
        var made = MadeBy(state, old, entry.Seq);
        var corrections = fold.CorrectionsIn(journal.Read(site));
        if (replacement is null)
        {
            if (made is not null && FirstUser(site, made, entry.Seq, corrections) is { } user) return InUse(made, user);
            return Decision.Record(new EntryCorrected(entry.Seq, entry.Entry.Type, correction.Reason, null, null,
                [.. old.Lots.Distinct()]));
        }

        var told = replacement.HappenedAt ?? entry.Entry.HappenedAt;
        if (told > now + WritePath.ClockSkew) return Decision.Refuse("time.future", $"It is {now:yyyy-MM-dd HH:mm:ss zzz} now; {told:yyyy-MM-dd HH:mm:ss zzz} lies ahead.", "replacement.happenedAt");
        var before = fold.Fold(journal.Read(site).TakeWhile(earlier => earlier.Seq < entry.Seq), corrections);
        if (NamedLots.Find(before, replacement, out _) is { Count: > 0 } unknown)
            return Decision.Refuse([.. unknown.Select(refusal => refusal with { Field = "replacement." + refusal.Field })]);
        var decided = operation.Decide(
            replacement, new Situation(before, now, told, caller, surroundings, [], made ?? ""));
        if (decided.Refusals.Count > 0)
            return Decision.Refuse([.. decided.Refusals.Select(refusal => refusal with { Field = "replacement." + refusal.Field })]);
        var (type, payload) = codec.Write(decided.Events[0]);
        if (type != entry.Entry.Type)
            return Decision.Refuse("entry.not-correctable", $"Entry {entry.Seq} is {entry.Entry.Type}, the replacement would be {type}.", "replacement");
        if (MovesElsewhere(site, made, decided.Events[0], before, entry.Seq, corrections) is { } moves) return moves;
        using var document = JsonDocument.Parse(payload);
        return Decision.Record(
            new EntryCorrected(
                entry.Seq, type, correction.Reason, document.RootElement.Clone(), told,
                [.. old.Lots.Concat(decided.Events[0].Lots).Distinct()]),
            decided.Lot);
    }

    /// <summary>The lot that the entry made, or would have made were it not void; null for one that adds to a lot made before.</summary>
    private static string? MadeBy(SiteState state, ITraceEvent old, long seq) =>
        old is IMakesLot makes && (state.Find(makes.Lot) is not { } lot || lot.MadeBySeq == seq) ? makes.Lot : null;

    /// <summary>A fill corrected to another container may no longer make the lot that it made, or make one that it did not.</summary>
    private Decision? MovesElsewhere(
        string site, string? made, ITraceEvent now, SiteState before, long seq, IReadOnlyDictionary<long, EntryCorrected> corrections)
    {
        if (now is not IMakesLot makes || makes.Lot == made) return null;
        if (made is not null) return FirstUser(site, made, seq, corrections) is { } user ? InUse(made, user) : null;
        return before.Find(makes.Lot) is null
            ? Decision.Refuse("entry.not-correctable", "The replacement would begin a new lot. Void this entry and record it anew.", "replacement")
            : null;
    }

    private static Decision InUse(string lot, long user) => Decision.Refuse(
        "lot.gone-on", $"Lot {lot} is used by entry {user}. Correct that first, or correct the values of this entry.", "seq");

    /// <summary>The first later entry that uses a lot by what counts now: a void one does not, and one corrected to use it does.</summary>
    private long? FirstUser(string site, string lot, long madeBySeq, IReadOnlyDictionary<long, EntryCorrected> corrections)
    {
        for (long? after = madeBySeq; after is not null;)
        {
            var page = journal.Query(new EntryQuery(site, Lot: lot, After: after.Value, Limit: 500));
            foreach (var entry in page.Entries)
            {
                var counts = entry.Entry.Type == EntryCorrected.Type
                    ? ((EntryCorrected)codec.Read(entry.Entry.Type, entry.Entry.Payload)).Corrects
                    : entry.Seq;
                if (counts != madeBySeq && Uses(site, counts, lot, corrections)) return counts;
            }

            after = page.Next;
        }

        return null;
    }

    private bool Uses(string site, long seq, string lot, IReadOnlyDictionary<long, EntryCorrected> corrections)
    {
        if (!corrections.TryGetValue(seq, out var correction)) return journal.Get(site, seq)!.Entry.Lots.Contains(lot);
        return correction.Replacement is { } now && codec.Read(correction.EventType, now.GetRawText()).Lots.Contains(lot);
    }
}
