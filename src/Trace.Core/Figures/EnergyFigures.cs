using Trace.Core.Lots;
using Trace.Core.Science;

namespace Trace.Core.Figures;

/// <summary>Energy of a drying batch, from rated output and heating time. Vents do not count as heating.</summary>
/// <param name="OutputKilowattHours">Rated output × time.</param>
/// <param name="MainsKilowattHours">What the plug gave for it, with the specification's share of output in the plug's power.</param>
/// <param name="PerKilogramWater">Mains kWh per kg of water removed; the least that physics allows is 0.63 of output.</param>
/// <param name="PerKilogramProduct">Mains kWh per kg of dried product.</param>
/// <param name="Efficiency">Share of the output found again in evaporated water. Below 0.2 the power is wrong, leaks, or the batch was
/// nearly dry.</param>
/// <param name="CostPerKilogramProduct">In the site's currency; null while the site has not told its price.</param>
public sealed record EnergyFigures(
    double OutputKilowattHours, double MainsKilowattHours, double? PerKilogramWater, double? PerKilogramProduct, double Efficiency,
    double? CostPerKilogramProduct, string? Currency)
{
    /// <summary>Null for other lots, and before the batch was weighed out or without heating time.</summary>
    public static EnergyFigures? Of(SiteState state, Lot lot)
    {
        if (lot.Record is not DryingRecord { LastWeighOut: { } last, PowerWatts: > 0 and <= 1e6 } drying) return null;
        var seconds = drying.Cycles.Sum(cycle => (double)cycle.Seconds);
        if (seconds <= 0) return null;
        var water = (drying.MassIn - last.MassOut).GramsApprox;
        var output = EnergyCost.MainsKilowattHours(drying.PowerWatts, seconds, 1);
        var mains = EnergyCost.MainsKilowattHours(drying.PowerWatts, seconds, state.SpecificationOf(lot).Drying.OutputOfMainsFraction);
        var product = last.MassOut.GramsApprox > 0 ? EnergyCost.PerKilogram(mains, last.MassOut.GramsApprox) : (double?)null;
        return new(
            output, mains, water > 0 ? EnergyCost.PerKilogram(mains, water) : null, product,
            EvaporationEnergy.Efficiency(drying.PowerWatts, seconds, Math.Max(0, water)),
            product * (double?)state.Site.EnergyPrice, state.Site.Currency);
    }
}
