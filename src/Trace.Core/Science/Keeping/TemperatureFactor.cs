namespace Trace.Core.Science.Keeping;

/// <summary>
/// How a keeping time changes with temperature: Q10 (the factor per 10 K) or an activation energy (Arrhenius).
/// </summary>
/// <remarks>
/// Both hold near the temperatures where they were measured. For dry fatty food temperature may matter less than oxygen and water
/// activity. Example values of foods are not those of larvae: measure, or be careful.
/// </remarks>
public static class TemperatureFactor
{
    private const double GasConstant = 8.314462618, KelvinOfZeroCelsius = 273.15;

    /// <summary><c>t(T) = t_ref·Q10^((T_ref − T)/10)</c>, in the unit of <paramref name="time"/>.</summary>
    /// <param name="time">Keeping time at the reference, not negative.</param>
    /// <param name="q10">1 to 10: below 1 a food would keep longer when warmer.</param>
    /// <param name="referenceCelsius">−40 °C to 100 °C, as is <paramref name="celsius"/>, and within 40 K of it.</param>
    public static double Keeps(double time, double q10, double referenceCelsius, double celsius)
    {
        Domain.NotNegative(time);
        Domain.Within(q10, 1, 10);
        Domain.Within(referenceCelsius, -40, 100);
        Domain.Within(celsius, Math.Max(-40, referenceCelsius - 40), Math.Min(100, referenceCelsius + 40));
        return Domain.Answer(time * Math.Pow(q10, (referenceCelsius - celsius) / 10), nameof(time));
    }

    /// <summary>Q10 from <paramref name="celsius"/> to 10 K above it: <c>exp[10·Ea / (R·T·(T + 10))]</c>.</summary>
    /// <param name="activationKilojoulePerMole">Not negative, at most 300 kJ/mol.</param>
    public static double Q10(double activationKilojoulePerMole, double celsius)
    {
        Domain.Within(activationKilojoulePerMole, 0, 300);
        var kelvin = Domain.Within(celsius, -40, 100) + KelvinOfZeroCelsius;
        return Math.Exp(1e4 * activationKilojoulePerMole / (GasConstant * kelvin * (kelvin + 10)));
    }

    /// <summary>Q10 from two keeping times of the same product.</summary>
    /// <param name="coolerTime">Above zero, as is <paramref name="warmerTime"/>, which is not longer.</param>
    public static double Q10FromTimes(double coolerTime, double coolerCelsius, double warmerTime, double warmerCelsius)
    {
        Domain.Positive(coolerTime);
        Domain.Positive(warmerTime);
        Domain.Positive(Domain.Finite(warmerCelsius) - Domain.Finite(coolerCelsius), nameof(warmerCelsius));
        Domain.NotNegative(coolerTime - warmerTime, nameof(warmerTime));
        return Domain.Answer(Math.Pow(coolerTime / warmerTime, 10 / (warmerCelsius - coolerCelsius)), nameof(warmerTime));
    }
}
