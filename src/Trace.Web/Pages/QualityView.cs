using Trace.Core.Holds;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Core.Tracing;

namespace Trace.Web.Pages;

/// <summary>What the quality officer has to look at.</summary>
/// <param name="Complaints">The newest; those that tell of harm first.</param>
/// <param name="Truncated">True when older lots were not looked at.</param>
public sealed record QualityView(IReadOnlyList<QualityLot> Held, IReadOnlyList<QualityLot> ShippedHeld,
    IReadOnlyList<QualityRecall> Recalls, IReadOnlyList<ComplaintCase> Complaints, bool Truncated)
{
    /// <summary>How many of the newest lots are judged for the page.</summary>
    public const int MostLots = 4_000;

    private const int Slice = 200;
    private const int MostShown = 200;
    private const int MostComplaints = 50;

    /// <summary>Judging all rules of many lots takes a while: done in slices, so that nobody at the bench waits for it.</summary>
    public static async Task<QualityView> Of(SiteLedger ledger, DateTimeOffset now)
    {
        var (count, complaints, recalls) = await ledger.ReadAsync(state => (
            state.Lots.Count,
            state.Complaints.TakeLast(MostComplaints).Reverse().OrderBy(complaint => complaint.Harm.Count > 0 ? 0 : 1).ToList(),
            state.Recalls.Values.OrderBy(recall => recall.Closed is null ? 0 : 1).ThenByDescending(recall => recall.Seq).Take(50)
                .Select(recall => new QualityRecall(recall.Id, recall.Kind, recall.Reason, recall.OpenedAt, recall.Closed?.At)).ToList()));
        var found = new List<QualityLot>();
        var oldest = Math.Max(0, count - MostLots);
        for (var end = count; end > oldest; end -= Slice)
        {
            var (from, to) = (Math.Max(oldest, end - Slice), end);
            found.AddRange(await ledger.ReadAsync(state => Judge(state, from, to, now)));
        }

        return new QualityView(
            [.. found.Where(lot => !lot.ShippedHeld).Take(MostShown)], [.. found.Where(lot => lot.ShippedHeld).Take(MostShown)],
            recalls, complaints, oldest > 0);
    }

    private static List<QualityLot> Judge(SiteState state, int from, int to, DateTimeOffset now)
    {
        var held = new List<QualityLot>();
        for (var index = Math.Min(to, state.Lots.Count) - 1; index >= from; index--)
        {
            var lot = state.Lots[index];
            if (lot.OnHand.Milligrams <= 0 && !lot.IsInProcess && lot.Record is not PackedRecord { PacksShipped: > 0 }) continue;
            var holds = HoldRules.HoldsOn(state, lot, now);
            var shipped = LotSummary.ShippedHeld(lot, holds);
            if (holds.Count > 0 && (shipped || lot.OnHand.Milligrams > 0 || lot.IsInProcess))
                held.Add(new QualityLot(lot.Code, lot.Kind, lot.OnHand.Grams, LotSummary.PlaceOf(lot), holds, shipped));
        }

        return held;
    }
}

public sealed record QualityLot(string Lot, LotKind Kind, decimal OnHandGrams, string Place, IReadOnlyList<Hold> Holds, bool ShippedHeld);

public sealed record QualityRecall(string Id, RecallKind Kind, string Reason, DateTimeOffset OpenedAt, DateTimeOffset? ClosedAt);
