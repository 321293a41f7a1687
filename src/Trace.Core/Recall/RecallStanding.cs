using Trace.Core.Lots;
using Trace.Core.Specifications;

namespace Trace.Core.Recall;

/// <summary>Where one consignee stands in a recall.</summary>
/// <param name="DeliveredPacks">Of the scope as known now.</param>
/// <param name="IsTold">Told of every delivery of the scope.</param>
/// <param name="Notice">The last notice; null before the first.</param>
/// <param name="BackPacks">Came back here, by our record.</param>
/// <param name="DestroyedPacks">Destroyed there with proof, by our record.</param>
/// <param name="ConfirmedPacks">Accounted for by the consignee: held, sold on, sent back or destroyed.</param>
/// <param name="OpenPacks">Delivered, and neither confirmed by the consignee nor back or destroyed by our record.</param>
/// <param name="Check">The last check; null before the first.</param>
public sealed record ConsigneeStanding(
    ScopeConsignee Consignee, int DeliveredPacks, bool IsTold, ConsigneeNotice? Notice, ConsigneeAnswer? Answer, int BackPacks,
    int DestroyedPacks, int ConfirmedPacks, int OpenPacks, ConsigneeCheck? Check)
{
    public string Customer => Consignee.Customer;

    /// <summary>The consignee says that it sent back more than has come, or less.</summary>
    public bool Differs => Answer is { } answer && answer.ReturnedPacks != BackPacks;
}

/// <summary>How far a recall is: each consignee, and the totals. Live; a status report freezes the totals.</summary>
public sealed record RecallStanding(Scope Scope, IReadOnlyList<ConsigneeStanding> Consignees, RecallTotals Totals)
{
    public static RecallStanding Of(SiteState state, RecallCase recall)
    {
        var scope = Scope.Of(state, recall.Lots);
        var told = recall.Notices.Where(notice => notice.IsTold)
            .SelectMany(notice => notice.Lines.Select(line => (notice.Customer, line.Shipment, line.Lot, line.Packs))).ToHashSet();
        var notices = recall.Notices.GroupBy(notice => notice.Customer)
            .ToDictionary(group => group.Key, group => group.Last(), StringComparer.Ordinal);
        var answers = recall.Answers.GroupBy(one => one.Customer)
            .ToDictionary(group => group.Key, group => group.Last(), StringComparer.Ordinal);
        var checks = recall.Checks.GroupBy(one => one.Customer)
            .ToDictionary(group => group.Key, group => group.Last(), StringComparer.Ordinal);
        var returns = scope.Lots.Where(line => line.Kind == LotKind.Packed).SelectMany(line => state.Find(line.Lot)!.Returns)
            .ToLookup(back => back.Customer, StringComparer.Ordinal);
        var standings = scope.Consignees.Select(one =>
        {
            var answer = answers.GetValueOrDefault(one.Customer);
            var back = returns[one.Customer].Where(line => !line.IsDestroyed).Sum(line => line.Packs);
            var destroyed = returns[one.Customer].Where(line => line.IsDestroyed).Sum(line => line.Packs);
            var confirmed = answer is null ? 0 : answer.HeldPacks + answer.SoldPacks + answer.ReturnedPacks + answer.DestroyedPacks;
            return new ConsigneeStanding(
                one, one.Packs,
                one.Deliveries.All(delivery => told.Contains((one.Customer, delivery.Shipment, delivery.Lot, delivery.Packs))),
                Shown(notices.GetValueOrDefault(one.Customer)), answer, back, destroyed, confirmed,
                Math.Max(0, one.Packs - Math.Max(confirmed, back + destroyed)), checks.GetValueOrDefault(one.Customer));
        }).ToList();
        return new RecallStanding(scope, standings, TotalsOf(state, recall, scope, standings));
    }

    /// <summary>Without the secret of its address: who reads the report must not be able to answer in the consignee's place.</summary>
    private static ConsigneeNotice? Shown(ConsigneeNotice? notice) => notice is null ? null : notice with { Link = "" };

    /// <summary>How many consignees a level asks to check.</summary>
    public static int ChecksWanted(RecallCase recall, int consignees) => (int)Math.Ceiling(Math.Round(recall.CheckShare * consignees, 9));

    private static RecallTotals TotalsOf(SiteState state, RecallCase recall, Scope scope, List<ConsigneeStanding> all)
    {
        var (balance, answers) = (scope.Balance, all.Select(one => one.Answer).OfType<ConsigneeAnswer>().ToList());
        var here = scope.Lots.Where(line => line.Kind == LotKind.Packed).Select(line => state.Find(line.Lot)!).Sum(DestroyedHere);
        return new RecallTotals(
            scope.Lots.Count, all.Count, all.Count(one => one.IsTold), answers.Count, ChecksWanted(recall, all.Count),
            all.Count(one => one.Check is not null), all.Count(one => one.Check is { Reached: true, Acted: true }),
            all.Sum(one => one.DeliveredPacks), answers.Sum(one => one.ReceivedPacks), answers.Sum(one => one.HeldPacks),
            answers.Sum(one => one.SoldPacks), answers.Sum(one => one.ReturnedPacks), all.Sum(one => one.ConfirmedPacks),
            all.Sum(one => one.BackPacks), here + all.Sum(one => one.DestroyedPacks), balance.MadeGrams, balance.OnHandGrams,
            balance.ShippedGrams, balance.ReturnedGrams, balance.SampledGrams, balance.DisposedGrams, balance.UnaccountedGrams,
            balance.UnaccountedPercent, balance.UnaccountedUncertaintyPercent);
    }

    /// <summary>Packs that came back and do not stand here any more: they can only have been destroyed.</summary>
    private static int DestroyedHere(Lot lot) => lot.Returns.Where(back => !back.IsDestroyed).Sum(back => back.Packs)
        - (int)(lot.Returned.Milligrams / ((PackedRecord)lot.Record).NetMass.Milligrams);
}
