namespace Trace.Core.Science.NetQuantity;

/// <summary>What was filled above the nominal quantity.</summary>
/// <param name="Milligrams">Over all weighed packs together; negative when they are short.</param>
/// <param name="PerPackGrams">Mean of it; negative when they are short.</param>
/// <param name="Cost">What it is worth at the price given, in the price's currency, to the last digit; null without a price.</param>
public sealed record GiveAwayFigures(long Milligrams, double PerPackGrams, decimal? Cost);

/// <summary>Product given away: what the packs hold above their nominal quantity, in grams and in money.</summary>
public static class GiveAway
{
    /// <param name="packs">How many packs the figures are for: those weighed, or a whole lot of that mean. 1 to 100,000.</param>
    /// <param name="pricePerKilogram">0 to 1,000,000, or null.</param>
    /// <exception cref="ArgumentOutOfRangeException">Something lies beside its range; the name says what.</exception>
    public static GiveAwayFigures Of(long nominalMilligrams, PackSample sample, int packs, decimal? pricePerKilogram)
    {
        ArgumentNullException.ThrowIfNull(sample);
        PackMass.Within(nominalMilligrams, TolerableError.LeastNominalMilligrams, TolerableError.MostNominalMilligrams);
        PackMass.Within(sample.Count, 1, PackSample.MostPacks, nameof(sample));
        PackMass.Within(packs, 1, PackSample.MostPacks);
        if (pricePerKilogram is < 0 or > 1_000_000)
            throw new ArgumentOutOfRangeException(nameof(pricePerKilogram), pricePerKilogram, "The price must lie from 0 to 1000000.");
        var weighed = sample.TotalMilligrams - sample.Count * nominalMilligrams;
        var all = decimal.Round((decimal)weighed * packs / sample.Count);
        return new GiveAwayFigures((long)all, weighed / 1000.0 / sample.Count, pricePerKilogram * all / 1_000_000);
    }
}
