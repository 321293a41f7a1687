namespace Trace.Core.Science.Keeping;

/// <summary>
/// Permeance of a packaging to water vapour, g/(m²·d·kPa), from what data sheets print: the transmission rate in g/(m²·d), which means
/// nothing without the temperature and humidity of its test.
/// </summary>
/// <remarks>
/// A permeance of 38 °C used for cooler storage errs on the safe side, since polymers let less through when cooler. A bent or creased
/// foil, a poor seal and a lid let more through than the film.
/// </remarks>
public static class Permeance
{
    private const double SquareMetresPerHundredSquareInches = 100 * 0.0254 * 0.0254;

    /// <summary><c>WVTR / ((RH_test − RH_inside)·p_s(T_test))</c>, in g/(m²·d·kPa).</summary>
    /// <param name="transmissionGramsPerSquareMetreDay">Above zero.</param>
    /// <param name="testCelsius">0 °C to 60 °C; usually 23 °C or 38 °C.</param>
    /// <param name="testRelativeHumidityPercent">Of the wet side, above 0, at most 100; usually 90 %.</param>
    /// <param name="dryRelativeHumidityPercent">Of the dry side, usually 0.</param>
    public static double FromTransmission(
        double transmissionGramsPerSquareMetreDay, double testCelsius, double testRelativeHumidityPercent,
        double dryRelativeHumidityPercent = 0)
    {
        Domain.Positive(transmissionGramsPerSquareMetreDay);
        Domain.Within(testCelsius, 0, 60);
        Domain.Within(testRelativeHumidityPercent, 0, 100);
        Domain.Within(dryRelativeHumidityPercent, 0, 100);
        var difference = Domain.Positive(testRelativeHumidityPercent - dryRelativeHumidityPercent, nameof(testRelativeHumidityPercent));
        var drivingKilopascal = difference / 100 * WaterVapour.SaturationPressureKilopascal(testCelsius);
        return Domain.Answer(transmissionGramsPerSquareMetreDay / drivingKilopascal, nameof(transmissionGramsPerSquareMetreDay));
    }

    /// <summary>g/(m²·d) from g/(100 in²·d), as older data sheets print it.</summary>
    public static double PerSquareMetre(double perHundredSquareInches) =>
        Domain.Answer(Domain.NotNegative(perHundredSquareInches) / SquareMetresPerHundredSquareInches, nameof(perHundredSquareInches));

    /// <summary>The transmission of another thickness of the same film: it falls with 1 / thickness. Not for coated or
    /// metallised films.</summary>
    public static double OfThickness(double transmission, double measuredMicrometres, double wantedMicrometres) =>
        Domain.Answer(
            Domain.NotNegative(transmission) * Domain.Positive(measuredMicrometres) / Domain.Positive(wantedMicrometres),
            nameof(transmission));
}
