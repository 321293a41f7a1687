namespace Trace.Core.Science.NetQuantity;

public enum ReferenceOutcome
{
    Accepted,
    Rejected,

    /// <summary>More packs have to be weighed before anything can be said.</summary>
    Incomplete,
}

/// <summary>What the reference test says of a batch.</summary>
/// <param name="Missing">Packs still to be weighed; 0 when the outcome stands.</param>
/// <param name="Wanted">Packs that the plan takes of such a batch: with the second sample, where the first one does not decide.</param>
/// <param name="Defectives">Packs below T1 among those that the content check looked at.</param>
/// <param name="BelowT2">Packs below T2 among all that were weighed. Not part of the test, but none of them may be sold.</param>
/// <param name="MeanGrams">Of the packs of the mean check; null while they are not all there.</param>
/// <param name="LeastMeanGrams">nominal − k·s, or nominal where the whole batch is weighed.</param>
public sealed record ReferenceVerdict(
    ReferenceOutcome Outcome, int Missing, int Wanted, int Defectives, int BelowT2, double? MeanGrams, double? LeastMeanGrams,
    bool? ContentPasses, bool? MeanPasses);

/// <summary>
/// The inspector's reference test of a batch: a check of single packs against T1 and a check of the mean, <c>mean ≥ nominal − k·s</c> with
/// <c>k = t(0.995; n−1)/√n</c>. Both must pass. Batches below 100 are weighed whole: at most 5 % below T1 and a mean not below nominal.
/// </summary>
/// <remarks>
/// Council Directive 76/211/EEC, Annex II. It favours the packer: whoever aims at it breaks the first of <see cref="PackersRules"/>. Where
/// the printed factor and the computed one differ in the last digit the smaller counts, which is stricter on the packer.
/// </remarks>
public static class ReferenceTest
{
    /// <summary>A batch is at most this, or the largest hourly output when it is taken at the end of the line.</summary>
    public const int MostBatch = 10_000;

    /// <summary>Smaller batches are weighed whole.</summary>
    public const int LeastSampledBatch = 100;

    private const double Confidence = 0.995;

    /// <summary>How well the rule for small batches is known: all packs, at most 5 % below T1.</summary>
    public static Provenance SmallBatchMark => Provenance.Read;

    public static IReadOnlyList<ContentPlan> ContentPlans => ReferencePlans.Content;

    public static IReadOnlyList<MeanPlan> MeanPlans => ReferencePlans.Mean;

    /// <summary>The rows that judge a batch of 100 to 10,000 packs.</summary>
    public static (ContentPlan Content, MeanPlan Mean) RowsFor(int batch, ReferencePlan plan)
    {
        PackMass.Within(batch, LeastSampledBatch, MostBatch);
        PackMass.Within((int)plan, (int)ReferencePlan.Single, (int)ReferencePlan.Destructive, nameof(plan));
        return (
            ReferencePlans.Content.First(row => row.Plan == plan && batch <= row.To),
            ReferencePlans.Mean.First(row => row.IsDestructive == (plan == ReferencePlan.Destructive) && batch <= row.To));
    }

    /// <summary>The most packs that a plan looks at: <see cref="Judge"/> refuses more.</summary>
    /// <param name="batch">Packs of the batch, 1 to 10,000.</param>
    public static int MostPacks(int batch, ReferencePlan plan)
    {
        if (PackMass.Within(batch, 1, MostBatch) < LeastSampledBatch) return batch;
        var (content, mean) = RowsFor(batch, plan);
        return Math.Max(content.First + content.Second, mean.Count);
    }

    /// <param name="batch">Packs of the batch, 1 to 10,000.</param>
    /// <param name="netMilligrams">In the order in which they were drawn: a check takes the first ones. More than the plan takes are
    /// refused, since to choose among them would be to choose the verdict.</param>
    /// <exception cref="ArgumentOutOfRangeException">Something lies beside its range; the name says what.</exception>
    public static ReferenceVerdict Judge(long nominalMilligrams, int batch, IReadOnlyList<long> netMilligrams, ReferencePlan plan)
    {
        ArgumentNullException.ThrowIfNull(netMilligrams);
        PackMass.Within(batch, 1, MostBatch);
        PackMass.Within((int)plan, (int)ReferencePlan.Single, (int)ReferencePlan.Destructive, nameof(plan));
        var t1 = TolerableError.T1Milligrams(nominalMilligrams);
        var t2 = TolerableError.T2Milligrams(nominalMilligrams);
        _ = netMilligrams.Count == 0 ? null : PackSample.Of(netMilligrams);
        var belowT2 = netMilligrams.Count(mass => mass < t2);
        if (batch < LeastSampledBatch)
        {
            PackMass.Within(netMilligrams.Count, 0, batch, nameof(netMilligrams));
            return Whole(nominalMilligrams, batch, netMilligrams, t1, belowT2);
        }

        var (content, mean) = RowsFor(batch, plan);
        PackMass.Within(netMilligrams.Count, 0, MostPacks(batch, plan), nameof(netMilligrams));
        var (contentPasses, contentNeeds, defectives) = Content(netMilligrams, content, t1);
        var wanted = Math.Max(contentNeeds, mean.Count);
        var missing = wanted - netMilligrams.Count;
        var (meanGrams, least) = netMilligrams.Count < mean.Count ? (null, null) : Mean(nominalMilligrams, netMilligrams, mean);
        bool? meanPasses = meanGrams is null ? null : meanGrams >= least;

        // One failed check rejects, whatever the other would have said.
        var outcome = contentPasses == false || meanPasses == false ? ReferenceOutcome.Rejected
            : missing > 0 ? ReferenceOutcome.Incomplete : ReferenceOutcome.Accepted;
        return new ReferenceVerdict(
            outcome, outcome == ReferenceOutcome.Incomplete ? missing : 0, wanted, defectives, belowT2, meanGrams, least, contentPasses,
            meanPasses);
    }

    private static ReferenceVerdict Whole(long nominal, int batch, IReadOnlyList<long> packs, long t1, int belowT2)
    {
        var defectives = packs.Count(mass => mass < t1);
        if (packs.Count < batch)
        {
            return new ReferenceVerdict(
                ReferenceOutcome.Incomplete, batch - packs.Count, batch, defectives, belowT2, null, nominal / 1000.0, null, null);
        }

        var sample = PackSample.Of(packs);
        var (content, mean) = (defectives * 20 <= batch, sample.TotalMilligrams >= batch * nominal);
        return new ReferenceVerdict(
            content && mean ? ReferenceOutcome.Accepted : ReferenceOutcome.Rejected, 0, batch, defectives, belowT2, sample.MeanGrams,
            nominal / 1000.0, content, mean);
    }

    /// <summary>Whether the content check passes, null while it is open; how many packs it needs; defectives among those seen.</summary>
    private static (bool? Passes, int Needs, int Defectives) Content(IReadOnlyList<long> packs, ContentPlan plan, long t1)
    {
        var first = packs.Take(plan.First).Count(mass => mass < t1);
        if (first >= plan.Reject) return (false, plan.First, first);
        if (packs.Count < plan.First) return (null, plan.First, first);
        if (first <= plan.Accept) return (true, plan.First, first);
        var both = packs.Count(mass => mass < t1);
        var needs = plan.First + plan.Second;
        if (both >= plan.SecondReject) return (false, needs, both);
        return (packs.Count < needs ? null : true, needs, both);
    }

    private static (double? Mean, double? Least) Mean(long nominal, IReadOnlyList<long> packs, MeanPlan plan)
    {
        var sample = PackSample.Of([.. packs.Take(plan.Count)]);
        var factor = Math.Min(plan.PrintedFactor, StudentT.Factor(Confidence, plan.Count));
        return (sample.MeanGrams, nominal / 1000.0 - factor * sample.StandardDeviationGrams!.Value);
    }
}
