namespace Trace.Core.Science;

/// <summary>
/// Sweating of a closed pack. The air in it comes to the product's water activity at the product's temperature, and its wall
/// goes to the surroundings' temperature: no drop forms while <c>aw · p_s(product) &lt; p_s(wall)</c>.
/// </summary>
public static class PackCondensation
{
    /// <summary>
    /// The highest core temperature, °C, at which a closed pack cannot sweat: <c>T_s(p_s(wall) / aw)</c>, at most 100 °C.
    /// The guarded core temperature must lie below it.
    /// </summary>
    /// <param name="waterActivity">0 to 1, zero excluded, at the product's temperature: it rises with temperature, so a value taken
    /// at 25 °C flatters a warm product. Without a measurement use 1, which allows no more than the wall's temperature.</param>
    /// <param name="wallCelsius">The coldest wall that the pack meets in the next hours, 0 °C to 60 °C.</param>
    public static double HighestPackCelsius(double waterActivity, double wallCelsius)
    {
        Domain.Positive(waterActivity);
        Domain.Within(waterActivity, 0, 1);
        Domain.Within(wallCelsius, 0, 60);
        var kilopascal = WaterVapour.SaturationPressureKilopascal(wallCelsius) / waterActivity;
        return kilopascal >= WaterVapour.SaturationPressureKilopascal(100) ? 100 : WaterVapour.SaturationCelsius(kilopascal);
    }
}
