using Trace.Core.Science.WaterActivity;

namespace Trace.Core.Science.Keeping;

/// <summary>
/// Days until a pack's content has taken up so much moisture that it reaches its critical water activity, after Heiss and Labuza:
/// <c>dX/dt = P·(A/W)·(RH·p0 − aw(X)·p0)</c>, with the product in balance within and the wall alone slowing the vapour.
/// </summary>
/// <remarks>
/// Traps: the net mass in place of dry solids; the test's driving force left out; the moisture at the outside's humidity taken from the
/// curve and the rest from its secant. A pack whose critical water activity the outside air never reaches is not limited by moisture:
/// then there is no number of days, and something else decides. Moisture is not oxygen: fat goes rancid in a perfect moisture barrier.
/// </remarks>
public static class MoistureBarrier
{
    /// <summary>Panels of the integral; the error is far below a tenth of a day.</summary>
    private const int Panels = 400;

    /// <summary>
    /// Along the isotherm itself, numerically: <c>W/(P·A·p0) · ∫ (dX/daw) / (RH − aw) daw</c> from packed to critical, in days. Null: the
    /// outside air is too dry for the product ever to reach the critical water activity.
    /// </summary>
    /// <exception cref="ArgumentOutOfRangeException">An input is out of range, or the span leaves the isotherm's measured range.</exception>
    public static double? Days(BarrierPack pack, StorageAir air, KeepingSpan span, SorptionIsotherm isotherm)
    {
        ArgumentNullException.ThrowIfNull(isotherm);
        Require(pack, air, span);
        Domain.Within(span.Packed, isotherm.LowestWaterActivity, isotherm.HighestWaterActivity, nameof(span));
        Domain.Within(span.Critical, isotherm.LowestWaterActivity, isotherm.HighestWaterActivity, nameof(span));
        var outside = air.RelativeHumidityPercent / 100;
        if (span.Critical >= outside) return null;

        // With s = −ln(RH − aw) the pole at aw = RH is gone: the integrand is the slope of the isotherm alone, over s.
        var (from, to) = (-Math.Log(outside - span.Packed), -Math.Log(outside - span.Critical));
        var step = (to - from) / Panels;
        double sum = 0;
        for (var panel = 0; panel < Panels; panel++)
        {
            var left = from + panel * step;
            sum += (Slope(left) + 4 * Slope(left + step / 2) + Slope(left + step)) * step / 6;
        }

        return Domain.Answer(sum * Scale(pack, air), nameof(pack));

        double Slope(double s)
        {
            const double Half = 1e-6;
            var activity = outside - Math.Exp(-s);
            return (isotherm.Fit.Model.DryBasis(activity + Half) - isotherm.Fit.Model.DryBasis(activity - Half)) / (2 * Half);
        }
    }

    /// <summary>
    /// The closed form for a straight isotherm through the span's two ends:
    /// <c>ln[(m_e − m_i)/(m_e − m_c)] = P·(A/W)·(p0/b)·t</c>, with m_e of the same line at the outside's humidity. Days; null as above.
    /// </summary>
    /// <param name="packedDryBasis">X at the packed water activity, g/g, not negative.</param>
    /// <param name="criticalDryBasis">X at the critical water activity, above <paramref name="packedDryBasis"/>.</param>
    public static double? DaysBySecant(BarrierPack pack, StorageAir air, KeepingSpan span, double packedDryBasis, double criticalDryBasis)
    {
        Require(pack, air, span);
        Domain.NotNegative(packedDryBasis);
        Domain.Positive(criticalDryBasis - packedDryBasis, nameof(criticalDryBasis));
        var outside = air.RelativeHumidityPercent / 100;
        if (span.Critical >= outside) return null;
        var slope = (criticalDryBasis - packedDryBasis) / (span.Critical - span.Packed);
        var days = Math.Log((outside - span.Packed) / (outside - span.Critical)) * slope * Scale(pack, air);
        return Domain.Answer(days, nameof(criticalDryBasis));
    }

    /// <summary>Days per unit of the integral: <c>W / (P·A·p0)</c>.</summary>
    private static double Scale(BarrierPack pack, StorageAir air) =>
        Domain.Positive(
            Domain.Answer(
                pack.DrySolidsGrams / pack.PermeanceGramsPerSquareMetreDayKilopascal / pack.AreaSquareMetres
                / WaterVapour.SaturationPressureKilopascal(air.Celsius),
                nameof(pack)),
            nameof(pack));

    private static void Require(BarrierPack pack, StorageAir air, KeepingSpan span)
    {
        Domain.Positive(pack.PermeanceGramsPerSquareMetreDayKilopascal, nameof(pack));
        Domain.Positive(pack.AreaSquareMetres, nameof(pack));
        Domain.Positive(pack.DrySolidsGrams, nameof(pack));
        Domain.Within(air.Celsius, 0, 60, nameof(air));
        Domain.Positive(air.RelativeHumidityPercent, nameof(air));
        Domain.Within(air.RelativeHumidityPercent, 0, 100, nameof(air));
        Domain.Within(span.Packed, 0, 1, nameof(span));
        Domain.Within(span.Critical, 0, 1, nameof(span));
        Domain.Positive(span.Critical - span.Packed, nameof(span));
    }
}
