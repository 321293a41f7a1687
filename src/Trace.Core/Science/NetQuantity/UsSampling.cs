namespace Trace.Core.Science.NetQuantity;

/// <summary>What the sampling test says of a lot.</summary>
/// <param name="MeanErrorGrams">Net less label, mean over the sample; negative when short.</param>
/// <param name="LimitGrams">Sample error limit: factor × s. Null for a single pack, which may not be short at all.</param>
/// <param name="VariationGrams">Maximum allowable variation of one pack.</param>
public sealed record UsVerdict(
    double MeanErrorGrams, double? StandardDeviationGrams, double? LimitGrams, double VariationGrams, int OverVariation, int AllowedOver,
    bool AveragePasses, bool SinglePasses)
{
    public bool Passes => AveragePasses && SinglePasses;
}

/// <summary>
/// Sampling test of NIST Handbook 133, category A: the mean shortage of the sample is at most factor × s, and no pack (one of 48) is short
/// by more than the maximum allowable variation. Labelled masses from 1 g to 1.12 kg.
/// </summary>
/// <remarks>
/// The plans and variations are from memory but for the row of 113 g. Where the printed factor and t(0.975; n−1)/√n differ in the last
/// digit the smaller counts, which is stricter on the packer (common practice, no source).
/// </remarks>
public static class UsSampling
{
    public const long LeastLabelMilligrams = 1_000, MostLabelMilligrams = 1_120_000;

    private const long TenthBelowMilligrams = 36_000;
    private const double Confidence = 0.975;

    public static IReadOnlyList<UsPlan> Plans => UsTables.Plans;

    public static IReadOnlyList<UsVariation> Variations => UsTables.Variations;

    /// <summary>The plan of a lot of 1 to 100,000 packs.</summary>
    public static UsPlan PlanFor(int lot)
    {
        PackMass.Within(lot, 1, PackSample.MostPacks);
        return UsTables.Plans.First(plan => lot <= plan.To);
    }

    /// <summary>Maximum allowable variation of one pack, grams.</summary>
    public static double VariationGrams(long labelMilligrams)
    {
        PackMass.Within(labelMilligrams, LeastLabelMilligrams, MostLabelMilligrams);
        return labelMilligrams < TenthBelowMilligrams ? labelMilligrams / 10_000.0
            : UsTables.Variations.First(row => labelMilligrams <= row.ToMilligrams).Milligrams / 1000.0;
    }

    /// <summary>How well the variation of such packs is known. Below 36 g it is a tenth of the label, which no row holds.</summary>
    public static Provenance VariationMark(long labelMilligrams)
    {
        PackMass.Within(labelMilligrams, LeastLabelMilligrams, MostLabelMilligrams);
        return labelMilligrams < TenthBelowMilligrams ? Provenance.FromMemory
            : UsTables.Variations.First(row => labelMilligrams <= row.ToMilligrams).Mark;
    }

    /// <summary>The largest division of a scale that serves for such packs: a sixth of the variation (Handbook 133, chapter 2).</summary>
    public static double LargestDivisionGrams(long labelMilligrams) => VariationGrams(labelMilligrams) / 6;

    /// <param name="netMilligrams">As many packs as the plan of the lot takes.</param>
    /// <exception cref="ArgumentOutOfRangeException">Something lies beside its range; the name says what.</exception>
    public static UsVerdict Judge(long labelMilligrams, int lot, IReadOnlyList<long> netMilligrams)
    {
        ArgumentNullException.ThrowIfNull(netMilligrams);
        var plan = PlanFor(lot);
        var variation = VariationGrams(labelMilligrams);
        PackMass.Within(netMilligrams.Count, plan.Count, plan.Count, nameof(netMilligrams));
        var sample = PackSample.Of(netMilligrams);
        var error = (sample.TotalMilligrams - sample.Count * labelMilligrams) / 1000.0 / sample.Count;
        double? limit = plan.PrintedFactor is { } printed
            ? Math.Min(printed, StudentT.Factor(Confidence, plan.Count)) * sample.StandardDeviationGrams!.Value
            : null;
        var over = netMilligrams.Count(mass => (labelMilligrams - mass) / 1000.0 > variation);
        return new UsVerdict(
            error, sample.StandardDeviationGrams, limit, variation, over, plan.AllowedOverMav, error >= 0 || -error <= (limit ?? 0),
            over <= plan.AllowedOverMav);
    }
}
