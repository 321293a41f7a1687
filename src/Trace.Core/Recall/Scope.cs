using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Core.Tracing;
using Trace.Core.Units;

namespace Trace.Core.Recall;

/// <summary>A lot in the scope, and why it is in.</summary>
/// <param name="Because"><c>named</c>, or through which lot it got the product.</param>
/// <param name="ExpectedShare">Share of the lot expected to come from the named lots; ranks only.</param>
/// <param name="ShippedGrams">With customers now.</param>
/// <param name="ReturnedGrams">Came back and stands here apart.</param>
/// <param name="PackingLossGrams">Taken for packing and not in the packs.</param>
/// <param name="PacksShipped">With customers now.</param>
public sealed record ScopeLot(
    string Lot, LotKind Kind, string Because, double ExpectedShare, decimal MadeGrams, decimal UsedGrams, decimal OnHandGrams,
    decimal ShippedGrams, decimal ReturnedGrams, decimal SampledGrams, decimal DisposedGrams, decimal UnaccountedGrams,
    decimal PackingLossGrams, int? Packs, int? PacksShipped, string Place);

/// <summary>Who got packs of the scope, and how to reach them. Packs and mass are what was delivered, whatever became of it.</summary>
public sealed record ScopeConsignee(
    string Customer, string? Address, string? Country, string? Phone, string? Email, int Packs, decimal MassGrams,
    IReadOnlyList<TraceConsignee> Deliveries, string? Language = null);

/// <summary>
/// Where all the product in the scope is, grams. <c>Made</c> counts each gram once: it is what the lots of the scope had, less what went on
/// into other lots of the scope. Made = on hand + shipped + returned + samples + disposed + unaccounted, to the milligram.
/// </summary>
/// <param name="UnaccountedUncertaintyGrams">Standard uncertainty of the unaccounted, from the tolerance of the balances.</param>
public sealed record ScopeBalance(
    decimal MadeGrams, decimal OnHandGrams, decimal ShippedGrams, decimal ReturnedGrams, decimal SampledGrams, decimal DisposedGrams,
    decimal UnaccountedGrams, double UnaccountedPercent, double UnaccountedUncertaintyGrams, double UnaccountedUncertaintyPercent);

/// <summary>All that the named lots went into, as known now: reachability alone, however small the amount.</summary>
public sealed record Scope(IReadOnlyList<ScopeLot> Lots, IReadOnlyList<ScopeConsignee> Consignees, ScopeBalance Balance)
{
    /// <param name="named">Lot codes; those that are not there any more are passed over.</param>
    public static Scope Of(SiteState state, IReadOnlyList<string> named)
    {
        var starts = named.Select(state.Find).OfType<Lot>().Select(lot => lot.Index).Distinct().ToList();
        var reached = state.Graph.Reach(starts, back: false);
        var shares = Shares.Forward(state, starts, reached);
        var (inScope, isNamed) = (reached.ToHashSet(), starts.ToHashSet());
        var lots = reached.Select(index => state.Lots[index]).ToList();
        return new Scope(
            [
                .. lots.Select(lot => Line(lot, Because(state, lot, isNamed, inScope), shares.GetValueOrDefault(lot.Index)))
                    .OrderBy(line => line.Because == Named ? 0 : 1).ThenBy(line => line.Kind).ThenByDescending(line => line.ExpectedShare),
            ],
            ConsigneesOf(state, lots), BalanceOf(state, lots, inScope));
    }

    internal const string Named = "named";

    private static ScopeLot Line(Lot lot, string because, double share)
    {
        var packed = lot.Record as PackedRecord;
        return new ScopeLot(
            lot.Code, lot.Kind, because, Math.Round(share, 6), lot.Made.Grams, lot.Used.Grams, lot.OnHand.Grams, lot.Shipped.Grams,
            lot.Returned.Grams, lot.Sampled.Grams, lot.Disposed.Grams, lot.Unaccounted.Grams, PackingLoss(lot).Grams, packed?.Packs,
            packed?.PacksShipped, LotSummary.PlaceOf(lot));
    }

    private static Mass PackingLoss(Lot lot) => lot.Record is PackedRecord packed ? packed.MassIn - lot.Made : Mass.Zero;

    private static string Because(SiteState state, Lot lot, HashSet<int> named, HashSet<int> inScope) => named.Contains(lot.Index)
        ? Named
        : "got " + string.Join(", ", state.Graph.Inputs(lot.Index).Where(edge => inScope.Contains(edge.From))
            .GroupBy(edge => edge.From)
            .Select(group => $"{Mass.Sum(group.Select(edge => edge.Mass))} of {state.Lots[group.Key].Code}"));

    private static List<ScopeConsignee> ConsigneesOf(SiteState state, IReadOnlyList<Lot> lots) =>
        [.. lots.SelectMany(TraceView.ConsigneesOf)
            .GroupBy(delivery => delivery.Customer)
            .Select(group =>
            {
                var contact = state.Consignees.GetValueOrDefault(group.Key);
                return new ScopeConsignee(
                    group.Key, contact?.Address, contact?.Country, contact?.Phone, contact?.Email, group.Sum(delivery => delivery.Packs),
                    group.Sum(delivery => delivery.MassGrams), [.. group.OrderBy(delivery => delivery.ShippedAt)], contact?.Language);
            })
            .OrderByDescending(consignee => consignee.MassGrams).ThenBy(consignee => consignee.Customer, StringComparer.Ordinal)];

    private static ScopeBalance BalanceOf(SiteState state, IReadOnlyList<Lot> lots, HashSet<int> inScope)
    {
        // A step changes the mass (water, cleaning, packing loss), so grams are counted where they rest: in lots, not in passages.
        var rest = new Mass[6];
        var variance = 0.0;
        foreach (var lot in lots)
        {
            rest[0] += lot.OnHand;
            rest[1] += lot.Shipped;
            rest[2] += lot.Returned;
            rest[3] += lot.Sampled;
            rest[4] += lot.Disposed;
            rest[5] += lot.Unaccounted;
            var isWhole = lot.Record is PackedRecord && state.Graph.Inputs(lot.Index).All(edge => inScope.Contains(edge.From));
            if (isWhole) rest[5] += PackingLoss(lot);
            if (lot.Unaccounted != Mass.Zero || (isWhole && PackingLoss(lot) != Mass.Zero))
                variance += Math.Pow(LotBalance.UncertaintyOf(state, lot), 2);
        }

        var (made, uncertainty) = (Mass.Sum(rest), Math.Sqrt(variance));
        double Percent(double grams) => made == Mass.Zero ? 0 : Math.Round(grams / made.GramsApprox * 100, 3);
        return new ScopeBalance(
            made.Grams, rest[0].Grams, rest[1].Grams, rest[2].Grams, rest[3].Grams, rest[4].Grams, rest[5].Grams,
            Percent(rest[5].GramsApprox), Math.Round(uncertainty, 3), Percent(uncertainty));
    }
}
