namespace Trace.Core.Science.Instruments;

/// <summary>
/// Pressure of the standard atmosphere by altitude, <c>101.325·(1 − 2.25577·10⁻⁵·h)^5.25588</c> kPa, from −500 m to 5000 m.
/// </summary>
/// <remarks>
/// ISO 2533:1975, constants from memory. The weather moves the real pressure by some 3 kPa either way, which moves the boiling point by
/// about 0.8 K.
/// </remarks>
public static class StandardAtmosphere
{
    public const double LeastMetres = -500, MostMetres = 5000;

    /// <exception cref="ArgumentOutOfRangeException">Below −500 m or above 5000 m.</exception>
    public static double Kilopascal(double altitudeMetres) =>
        101.325 * Math.Pow(1 - 2.25577e-5 * Domain.Within(altitudeMetres, LeastMetres, MostMetres), 5.25588);
}
