namespace Trace.Core.Science.NetQuantity;

/// <summary>How the mean of the weighed packs stands to the nominal quantity.</summary>
public enum MeanOutcome
{
    Met,

    /// <summary>Below nominal, but by no more than the balance's uncertainty explains.</summary>
    WithinUncertainty,
    Short,
}

/// <summary>What the packer's three rules say of the packs that were weighed. It says nothing of those that were not.</summary>
/// <param name="AllowedBelowT1">How many of the weighed packs may be below T1.</param>
/// <param name="BalanceServes">False when the balance is too coarse for such packs: then nothing is decided.</param>
public sealed record PackersVerdict(
    PackSample Sample, long NominalMilligrams, long T1Milligrams, long T2Milligrams, int BelowT1, int BelowT2, int AllowedBelowT1,
    MeanOutcome Mean, bool BalanceServes)
{
    public bool TooManyBelowT1 => BelowT1 > AllowedBelowT1;

    public bool IsBroken => Mean == MeanOutcome.Short || TooManyBelowT1 || BelowT2 > 0;

    public bool IsMet => BalanceServes && !IsBroken;
}

/// <summary>
/// The packer's three rules of the average system: the mean is not below the nominal quantity; few packs are below T1; none is below T2.
/// For the packer's own control of weighed packs, of some or of all of a lot.
/// </summary>
/// <remarks>
/// Council Directive 76/211/EEC, Annex I. The share of 2.5 % below T1 is from memory of packers' guidance. An error of the balance is the
/// same in each pack, so its uncertainty is not divided by the number of packs.
/// </remarks>
public static class PackersRules
{
    /// <param name="largestShareBelowT1">0 to 0.05, as a fraction of the packs weighed.</param>
    /// <param name="balanceUncertaintyGrams">Standard uncertainty (k = 1) of one weighing, 0 to 1000 g. If twice it is more than TNE ÷ 5,
    /// the largest measuring error that Annex II allows, the balance does not serve.</param>
    /// <exception cref="ArgumentOutOfRangeException">Something lies beside its range; the name says what.</exception>
    public static PackersVerdict Judge(
        long nominalMilligrams, IReadOnlyList<long> netMilligrams, double largestShareBelowT1, double balanceUncertaintyGrams)
    {
        Domain.Within(largestShareBelowT1, 0, 0.05);
        Domain.Within(balanceUncertaintyGrams, 0, 1000);
        var tolerable = TolerableError.Milligrams(nominalMilligrams);
        var (t1, t2) = (nominalMilligrams - tolerable, nominalMilligrams - 2 * tolerable);
        var sample = PackSample.Of(netMilligrams);

        // Whole milligrams over all packs together: no rounding stands between the mean and the nominal quantity.
        var missing = sample.Count * nominalMilligrams - sample.TotalMilligrams;
        var explained = Estimate.GuardFactor * balanceUncertaintyGrams * 1000 * sample.Count;
        var mean = missing <= 0 ? MeanOutcome.Met : missing <= explained ? MeanOutcome.WithinUncertainty : MeanOutcome.Short;
        return new PackersVerdict(
            sample, nominalMilligrams, t1, t2, netMilligrams.Count(mass => mass < t1), netMilligrams.Count(mass => mass < t2),
            (int)((decimal)largestShareBelowT1 * sample.Count), mean, 2 * balanceUncertaintyGrams * 1000 <= tolerable / 5.0);
    }
}
