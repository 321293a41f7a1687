using Trace.Core.Science.WaterActivity;

namespace Trace.Core.Science.Keeping;

/// <summary>How well the inputs of the barrier model are known: standard uncertainties.</summary>
/// <param name="PermeanceRelative">0.25 where only a data sheet speaks: films of one name differ by 20 % to 30 %.</param>
/// <param name="PackedWaterActivity">Of the water activity when packed.</param>
/// <param name="RelativeHumidityPercent">Of the storage's humidity.</param>
/// <param name="StorageKelvin">Of the storage's temperature.</param>
public readonly record struct KeepingDoubt(
    double PermeanceRelative, double PackedWaterActivity, double RelativeHumidityPercent, double StorageKelvin)
{
    /// <summary>Where nobody measured. Common practice, no source.</summary>
    public static KeepingDoubt Usual { get; } = new(0.25, 0.02, 5, 2);
}

/// <summary>
/// The barrier model with its uncertainty: each input is moved by its own standard uncertainty, the changes are added in quadrature
/// (GUM, JCGM 100:2008, 5.1.2, with differences for derivatives), and the input that moved the result most is named.
/// </summary>
public static class MoistureKeeping
{
    /// <returns>Days null where the outside air never brings the product to its critical water activity.</returns>
    /// <exception cref="ArgumentOutOfRangeException">See <see cref="MoistureBarrier.Days"/>.</exception>
    public static KeepingModel Model(
        string name, BarrierPack pack, StorageAir air, KeepingSpan span, SorptionIsotherm isotherm, KeepingDoubt doubt,
        double safetyFactor = KeepingTime.UsualSafetyFactor)
    {
        Domain.Positive(safetyFactor);
        Domain.Within(safetyFactor, 0, 1);
        Domain.Within(doubt.PermeanceRelative, 0, 1, nameof(doubt));
        Domain.Within(doubt.PackedWaterActivity, 0, 1, nameof(doubt));
        Domain.Within(doubt.RelativeHumidityPercent, 0, 100, nameof(doubt));
        Domain.Within(doubt.StorageKelvin, 0, 20, nameof(doubt));
        if (MoistureBarrier.Days(pack, air, span, isotherm) is not { } days) return new(name, null, 0, safetyFactor, "none");

        var wetter = air with { RelativeHumidityPercent = Math.Min(100, air.RelativeHumidityPercent + doubt.RelativeHumidityPercent) };
        var warmer = air with { Celsius = Math.Min(60, air.Celsius + doubt.StorageKelvin) };

        // Each moved to its unfavourable side: the favourable one may end in "never", which is no number.
        var moved = new (string Input, double? Days)[]
        {
            ("permeance of the packaging", days / (1 + doubt.PermeanceRelative)),
            ("water activity when packed", Packed(pack, air, span, isotherm, doubt)),
            ("humidity of the storage", MoistureBarrier.Days(pack, wetter, span, isotherm)),
            ("temperature of the storage", MoistureBarrier.Days(pack, warmer, span, isotherm)),
            ("isotherm", days * Math.Min(1, Share(isotherm, span))),
        };
        var changes = moved.Select(one => (one.Input, Change: Math.Abs(days - (one.Days ?? days)) / days)).ToList();
        var total = Math.Min(1, Math.Sqrt(changes.Sum(one => one.Change * one.Change)));
        return new(name, days, total, safetyFactor, changes.MaxBy(one => one.Change).Input);
    }

    private static double? Packed(BarrierPack pack, StorageAir air, KeepingSpan span, SorptionIsotherm isotherm, KeepingDoubt doubt)
    {
        var wetter = Math.Min(span.Packed + doubt.PackedWaterActivity, (span.Packed + span.Critical) / 2);
        return MoistureBarrier.Days(pack, air, span with { Packed = wetter }, isotherm);
    }

    /// <summary>What is left of the moisture span when the curve is off by its uncertainty at one end.</summary>
    private static double Share(SorptionIsotherm isotherm, KeepingSpan span)
    {
        var (packed, critical) = (isotherm.DryBasis(span.Packed), isotherm.DryBasis(span.Critical));
        return Math.Max(0, 1 - critical.Uncertainty / (critical.Value - packed.Value));
    }
}
