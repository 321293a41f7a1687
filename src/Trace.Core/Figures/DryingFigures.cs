using Trace.Core.Holds.Rules;
using Trace.Core.Lots;
using Trace.Core.Science;
using Trace.Core.Science.Moisture;
using Trace.Core.Specifications;

namespace Trace.Core.Figures;

/// <summary>Dryness of a batch as its masses predict it. With a book value of the moisture in, good for planning alone.</summary>
/// <param name="YieldPercent">Present mass ÷ fresh mass in.</param>
/// <param name="MoistureFraction">Predicted, wet basis; negative says that product was lost or a mass is wrong. Null without a weighing.</param>
/// <param name="MoistureUncertainty">Standard uncertainty of it.</param>
/// <param name="MoistureDryBasis">The same moisture, g water / g dry solids; null where the prediction is impossible.</param>
/// <param name="MoistureInSource">Where the moisture of what went in comes from: the weakest input.</param>
/// <param name="TargetGrams">Mass at which the predicted moisture is at the specification's limit.</param>
/// <param name="StillToLoseGrams">From the last weighing down to it; zero when there.</param>
/// <param name="NextSeconds">Advised length of a further cycle.</param>
/// <param name="EndPointGrams">Water that further cycles would still take, from the fall of the losses alone; null when they do not fall.</param>
/// <param name="LossLastCyclePercent">Of the mass before the last weighed cycle.</param>
public sealed record DryingFigures(
    double YieldPercent, double MoistureFraction, double MoistureUncertainty, double? MoistureDryBasis, string MoistureInSource,
    double? TargetGrams, double? StillToLoseGrams, double? NextSeconds, double? EndPointGrams, double? LossLastCyclePercent)
{
    /// <summary>Null for other lots, and as long as nothing was weighed in or after the dryer.</summary>
    public static DryingFigures? Of(SiteState state, Lot lot)
    {
        if (lot.Record is not DryingRecord drying || Weighings(drying) is not { Count: > 0 } cycles) return null;
        var specification = state.SpecificationOf(lot);
        var now = cycles[^1].MassAfterGrams;
        var (initial, source) = DryingYield.InitialMoisture(state, specification.Drying, lot);
        if (!(drying.FreshGrams >= now) || initial.Value is not (> 0 and < 1)) return null;
        var division = DrySolids.ResolutionUncertainty(specification.Handling.BalanceToleranceGrams);
        var moisture = DrySolids.FinalMoisture(drying.FreshGrams, now, initial, division, division);
        var advice = specification.Drying.LargestMoistureFraction is { } limit and > 0 and < 1
            ? DryingAdvice.After(drying.FreshGrams, initial, limit, division, cycles)
            : (DryingSuggestion?)null;
        var last = cycles[^1];
        return new(
            now / drying.FreshGrams * 100, moisture.Value, moisture.Uncertainty,
            moisture.Value is >= 0 and < 1 ? DrySolids.WetToDryBasis(moisture.Value) : null, source,
            advice?.TargetGrams, advice?.StillToLoseGrams, advice?.NextSeconds, EndPoint(drying, cycles),
            (last.MassBeforeGrams - last.MassAfterGrams) / last.MassBeforeGrams * 100);
    }

    /// <summary>Mass at which the predicted moisture of a batch is at the limit, grams; null where there is no limit or no batch.</summary>
    public static double? TargetOf(SiteState state, Lot lot)
    {
        var limits = state.SpecificationOf(lot).Drying;
        return lot.Record is DryingRecord drying && limits.LargestMoistureFraction is { } limit and > 0 and < 1
            && DryingYield.InitialMoisture(state, limits, lot).Moisture is { Value: > 0 and < 1 } moisture
            ? DryingAdvice.TargetGrams(drying.FreshGrams, moisture, limit)
            : null;
    }

    /// <summary>
    /// What lies between two weighings, with the heating time between them: cycles that were not weighed join the next one that was. A
    /// batch heavier than before, within the balance's tolerance, lost nothing.
    /// </summary>
    private static List<WeighedCycle> Weighings(DryingRecord drying)
    {
        var found = new List<WeighedCycle>();
        var (before, seconds) = (drying.MassIn.GramsApprox, 0.0);
        foreach (var cycle in drying.Cycles)
        {
            seconds += cycle.Seconds;
            if (cycle.MassAfter is { } after) Add(after.GramsApprox);
        }

        // The mass out is the last word. After a cycle's own weighing it adds no heating time, so it only corrects that cycle's mass.
        if (drying is { NeedsWeighOut: false, LastWeighOut: { } weighOut })
        {
            if (seconds > 0 || found.Count == 0) Add(weighOut.MassOut.GramsApprox);
            else found[^1] = found[^1] with { MassAfterGrams = Math.Min(found[^1].MassBeforeGrams, weighOut.MassOut.GramsApprox) };
        }

        return found;

        void Add(double after)
        {
            if (seconds <= 0 || after <= 0) return;
            found.Add(new(seconds, before, Math.Min(before, after)));
            (before, seconds) = (Math.Min(before, after), 0);
        }
    }

    /// <summary>Only from cycles of like length: the ratio of losses means nothing otherwise.</summary>
    private static double? EndPoint(DryingRecord drying, List<WeighedCycle> cycles)
    {
        if (cycles.Count < 3) return null;
        var lengths = cycles.TakeLast(2).Select(cycle => cycle.Seconds).ToList();
        if (lengths.Max() > 1.1 * lengths.Min()) return null;
        List<double> masses = [drying.MassIn.GramsApprox, .. cycles.Select(cycle => cycle.MassAfterGrams)];
        return DryingEndPoint.FromLosses(masses)?.RemovableGrams;
    }
}
