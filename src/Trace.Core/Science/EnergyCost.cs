namespace Trace.Core.Science;

/// <summary>
/// Mains energy and money: per batch, per kilogram of water removed and per kilogram of product. In the plant's own currency.
/// </summary>
public static class EnergyCost
{
    /// <summary>Mains energy, kWh: absorbed or rated output energy over the oven's efficiency from plug to output.</summary>
    /// <param name="outputWatts">Rated output, not negative.</param>
    /// <param name="seconds">Heating time, not negative.</param>
    /// <param name="ofPlug">Output over what the plug draws, above 0, at most 1; 0.62 to 0.67 for an oven that draws 1.5 to 1.6 kW
    /// for 1 kW.</param>
    public static double MainsKilowattHours(double outputWatts, double seconds, double ofPlug)
    {
        Domain.Positive(ofPlug);
        Domain.Within(ofPlug, 0, 1);
        return Domain.Answer(Domain.NotNegative(outputWatts) * Domain.NotNegative(seconds) / 3_600_000 / ofPlug, nameof(ofPlug));
    }

    /// <summary>kWh, or money when multiplied with a price, per kilogram of water removed or of product.</summary>
    /// <param name="grams">Above zero.</param>
    public static double PerKilogram(double amount, double grams) =>
        Domain.Answer(Domain.NotNegative(amount) / (Domain.Positive(grams) / 1000), nameof(grams));
}
