using Trace.Core.Holds.Rules;
using Trace.Core.Lots;
using Trace.Core.Science;
using Trace.Core.Specifications;

namespace Trace.Core.Trends;

/// <summary>One drying batch as a chart sees it.</summary>
/// <param name="At">Weigh-out, as told.</param>
/// <param name="Seq">Its entry, for batches told at the same time.</param>
/// <param name="Supplier">Whose larvae went in; "several suppliers" when there is more than one.</param>
/// <param name="Operator">Who recorded the weigh-out.</param>
public sealed record BatchFact(
    string Lot, DateTimeOffset At, long Seq, double Value, string Dryer, string Product, string Supplier, string Operator)
{
    public string Of(Grouping by) => by switch
    {
        Grouping.Dryer => Dryer,
        Grouping.Supplier => Supplier,
        Grouping.Operator => Operator,
        Grouping.Product => Product,
        _ => "",
    };
}

/// <summary>
/// The drying batches of a site with one value each, from what now counts: corrections are in the state already, and a batch that is in
/// the dryer again has no value yet.
/// </summary>
public static class BatchSeries
{
    public const string SeveralSuppliers = "several suppliers";
    public const string Unknown = "not known";

    /// <summary>Batches among the lots from one index to before another, in the order of the journal, that have a value.</summary>
    /// <param name="from">Clipped to the lots that there are, as is <paramref name="to"/>: a site can be read in slices.</param>
    public static IReadOnlyList<BatchFact> Of(SiteState state, Measure measure, int from = 0, int to = int.MaxValue)
    {
        ArgumentNullException.ThrowIfNull(state);
        var suppliers = new Dictionary<int, string>();
        var facts = new List<BatchFact>();
        for (var index = Math.Max(0, from); index < Math.Min(to, state.Lots.Count); index++)
        {
            var lot = state.Lots[index];
            if (lot.Kind != LotKind.Dried) continue;
            if (lot.Record is not DryingRecord { NeedsWeighOut: false, LastWeighOut: { } last } drying) continue;
            if (ValueOf(state, lot, drying, last, measure) is not { } value || !double.IsFinite(value)) continue;
            facts.Add(new(
                lot.Code, last.At, last.Seq, value, drying.Dryer, lot.Specification?.Product ?? Unknown, SupplierOf(state, lot, suppliers),
                last.Person ?? Unknown));
        }

        return facts;
    }

    private static double? ValueOf(SiteState state, Lot lot, DryingRecord drying, WeighOut last, Measure measure) => measure switch
    {
        Measure.Yield => drying.FreshGrams > 0 ? last.MassOut.GramsApprox / drying.FreshGrams * 100 : null,
        Measure.PredictedMoisture => Predicted(state, lot, drying, last),
        Measure.MeasuredMoisture => Mean(lot, last, "moisture") * 100,
        Measure.WaterActivity => Mean(lot, last, "water-activity"),
        Measure.Energy => Energy(drying, last),
        _ => throw new ArgumentOutOfRangeException(nameof(measure), measure, null),
    };

    private static double? Predicted(SiteState state, Lot lot, DryingRecord drying, WeighOut last)
    {
        var (initial, _) = DryingYield.InitialMoisture(state, state.SpecificationOf(lot).Drying, lot);
        var (fresh, left) = (drying.FreshGrams, last.MassOut.GramsApprox);
        if (initial.Value is not (> 0 and < 1) || !(left > 0) || !(left <= fresh)) return null;

        // A moisture below zero is shown as it is: it says that the weighings or the moisture in are wrong.
        return DrySolids.FinalMoisture(fresh, left, new(initial.Value, 0), 0, 0).Value * 100;
    }

    /// <summary>What was measured before the last weigh-out was a wetter batch.</summary>
    private static double? Mean(Lot lot, WeighOut last, string kind) =>
        lot.Checks.LastOrDefault(made => made.Kind == kind && made.At >= last.At) is { } check ? Measured.Mean(check) : null;

    private static double? Energy(DryingRecord drying, WeighOut last)
    {
        var seconds = drying.Cycles.Sum(cycle => (long)cycle.Seconds);
        var water = (drying.MassIn - last.MassOut).GramsApprox;
        return seconds > 0 && water > 0 && drying.PowerWatts > 0 && double.IsFinite(drying.PowerWatts)
            ? EvaporationEnergy.SpecificEnergyKilowattHourPerKilogram(drying.PowerWatts, seconds, water)
            : null;
    }

    private static string SupplierOf(SiteState state, Lot lot, Dictionary<int, string> known)
    {
        string? found = null;
        foreach (var edge in state.Graph.Inputs(lot.Index))
        {
            if (!known.TryGetValue(edge.From, out var supplier)) known[edge.From] = supplier = SupplierBehind(state, edge.From);
            if (found is not null && found != supplier) return SeveralSuppliers;
            found = supplier;
        }

        return found ?? Unknown;
    }

    private static string SupplierBehind(SiteState state, int lot)
    {
        string? found = null;
        foreach (var index in state.Graph.Reach([lot], back: true))
        {
            if (state.Lots[index].Kind != LotKind.Harvest || state.Lots[index].Record is not HarvestRecord harvest) continue;
            if (found is not null && found != harvest.Supplier) return SeveralSuppliers;
            found = harvest.Supplier;
        }

        return found ?? Unknown;
    }
}
