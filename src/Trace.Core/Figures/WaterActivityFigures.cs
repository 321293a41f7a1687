using Trace.Core.Lots;
using Trace.Core.Science;
using Trace.Core.Science.WaterActivity;

namespace Trace.Core.Figures;

/// <summary>
/// The water activity that a lot's newest measured moisture has by the site's own isotherm of its product. It plans and explains; the
/// rules go by measured values.
/// </summary>
/// <param name="Predicted">Null where the isotherm does not reach; then <paramref name="Problem"/> says so.</param>
/// <param name="Uncertainty">Standard uncertainty of it.</param>
/// <param name="LargestMoistureFraction">Wet basis; the moisture at which the isotherm reaches the specification's water activity, less the
/// guard of 1.645 u. Null where the isotherm does not reach.</param>
/// <param name="Isotherm">Which curve, of when, at what temperature.</param>
public sealed record WaterActivityFigures(
    double? Predicted, double? Uncertainty, double? LargestMoistureFraction, string Isotherm, string? Problem)
{
    /// <summary>Null without an isotherm of the product, or before drying.</summary>
    public static WaterActivityFigures? Of(SiteState state, Lot lot)
    {
        if (lot.Record is HarvestRecord or SanitisingRecord || lot.Specification is not { } reference) return null;
        if (state.IsothermOf(reference.Product)?.Isotherm is not { } isotherm) return null;
        var limits = state.SpecificationOf(lot).Drying;
        var largest = limits.LargestWaterActivity is { } activity ? LargestMoisture(isotherm, activity) : null;
        if (lot.Checks.LastOrDefault(check => check.Kind == "moisture") is not { } check
            || Holds.Rules.Measured.Of(check, limits.MoistureMeterUncertainty) is not { Value: < 1 } moisture)
            return new(null, null, largest, isotherm.Statement, "No moisture was measured on this lot.");
        var dryBasis = DrySolids.WetToDryBasis(moisture.Value);

        // dX/dM = 1/(1 − M)².
        var uncertainty = moisture.Uncertainty / Math.Pow(1 - moisture.Value, 2);
        if (!isotherm.Reaches(dryBasis))
        {
            return new(
                null, null, largest, isotherm.Statement,
                "The moisture lies outside what the isotherm was measured for; it is not extended.");
        }

        var predicted = isotherm.WaterActivity(new Estimate(dryBasis, uncertainty));
        return new(predicted.Value, predicted.Uncertainty, largest, isotherm.Statement, null);
    }

    private static double? LargestMoisture(SorptionIsotherm isotherm, double activity)
    {
        if (activity < isotherm.LowestWaterActivity || activity > isotherm.HighestWaterActivity) return null;
        var dryBasis = isotherm.DryBasis(activity).Lower;
        return dryBasis > 0 ? DrySolids.DryToWetBasis(dryBasis) : null;
    }
}
