using Trace.Core;
using Trace.Core.Corrections;
using Trace.Core.Journal;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Recall;
using Trace.Web.Hosting;

namespace Trace.Web.Views;

/// <summary>Journal entries as they count now: with the newest correction in the place of what it corrects, and voided ones left
/// out.</summary>
internal static class CountedEntries
{
    private const int Page = 500;

    /// <summary>All that touch a lot, in the order of the journal.</summary>
    public static async Task<IReadOnlyList<CountedEntry>> OfLot(TraceApp app, SiteLedger ledger, string lot)
    {
        var corrections = await CorrectionsOf(ledger);
        var seqs = new SortedSet<long>();
        foreach (var entry in Query(app, new EntryQuery(ledger.Code, Lot: lot, Limit: Page)))
        {
            // A correction may have brought an entry to this lot that named another one.
            seqs.Add(entry.Entry.Type == EntryCorrected.Type ? ((EntryCorrected)Read(entry)).Corrects : entry.Seq);
        }

        return [.. seqs.Select(seq => app.Journal.Get(ledger.Code, seq)).OfType<JournalEntry>()
            .Select(entry => Count(app, ledger.Code, entry, corrections)).OfType<CountedEntry>()
            .Where(entry => entry.Happened.Lots.Contains(lot))];
    }

    /// <summary>All that happened in a stretch of time, in the order in which it happened. Read page by page.</summary>
    public static async Task<IReadOnlyList<CountedEntry>> OfTime(TraceApp app, SiteLedger ledger, DateTimeOffset from,
        DateTimeOffset before)
    {
        var corrections = await CorrectionsOf(ledger);
        var found = Query(app, new EntryQuery(ledger.Code, HappenedFrom: from, HappenedBefore: before, Limit: Page))
            .Select(entry => Count(app, ledger.Code, entry, corrections)).OfType<CountedEntry>();

        // What a correction moved into the stretch from outside it, and what it moved out.
        var moved = corrections.Keys.Select(seq => app.Journal.Get(ledger.Code, seq)).OfType<JournalEntry>()
            .Select(entry => Count(app, ledger.Code, entry, corrections)).OfType<CountedEntry>();
        return [.. found.Concat(moved).DistinctBy(entry => entry.Seq).Where(entry => entry.HappenedAt >= from && entry.HappenedAt < before)
            .OrderBy(entry => entry.HappenedAt).ThenBy(entry => entry.Seq)];
    }

    private static async Task<Dictionary<long, long>> CorrectionsOf(SiteLedger ledger) => await ledger.ReadAsync(state =>
        state.Corrections.GroupBy(correction => correction.Corrects).ToDictionary(group => group.Key, group => group.Max(one => one.Seq)));

    private static IEnumerable<JournalEntry> Query(TraceApp app, EntryQuery query)
    {
        for (long? after = 0; after is not null;)
        {
            var page = app.Journal.Query(query with { After = after.Value });
            foreach (var entry in page.Entries) yield return entry;
            after = page.Next;
        }
    }

    private static CountedEntry? Count(TraceApp app, string site, JournalEntry entry, Dictionary<long, long> corrections)
    {
        if (!corrections.TryGetValue(entry.Seq, out var correcting))
            return new(entry.Seq, entry.Entry.HappenedAt, entry.Entry.Person, Read(entry), null);
        if (app.Journal.Get(site, correcting) is not { } correction
            || Read(correction) is not EntryCorrected { Replacement: { } replacement } corrected)
            return null;
        return new(
            entry.Seq, corrected.HappenedAt ?? entry.Entry.HappenedAt, correction.Entry.Person,
            Areas.Codec.Read(corrected.EventType, replacement.GetRawText()), correcting);
    }

    private static ITraceEvent Read(JournalEntry entry) => Areas.Codec.Read(entry.Entry.Type, entry.Entry.Payload);
}
