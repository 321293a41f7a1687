namespace Trace.Core.Science;

/// <summary>
/// Energy of drying, to find wrong entries: no oven evaporates more water than its power and time can pay for.
/// </summary>
/// <remarks>
/// Power is what the food absorbs or, to be on the safe side, the rated output; not what the plug draws, which is about half as
/// much again. Seconds are heating seconds: the vents between cycles do not count.
/// </remarks>
public static class EvaporationEnergy
{
    /// <summary>Watts times seconds in one kilowatt-hour.</summary>
    private const double JoulePerKilowattHour = 3_600_000;

    /// <summary>
    /// The most water, in grams, that this energy can evaporate: <c>P·t / h(100 °C)</c>. Heating up and losses are left out, so that
    /// a mass loss above it is certainly a wrong mass, time, power or batch.
    /// </summary>
    public static double LargestLossGrams(double powerWatts, double seconds) =>
        Joule(powerWatts, seconds) / WaterVapour.LatentHeatKilojoulePerKilogram(100);

    /// <summary>Energy per kilogram of water removed, kWh/kg. The theoretical floor is about 0.63; good ovens stay above it.</summary>
    /// <param name="waterGrams">Mass lost, above zero.</param>
    public static double SpecificEnergyKilowattHourPerKilogram(double powerWatts, double seconds, double waterGrams) =>
        Domain.Answer(Joule(powerWatts, seconds) / JoulePerKilowattHour / (Domain.Positive(waterGrams) / 1000), nameof(waterGrams));

    /// <summary>
    /// Heat to warm the wet larvae, kJ, with the mixture estimate <c>c = 4.18 M + 1.6 (1 − M)</c> kJ/(kg·K).
    /// </summary>
    /// <param name="moisture">Wet basis, 0 to 1.</param>
    /// <param name="riseKelvin">Not negative.</param>
    public static double SensibleHeatKilojoule(double massGrams, double moisture, double riseKelvin)
    {
        Domain.Within(moisture, 0, 1);
        var perKelvin = Domain.NotNegative(massGrams) / 1000 * (4.18 * moisture + 1.6 * (1 - moisture));
        return Domain.Answer(perKelvin * Domain.NotNegative(riseKelvin), nameof(riseKelvin));
    }

    /// <summary>
    /// Share of the energy found again in evaporated water and, if given, in warming. Above 1 is impossible; below 0.2 the power
    /// is wrong, leaks away, or the batch is nearly dry and may scorch or burn.
    /// </summary>
    /// <param name="powerWatts">Above zero, as are <paramref name="seconds"/>.</param>
    /// <param name="sensibleKilojoule">From <see cref="SensibleHeatKilojoule"/>; zero looks at evaporation alone.</param>
    public static double Efficiency(double powerWatts, double seconds, double waterGrams, double sensibleKilojoule = 0)
    {
        var joule = Domain.Positive(Joule(powerWatts, seconds), nameof(powerWatts));
        var evaporation = Domain.NotNegative(waterGrams) * WaterVapour.LatentHeatKilojoulePerKilogram(100);
        return Domain.Answer((evaporation + 1000 * Domain.NotNegative(sensibleKilojoule)) / joule, nameof(waterGrams));
    }

    private static double Joule(double powerWatts, double seconds) =>
        Domain.Finite(Domain.NotNegative(powerWatts) * Domain.NotNegative(seconds), nameof(powerWatts));
}
