using Trace.Core.Holds;
using Trace.Core.Journal;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Recall;
using Trace.Core.Specifications;
using Trace.Core.Tracing;
using Trace.Core.Trends;
using Trace.Web.Hosting;
using Trace.Web.Pages.Charts;

namespace Trace.Web.Pages;

/// <summary>What the quality officer has to look at: only what is out of the ordinary, the most urgent first.</summary>
/// <param name="Complaints">The newest that are open; those that tell of harm first.</param>
/// <param name="Repeated">Two or more open complaints alike on one lot.</param>
/// <param name="Actions">Due within a week, overdue, or done and not looked at.</param>
/// <param name="DrillDue">Why a drill is due; null when none is.</param>
/// <param name="Held">What is on hand and held, by what holds it: one origin may hold many lots.</param>
/// <param name="Late">Entries that were recorded long after they happened; null when the journal cannot be read.</param>
/// <param name="Due">Instruments whose check is missing, failed, overdue, or due soon.</param>
/// <param name="Signals">Signals of the yield chart of each dryer, of the last days.</param>
/// <param name="Truncated">True when older lots were not looked at.</param>
public sealed record QualityView(
    IReadOnlyList<HeldGroup> Held, IReadOnlyList<QualityLot> ShippedHeld, IReadOnlyList<QualityRecall> Recalls,
    IReadOnlyList<ComplaintCase> Complaints, IReadOnlyList<LateEntry>? Late, IReadOnlyList<InstrumentSummary> Due,
    IReadOnlyList<YieldSignal> Signals, bool Truncated, IReadOnlyList<RepeatedComplaint> Repeated,
    IReadOnlyList<CorrectiveAction> Actions, string? DrillDue)
{
    /// <summary>How many of the newest lots are judged for the page.</summary>
    public const int MostLots = 4_000;

    private const int Slice = 200;
    private const int MostShown = 200;
    private const int MostComplaints = 50;

    /// <summary>How many of the newest entries are looked at for late ones.</summary>
    private const int MostEntries = 500;

    /// <summary>For how long signals and late entries stay on the page.</summary>
    private static readonly TimeSpan Recent = TimeSpan.FromDays(7);

    /// <summary>Half a shift: an entry told later is told from memory. An engineering choice.</summary>
    private static readonly TimeSpan LateAfter = TimeSpan.FromHours(4);

    private const int DueWithinDays = 7;

    private static readonly TimeSpan DueSoon = TimeSpan.FromDays(2);

    /// <summary>Judging all rules of many lots takes a while: done in slices, so that nobody at the bench waits for it.</summary>
    public static async Task<QualityView> Of(TraceApp app, SiteLedger ledger, DateTimeOffset now)
    {
        var seen = await ledger.ReadAsync(state => (
            state.Lots.Count, state.Head, state.Zone,
            Complaints: state.Complaints.Where(one => one.Closed is null).TakeLast(MostComplaints).Reverse()
                .OrderBy(complaint => complaint.Harm.Count > 0 ? 0 : 1).ToList(),
            Recalls: state.Recalls.Values.OrderBy(recall => recall.Closed is null ? 0 : 1).ThenByDescending(recall => recall.Seq).Take(50)
                .Select(recall => new QualityRecall(recall.Id, recall.Kind, recall.Reason, recall.OpenedAt, recall.Closed?.At)).ToList(),
            Due: state.Instruments.Keys.Order(StringComparer.Ordinal).Select(name => InstrumentSummary.Of(state, name, now))
                .Where(one => one.Status != InstrumentSummary.Good || one.Due < now + DueSoon).ToList(),
            Signals: SignalsOf(state, now), Repeated: ComplaintTrend.RepeatedOf(state),
            Actions: state.Actions.Where(one => one.State == ActionState.Done
                || (one.State == ActionState.Open && one.DueOn <= state.Zone.DateOf(now).AddDays(DueWithinDays)))
                    .OrderBy(one => one.DueOn).ToList(),
            DrillDue: DrillsDue.Of(state, now)));
        var (found, memory) = (new List<QualityLot>(), new HoldMemory());
        var oldest = Math.Max(0, seen.Count - MostLots);
        for (var end = seen.Count; end > oldest; end -= Slice)
        {
            var (from, to) = (Math.Max(oldest, end - Slice), end);
            found.AddRange(await ledger.ReadAsync(state => Judge(state, from, to, now, memory)));
        }

        return new QualityView(
            Grouped(found.Where(lot => !lot.ShippedHeld)), [.. found.Where(lot => lot.ShippedHeld).Take(MostShown)], seen.Recalls,
            seen.Complaints, LateOf(app, ledger.Code, seen.Head, now), seen.Due, seen.Signals, oldest > 0, seen.Repeated,
            seen.Actions, seen.DrillDue);
    }

    private static List<QualityLot> Judge(SiteState state, int from, int to, DateTimeOffset now, HoldMemory memory)
    {
        var held = new List<QualityLot>();
        for (var index = Math.Min(to, state.Lots.Count) - 1; index >= from; index--)
        {
            var lot = state.Lots[index];
            if (lot.OnHand.Milligrams <= 0 && !lot.IsInProcess && lot.Record is not PackedRecord { PacksShipped: > 0 }) continue;
            var holds = HoldRules.HoldsOn(state, lot, now, memory: memory);
            var shipped = LotSummary.ShippedHeld(lot, holds);
            if (holds.Count > 0 && (shipped || lot.OnHand.Milligrams > 0 || lot.IsInProcess))
                held.Add(new QualityLot(
                    lot.Code, lot.Kind, lot.OnHand.Grams, LotSummary.PlaceOf(lot), holds, shipped, SinceOf(state, holds[0])));
        }

        return held;
    }

    /// <summary>A placed hold stands since it was placed; what a rule finds, since the lot with the reason was made.</summary>
    private static DateTimeOffset SinceOf(SiteState state, Hold hold)
    {
        var origin = state.Find(hold.Lot)!;
        return origin.PlacedHolds.FirstOrDefault(placed => placed.Id == hold.HoldId)?.At ?? origin.MadeAt;
    }

    private static List<HeldGroup> Grouped(IEnumerable<QualityLot> lots) =>
    [
        .. lots.GroupBy(lot => (lot.Holds[0].Rule, lot.Holds[0].Lot, lot.Holds[0].HoldId))
            .Select(group => new HeldGroup(group.First().Holds[0], [.. group], group.Min(lot => lot.Since)))
            .OrderBy(group => group.Since).Take(MostShown),
    ];

    private static List<LateEntry>? LateOf(TraceApp app, string site, long head, DateTimeOffset now)
    {
        try
        {
            return
            [
                .. app.Journal.Query(new EntryQuery(site, After: Math.Max(0, head - MostEntries), Limit: MostEntries)).Entries
                    .Where(found => found.Entry.RecordedAt - found.Entry.HappenedAt > LateAfter && now - found.Entry.RecordedAt < Recent)
                    .Reverse().Take(20)
                    .Select(found => new LateEntry(
                        found.Seq, found.Entry.Type, found.Entry.HappenedAt, found.Entry.RecordedAt, found.Entry.Person,
                        found.Entry.Lots.Count > 0 ? found.Entry.Lots[0] : null)),
            ];
        }
        catch (JournalDamagedException)
        {
            // What is held is known without the file, and is needed most when the file is damaged. The page's head says what is wrong.
            return null;
        }
    }

    private static List<YieldSignal> SignalsOf(SiteState state, DateTimeOffset now)
    {
        var facts = BatchSeries.Of(state, Measure.Yield, Math.Max(0, state.Lots.Count - MostLots));
        var signals = new List<YieldSignal>();
        foreach (var dryer in facts.Select(fact => fact.Dryer).Distinct().Order(StringComparer.Ordinal))
        {
            var (ask, _) = new ChartQuery(By: "dryer", Key: dryer).Read(state.Zone.DateOf(now));
            if (ask is null) continue;
            var chart = ControlChart.Of(facts, ask, state.Zone, product => state.Specifications.Approved(product)?.Specification);
            signals.AddRange(chart.Signals.Where(signal => now - signal.At < Recent)
                .Select(signal => new YieldSignal(dryer, signal.Lot, signal.At, signal.Words)));
        }

        return [.. signals.OrderByDescending(signal => signal.At).Take(20)];
    }
}

/// <param name="Since">Since when it is held, as far as it can be told.</param>
public sealed record QualityLot(
    string Lot, LotKind Kind, decimal OnHandGrams, string Place, IReadOnlyList<Hold> Holds, bool ShippedHeld, DateTimeOffset Since);

/// <summary>All that one reason holds.</summary>
/// <param name="Hold">The reason, with its evidence.</param>
public sealed record HeldGroup(Hold Hold, IReadOnlyList<QualityLot> Lots, DateTimeOffset Since);

public sealed record QualityRecall(string Id, RecallKind Kind, string Reason, DateTimeOffset OpenedAt, DateTimeOffset? ClosedAt);

public sealed record LateEntry(long Seq, string Type, DateTimeOffset HappenedAt, DateTimeOffset RecordedAt, string Person, string? Lot);

public sealed record YieldSignal(string Dryer, string Lot, DateTimeOffset At, string Words);
