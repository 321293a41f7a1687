namespace Trace.Core.Science.Instruments;

/// <summary>
/// A thermometer in boiling water: the saturation temperature at the pressure of the place, within 0.5 K; within 1 K when the pressure is
/// only known from the altitude.
/// </summary>
/// <remarks>
/// IAPWS-IF97 by <see cref="WaterVapour.SaturationCelsius"/>; limits: common practice, no source. The probe hangs in the water and touches
/// no wall; clean water without salt. Boiling water and steam scald.
/// </remarks>
public static class BoilingPoint
{
    public const double LeastKilopascal = 50, MostKilopascal = 110, LimitKelvin = 0.5, LimitByAltitudeKelvin = 1;

    private const string Source = "Saturation of water: IAPWS-IF97. Limit: common practice, no source.";

    /// <param name="kilopascal">Pressure where it boils, read from a barometer and not reduced to sea level, 50 to 110 kPa.</param>
    /// <exception cref="ArgumentOutOfRangeException">Below 50 kPa or above 110 kPa.</exception>
    public static InstrumentPoint AtPressure(double kilopascal) => new(
        Math.Round(WaterVapour.SaturationCelsius(Domain.Within(kilopascal, LeastKilopascal, MostKilopascal)), 2), LimitKelvin, "°C",
        FormattableString.Invariant($"boiling water at {kilopascal:0.##} kPa"), Source);

    /// <exception cref="ArgumentOutOfRangeException">Below −500 m or above 5000 m.</exception>
    public static InstrumentPoint AtAltitude(double altitudeMetres) => new(
        Math.Round(WaterVapour.SaturationCelsius(StandardAtmosphere.Kilopascal(altitudeMetres)), 2), LimitByAltitudeKelvin, "°C",
        FormattableString.Invariant($"boiling water at {altitudeMetres:0} m"),
        Source + " Pressure by the standard atmosphere (ISO 2533): the weather moves the boiling point by up to about 0.8 K.");
}
