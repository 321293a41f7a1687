namespace Trace.Core.Science;

/// <summary>
/// What a sampling plan can see: sampling without replacement from a small lot, sample sizes, the share of bad units that clean results
/// leave possible, and what a plan lets through on average.
/// </summary>
/// <remarks>
/// A clean result of three to five grabs excludes only a grossly bad lot. Grabs from one pocket are not independent: count pockets. Say
/// n and c before the results; count every grab.
/// </remarks>
public static class SamplingPower
{
    /// <summary>
    /// Probability that a lot of N units, D of them bad, passes with at most c bad of n drawn without replacement:
    /// <c>Σ C(D,k)·C(N−D,n−k)/C(N,n), k ≤ c</c> (hypergeometric, type A).
    /// </summary>
    /// <param name="lot">N, at least 1.</param>
    /// <param name="bad">D, 0 to N.</param>
    /// <param name="n">1 to N.</param>
    /// <param name="c">0 to n.</param>
    public static double PassesFromLot(int lot, int bad, int n, int c)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(lot, 1);
        ArgumentOutOfRangeException.ThrowIfNegative(bad);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(bad, lot);
        ArgumentOutOfRangeException.ThrowIfLessThan(n, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(n, lot);
        ArgumentOutOfRangeException.ThrowIfNegative(c);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(c, n);
        double sum = 0;
        for (var k = Math.Max(0, n - (lot - bad)); k <= Math.Min(c, bad); k++)
            sum += Math.Exp(LogChoose(bad, k) + LogChoose(lot - bad, n - k) - LogChoose(lot, n));
        return Math.Clamp(sum, 0, 1);
    }

    /// <summary>
    /// Smallest n that finds at least one bad unit with this confidence: <c>ln(1 − confidence) / ln(1 − share)</c>, rounded up.
    /// </summary>
    /// <param name="badShare">Between 0 and 1.</param>
    /// <param name="confidence">Between 0 and 1, such as 0.95.</param>
    public static int UnitsToFindOne(double badShare, double confidence)
    {
        Domain.Between(badShare, 0, 1);
        Domain.Between(confidence, 0, 1);
        var exact = Math.Log(1 - confidence) / Math.Log(1 - badShare);
        var nearest = Math.Round(exact);
        if (!(exact >= 0 && exact <= int.MaxValue)) throw new ArgumentOutOfRangeException(nameof(badShare), badShare, "No sample finds so small a share.");
        return (int)(Math.Abs(exact - nearest) < 1e-9 ? nearest : Math.Ceiling(exact));
    }

    /// <summary>
    /// Upper bound, one-sided, of the bad share after so many bad of n (Clopper and Pearson): the share at which at most that many would
    /// be seen with probability 1 − confidence. After n clean units <c>1 − (1 − confidence)^(1/n)</c>.
    /// </summary>
    /// <param name="bad">0 to n; all bad gives 1.</param>
    public static double UpperBound(int n, int bad, double confidence)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(n, 1);
        ArgumentOutOfRangeException.ThrowIfNegative(bad);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(bad, n);
        Domain.Between(confidence, 0, 1);
        if (bad == n) return 1;
        double low = 0, high = 1;
        for (var step = 0; step < 60; step++)
        {
            var middle = (low + high) / 2;
            if (AcceptanceSampling.TwoClassProbability(n, bad, middle) > 1 - confidence) low = middle;
            else high = middle;
        }

        return (low + high) / 2;
    }

    /// <summary>Average outgoing share when rejected lots are sorted: <c>Pa·p·(N − n)/N</c>.</summary>
    public static double AverageOutgoing(double passes, double badShare, int lot, int n)
    {
        Domain.Within(passes, 0, 1);
        Domain.Within(badShare, 0, 1);
        ArgumentOutOfRangeException.ThrowIfLessThan(n, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(n, lot);
        return passes * badShare * (lot - n) / lot;
    }

    /// <summary>Average units inspected: <c>n + (1 − Pa)(N − n)</c>.</summary>
    public static double AverageInspected(double passes, int lot, int n)
    {
        Domain.Within(passes, 0, 1);
        ArgumentOutOfRangeException.ThrowIfLessThan(n, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(n, lot);
        return n + (1 - passes) * (lot - n);
    }

    /// <summary>
    /// Probability that a plan passes a lot whose counts are log-normal: the shares above m and over M from the normal distribution of
    /// log10 counts.
    /// </summary>
    /// <param name="meanLog">Mean of log10 of the count.</param>
    /// <param name="sigmaLog">Standard deviation of log10 of the count within the lot, above zero; 0.8 is usual (common practice, no
    /// source).</param>
    public static double PassesLogNormal(AcceptancePlan plan, double meanLog, double sigmaLog)
    {
        ArgumentNullException.ThrowIfNull(plan);
        Domain.Finite(meanLog);
        Domain.Positive(sigmaLog);
        if (!plan.IsValid || plan.Lower <= 0)
            throw new ArgumentOutOfRangeException(nameof(plan), plan, "The plan must be one of counts, with m above zero.");
        var over = AboveLog(Math.Log10(plan.Upper));
        if (plan.IsTwoClass) return AcceptanceSampling.TwoClassProbability(plan.N, plan.C, over);
        return AcceptanceSampling.ThreeClassProbability(plan.N, plan.C, Math.Max(0, AboveLog(Math.Log10(plan.Lower)) - over), over);

        double AboveLog(double limit) => Normal.Above(Domain.Answer((limit - meanLog) / sigmaLog, nameof(sigmaLog)));
    }

    /// <summary>ln C(n, k), by sums of logarithms: exact enough and without overflow.</summary>
    private static double LogChoose(int n, int k)
    {
        if (k < 0 || k > n) return double.NegativeInfinity;
        double sum = 0;
        for (var i = 1; i <= Math.Min(k, n - k); i++) sum += Math.Log(n - Math.Min(k, n - k) + i) - Math.Log(i);
        return sum;
    }
}
