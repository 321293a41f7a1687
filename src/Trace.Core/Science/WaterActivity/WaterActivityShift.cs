namespace Trace.Core.Science.WaterActivity;

/// <summary>
/// Water activity of the same product, at the same moisture, at another temperature (Clausius–Clapeyron):
/// <c>aw2 = aw1·exp[−(q/R)(1/T2 − 1/T1)]</c>, T in kelvin. A warm product has a higher one than the meter showed at 25 °C.
/// </summary>
public static class WaterActivityShift
{
    /// <summary>Molar gas constant, J/(mol·K), exact since the SI of 2019.</summary>
    private const double GasConstant = 8.314462618;

    private const double KelvinOfZeroCelsius = 273.15;

    /// <param name="waterActivity">Above 0, at most 1, at <paramref name="fromCelsius"/>.</param>
    /// <param name="fromCelsius">0 °C to 100 °C, as is <paramref name="toCelsius"/>.</param>
    /// <param name="isostericHeatKilojoulePerMole">q, net of the heat of condensation: 0 to 50 kJ/mol, of the product near this moisture.</param>
    /// <exception cref="ArgumentOutOfRangeException">An input is not finite or out of range, or the result is above 1.</exception>
    public static double At(double waterActivity, double fromCelsius, double toCelsius, double isostericHeatKilojoulePerMole)
    {
        Domain.Positive(waterActivity);
        Domain.Within(waterActivity, 0, 1);
        Domain.Within(fromCelsius, 0, 100);
        Domain.Within(toCelsius, 0, 100);
        Domain.Within(isostericHeatKilojoulePerMole, 0, 50);
        var difference = 1 / (toCelsius + KelvinOfZeroCelsius) - 1 / (fromCelsius + KelvinOfZeroCelsius);
        var shifted = waterActivity * Math.Exp(-1000 * isostericHeatKilojoulePerMole / GasConstant * difference);
        return shifted <= 1
            ? shifted
            : throw new ArgumentOutOfRangeException(nameof(toCelsius), toCelsius, "The water activity would come out above 1: the heat or the temperature is wrong.");
    }
}
