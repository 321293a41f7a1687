namespace Trace.Core.Science.NetQuantity;

/// <summary>
/// The mean to fill to, so that a lot keeps the packer's three rules at the spread that was seen:
/// <c>nominal + max(2 s − TNE, 3.72 s − 2 TNE, 1.645 √(s²/N + u²))</c>, never below nominal.
/// </summary>
/// <remarks>
/// 2 s keeps about 2.3 % of the packs below T1 and 3.72 s one in ten thousand below T2, both of a normal distribution; the third term
/// keeps the mean of a lot of N packs, weighed with uncertainty u, at the nominal quantity with one-sided 95 %. Common practice, no source.
/// </remarks>
public static class TargetFill
{
    private const double BelowT1 = 2, BelowT2 = 3.72;

    /// <summary>Grams, rounded up to 0.1 g.</summary>
    /// <param name="standardDeviationGrams">Of single packs, 0 to the nominal quantity.</param>
    /// <param name="lotPacks">Packs of a whole lot, 1 to 100,000.</param>
    /// <param name="balanceUncertaintyGrams">Standard uncertainty (k = 1), 0 to 1000 g.</param>
    /// <exception cref="ArgumentOutOfRangeException">Something lies beside its range; the name says what.</exception>
    public static decimal Grams(long nominalMilligrams, double standardDeviationGrams, int lotPacks, double balanceUncertaintyGrams)
    {
        var tolerable = TolerableError.Milligrams(nominalMilligrams) / 1000.0;
        var nominal = nominalMilligrams / 1000.0;
        Domain.Within(standardDeviationGrams, 0, nominal);
        PackMass.Within(lotPacks, 1, PackSample.MostPacks);
        Domain.Within(balanceUncertaintyGrams, 0, 1000);
        var ofMean = Estimate.GuardFactor * double.Hypot(standardDeviationGrams / Math.Sqrt(lotPacks), balanceUncertaintyGrams);
        var above = Math.Max(
            ofMean, Math.Max(BelowT1 * standardDeviationGrams - tolerable, BelowT2 * standardDeviationGrams - 2 * tolerable));

        // A hundred-thousandth of a gram is taken off first, or the last bit of a sum would add a whole tenth.
        return decimal.Ceiling(((decimal)nominal + (decimal)above - 0.00001m) * 10) / 10;
    }
}
