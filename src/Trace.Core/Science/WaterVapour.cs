namespace Trace.Core.Science;

/// <summary>Saturation pressure, dew point and latent heat of water. Temperatures in °C, pressures in kPa absolute.</summary>
public static class WaterVapour
{
    /// <summary>Upper end of the saturation line, the critical point (IAPWS-IF97).</summary>
    private const double CriticalCelsius = 373.946, CriticalKilopascal = 22_064, KelvinOfZeroCelsius = 273.15;

    /// <summary>Lower end of the line, 0 °C, rounded down so that the pressure of 0 °C is inside.</summary>
    private const double LeastKilopascal = 0.6112;

    /// <summary>Coefficients n1 … n10 of region 4, IAPWS R7-97 (IAPWS-IF97), Table 34. Pressure in MPa, temperature in K.</summary>
    private const double
        N1 = 0.11670521452767e4, N2 = -0.72421316703206e6, N3 = -0.17073846940092e2, N4 = 0.12020824702470e5,
        N5 = -0.32325550322333e7, N6 = 0.14915108613530e2, N7 = -0.48232657361591e4, N8 = 0.40511340542057e6,
        N9 = -0.23855557567849, N10 = 0.65017534844798e3;

    /// <summary>Constants of Alduchov and Eskridge (1996), J. Appl. Meteorol. 35:601–609; °C.</summary>
    private const double MagnusA = 17.625, MagnusB = 243.04;

    /// <summary>Latent heat from IAPWS-IF97, kJ/kg, recomputed.</summary>
    private static readonly (double Celsius, double KilojoulePerKilogram)[] LatentHeats =
    [
        (0.01, 2500.9), (20, 2453.6), (25, 2441.7), (30, 2429.8), (38, 2410.8), (40, 2406.0), (60, 2357.7), (80, 2308.1), (100, 2256.5),
    ];

    /// <summary>Saturation pressure over liquid water, IAPWS-IF97 equation 30. From 0 °C to the critical point, 373.946 °C.</summary>
    public static double SaturationPressureKilopascal(double celsius)
    {
        var kelvin = Domain.Within(celsius, 0, CriticalCelsius) + KelvinOfZeroCelsius;
        var theta = kelvin + N9 / (kelvin - N10);
        var a = theta * theta + N1 * theta + N2;
        var b = N3 * theta * theta + N4 * theta + N5;
        var c = N6 * theta * theta + N7 * theta + N8;
        return 1000 * Math.Pow(2 * c / (-b + Math.Sqrt(b * b - 4 * a * c)), 4);
    }

    /// <summary>Temperature at which water of this pressure is saturated, IAPWS-IF97 equation 31. From 0.6112 kPa to 22,064 kPa.</summary>
    public static double SaturationCelsius(double kilopascal)
    {
        var beta = Math.Pow(Domain.Within(kilopascal, LeastKilopascal, CriticalKilopascal) / 1000, 0.25);
        var e = beta * beta + N3 * beta + N6;
        var f = N1 * beta * beta + N4 * beta + N7;
        var g = N2 * beta * beta + N5 * beta + N8;
        var d = 2 * g / (-f - Math.Sqrt(f * f - 4 * e * g));
        return (N10 + d - Math.Sqrt((N10 + d) * (N10 + d) - 4 * (N9 + N10 * d))) / 2 - KelvinOfZeroCelsius;
    }

    /// <summary>
    /// Dew point of air, °C, by the Magnus formula of Alduchov and Eskridge (1996). Good to 0.02 K from −40 °C to 50 °C; hotter air
    /// is refused, since the formula drifts there (+0.4 % of the pressure at 60 °C, +2.6 % at 100 °C).
    /// </summary>
    /// <param name="relativeHumidityPercent">Above 0, at most 100. Percent, not a fraction.</param>
    public static double DewPointCelsius(double celsius, double relativeHumidityPercent)
    {
        Domain.Within(celsius, -40, 50);
        Domain.Positive(relativeHumidityPercent);
        Domain.Within(relativeHumidityPercent, 0, 100);
        var gamma = Math.Log(relativeHumidityPercent / 100) + MagnusA * celsius / (MagnusB + celsius);
        return Domain.Answer(MagnusB * gamma / (MagnusA - gamma), nameof(relativeHumidityPercent));
    }

    /// <summary>
    /// Latent heat of evaporation of free water, kJ/kg, from 0 °C to 100 °C: linear between table values, within 0.4 kJ/kg.
    /// The last water of a nearly dry product is bound and needs more.
    /// </summary>
    public static double LatentHeatKilojoulePerKilogram(double celsius)
    {
        Domain.Within(celsius, 0, 100);
        var next = Math.Max(1, Array.FindIndex(LatentHeats, row => row.Celsius >= celsius));
        var (low, atLow) = LatentHeats[next - 1];
        var (high, atHigh) = LatentHeats[next];
        return atLow + (atHigh - atLow) * (celsius - low) / (high - low);
    }
}
