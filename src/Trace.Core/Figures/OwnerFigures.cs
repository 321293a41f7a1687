using Trace.Core.Holds;
using Trace.Core.Lots;
using Trace.Core.Specifications;

namespace Trace.Core.Figures;

/// <summary>Yield of the batches of one dryer or one supplier: all that came out ÷ all that went in.</summary>
public sealed record YieldLine(string Name, int Batches, double InGrams, double OutGrams)
{
    public double YieldPercent => OutGrams / InGrams * 100;
}

/// <summary>What a recall of one open container's content would take back today.</summary>
/// <param name="Worth">By the price that the product's specification tells; null without one.</param>
public sealed record ContainerAtRisk(
    string Container, string Lot, decimal OnHandGrams, decimal RecallGrams, decimal ShippedGrams, int PacksShipped, int Customers,
    double? Worth);

/// <summary>The business at a glance: what was made in the period, and what stands in the house now.</summary>
/// <param name="SellablePacks">Labelled packs on hand that nothing holds.</param>
/// <param name="WaitingPacks">Packs on hand that nothing holds but that have no labels yet.</param>
/// <param name="HeldGrams">On hand, of dried, bulk and packed lots that something holds.</param>
/// <param name="GivenAwayGrams">Above nominal, over the packs of the period's lots that were weighed, taken for the whole lots.</param>
/// <param name="EnergyCostPerKilogram">Mains energy of the period's batches per kilogram dried; null while the site told no price.</param>
/// <param name="Truncated">True when there were more lots than were looked at.</param>
public sealed record OwnerFigures(
    int Days, int Batches, double DriedGrams, int PackedPacks, decimal PackedGrams, decimal ShippedGrams, int SellablePacks,
    decimal SellableGrams, int WaitingPacks, decimal HeldGrams, int HeldLots, decimal GivenAwayGrams, decimal? GivenAwayCost,
    string? GivenAwayCurrency, double MainsKilowattHours, double? EnergyCostPerKilogram, string? Currency,
    IReadOnlyList<YieldLine> BySupplier, IReadOnlyList<YieldLine> ByDryer, IReadOnlyList<ContainerAtRisk> Open, bool Truncated)
{
    /// <summary>So many of the newest lots are looked through for the period.</summary>
    public const int MostLots = 20_000;

    /// <summary>So many lots on hand are asked whether they are held; each asks all rules.</summary>
    public const int MostJudged = 400;

    /// <param name="days">Length of the period up to now, 1 to 366.</param>
    public static OwnerFigures Of(SiteState state, int days, DateTimeOffset now)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(days, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(days, 366);
        var from = now.AddDays(-days);
        var (batches, packed, standing) = (new List<Lot>(), new List<Lot>(), new List<Lot>());
        var oldest = Math.Max(0, state.Lots.Count - MostLots);
        for (var index = state.Lots.Count - 1; index >= oldest; index--)
        {
            var lot = state.Lots[index];
            if (lot.Kind is LotKind.Harvest or LotKind.Sanitised) continue;
            if (lot.OnHand.Milligrams > 0) standing.Add(lot);
            if (lot.MadeAt < from) continue;
            if (lot.Kind == LotKind.Dried && lot.Made.Milligrams > 0) batches.Add(lot);
            if (lot.Kind == LotKind.Packed) packed.Add(lot);
        }

        var memory = new HoldMemory();
        var judged = standing.Take(MostJudged)
            .Select(lot => (Lot: lot, IsHeld: HoldRules.HoldsOn(state, lot, now, memory: memory).Count > 0)).ToList();
        var free = judged.Where(one => !one.IsHeld && one.Lot.Kind == LotKind.Packed).Select(one => one.Lot).ToList();
        var sellable = free.Where(lot => lot.Prints.Any(print => print.IsOwn())).ToList();
        var held = judged.Where(one => one.IsHeld).Select(one => one.Lot).ToList();
        var weighed = packed.Select(lot => NetQuantityReport.Of(state, lot, now)).OfType<NetQuantityReport>().ToList();
        var energy = batches.Select(lot => EnergyFigures.Of(state, lot)).OfType<EnergyFigures>().ToList();
        var (dried, mains) = (batches.Sum(lot => lot.Made.GramsApprox), energy.Sum(one => one.MainsKilowattHours));
        var costs = weighed.Where(one => one.LotGivenAwayCost is not null).ToList();
        return new(
            days, batches.Count, dried, packed.Sum(lot => ((PackedRecord)lot.Record).Packs), packed.Sum(lot => lot.Made.Grams),
            packed.Sum(lot => lot.Shipped.Grams), sellable.Sum(PacksOf), sellable.Sum(lot => lot.OnHand.Grams),
            free.Except(sellable).Sum(PacksOf),
            held.Sum(lot => lot.OnHand.Grams), held.Count, weighed.Sum(one => one.LotGivenAwayGrams ?? 0),
            costs.Count == 0 ? null : costs.Sum(one => one.LotGivenAwayCost), costs.FirstOrDefault()?.Currency, mains,
            dried > 0 ? mains / (dried / 1000) * (double?)state.Site.EnergyPrice : null, state.Site.Currency,
            Yields(batches, lot => SupplierOf(state, lot)), Yields(batches, lot => ((DryingRecord)lot.Record).Dryer),
            [.. state.Containers.Values.Where(container => container.Lot is not null)
                .OrderBy(container => container.Code, StringComparer.Ordinal).Select(container => AtRisk(state, container))],
            oldest > 0 || standing.Count > MostJudged);
    }

    private static int PacksOf(Lot lot) => (int)(lot.OnHand.Milligrams / ((PackedRecord)lot.Record).NetMass.Milligrams);

    private static List<YieldLine> Yields(List<Lot> batches, Func<Lot, string> nameOf) =>
    [
        .. batches.GroupBy(nameOf).Select(group => new YieldLine(
            group.Key, group.Count(), group.Sum(lot => ((DryingRecord)lot.Record).FreshGrams), group.Sum(lot => lot.Made.GramsApprox)))
            .Where(line => line.InGrams > 0).OrderByDescending(line => line.InGrams),
    ];

    /// <summary>Of a batch from several suppliers none can be told apart.</summary>
    private static string SupplierOf(SiteState state, Lot batch)
    {
        var names = state.Graph.Reach([batch.Index], back: true).Select(index => state.Lots[index].Record).OfType<HarvestRecord>()
            .Select(harvest => harvest.Supplier).Distinct().Take(2).ToList();
        return names.Count switch { 0 => "not known", 1 => names[0], _ => "several together" };
    }

    private static ContainerAtRisk AtRisk(SiteState state, Container container)
    {
        var lot = state.Get(container.Lot!);
        var reached = state.Graph.Reach([lot.Index], back: false).Select(index => state.Lots[index]).ToList();
        var lines = reached.SelectMany(one => one.Shipments).ToList();
        var grams = reached.Sum(one => one.OnHand.Grams + one.Shipped.Grams);
        return new(
            container.Code, lot.Code, lot.OnHand.Grams, grams, reached.Sum(one => one.Shipped.Grams), lines.Sum(line => line.Packs),
            lines.Select(line => line.Customer).Distinct().Count(),
            (double?)(state.SpecificationOf(lot).NetQuantity.PricePerKilogram * grams / 1000));
    }
}
