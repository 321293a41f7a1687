using Trace.Core.Science.NetQuantity;

namespace Trace.Core.Lots;

/// <summary>One inspectors' test, as it would come out if the packs weighed were its sample.</summary>
/// <param name="Test"><c>reference-whole</c>, <c>reference-single</c>, <c>reference-double</c>, <c>reference-destructive</c> or
/// <c>us-category-a</c>.</param>
/// <param name="Title">The test in words, with its document.</param>
/// <param name="Outcome"><c>passes</c>, <c>fails</c>, or <c>undecided</c>.</param>
/// <param name="Words">What was found, in a sentence or two.</param>
/// <param name="Taken">Of those weighed, how many the test looked at: the first ones in the order of weighing.</param>
/// <param name="Tables">How well the figures of its tables are known.</param>
/// <param name="Wanted">Packs that the test takes of a lot of this size; left out where it is not for such a lot.</param>
public sealed record InspectorsTest(string Test, string Title, string Outcome, string Words, int Taken, string Tables, int? Wanted = null)
{
    public const string Passes = "passes", Fails = "fails", Undecided = "undecided";

    /// <summary>Packs still to be weighed before it is decided; 0 when it is, null where it is not for such a lot.</summary>
    public int? Missing => Outcome == Undecided ? Wanted - Taken : 0;
}

/// <summary>
/// What an inspector's sample would say of a packed lot: figures beside the verdict. No rule reads them, since the tests favour the packer
/// and the packs weighed were not drawn by an inspector.
/// </summary>
public sealed record InspectorsSample(string Words, IReadOnlyList<InspectorsTest> Tests)
{
    /// <summary>What has to be said with it wherever it is shown.</summary>
    public const string Caution =
        "It holds nothing and releases nothing, and it is not the authority's test: an inspector draws packs at random and chooses the plan. " +
        "Here the packs weighed are taken for the sample, the first ones in the order of weighing. A lot may pass and still break the packer's rules.";

    /// <param name="packs">Packs of the whole lot, which stands for the batch.</param>
    /// <param name="netMilligrams">Of the packs weighed, in the order of weighing: at least one, at most as many as the lot has.</param>
    internal static InspectorsSample Of(long nominalMilligrams, int packs, IReadOnlyList<long> netMilligrams)
    {
        ReferencePlan[] plans = packs < ReferenceTest.LeastSampledBatch
            ? [ReferencePlan.Single]
            : [ReferencePlan.Single, ReferencePlan.Double, ReferencePlan.Destructive];
        return new(
            Caution,
            [
                .. plans.Select(plan => InspectorsReference.Of(nominalMilligrams, packs, netMilligrams, plan)),
                InspectorsUs.Of(nominalMilligrams, packs, netMilligrams),
            ]);
    }

    internal static string Open(int weighed, int wanted) => $"{weighed} weighed, {wanted} wanted: not decided.";

    internal static string Known(Provenance mark) => mark == Provenance.Read ? "read" : "from memory, confirm it";
}

/// <summary>The reference test of Directive 76/211/EEC, Annex II.</summary>
internal static class InspectorsReference
{
    internal static InspectorsTest Of(long nominal, int batch, IReadOnlyList<long> weighed, ReferencePlan plan)
    {
        var (code, how) = batch < ReferenceTest.LeastSampledBatch ? ("reference-whole", "fewer than 100 packs: all are weighed")
            : plan switch
            {
                ReferencePlan.Single => ("reference-single", "one sample, packs not opened"),
                ReferencePlan.Double => ("reference-double", "one or two samples, packs not opened"),
                _ => ("reference-destructive", "packs opened"),
            };
        var blank = new InspectorsTest(
            code, $"Reference test of Directive 76/211/EEC, Annex II: {how}", InspectorsTest.Undecided, "", 0, Tables(nominal, batch, plan));
        if (batch > ReferenceTest.MostBatch)
            return blank with { Words = $"The lot has {batch} packs; the test is for batches of at most {ReferenceTest.MostBatch}: not decided." };
        var drawn = weighed.Take(ReferenceTest.MostPacks(batch, plan)).ToList();
        var verdict = ReferenceTest.Judge(nominal, batch, drawn, plan);
        var taken = Math.Min(drawn.Count, verdict.Wanted);
        return verdict.Outcome switch
        {
            ReferenceOutcome.Incomplete => blank with
            {
                Wanted = verdict.Wanted,
                Taken = taken,
                Words = InspectorsSample.Open(weighed.Count, verdict.Wanted) + Single(verdict) + ".",
            },
            var outcome => blank with
            {
                Outcome = outcome == ReferenceOutcome.Accepted ? InspectorsTest.Passes : InspectorsTest.Fails,
                Wanted = verdict.Wanted,
                Taken = taken,
                Words = $"{taken} of {verdict.Wanted} packs looked at.{Single(verdict)}{(verdict.ContentPasses == false ? ", too many" : "")}; {Mean(verdict)}.",
            },
        };
    }

    private static string Single(ReferenceVerdict verdict) => $" Below T1: {verdict.Defectives}";

    private static string Mean(ReferenceVerdict verdict) => verdict.MeanGrams is { } mean
        ? FormattableString.Invariant($"mean {mean:0.000} g, at least {verdict.LeastMeanGrams:0.000} g wanted")
        : "the mean no longer matters";

    private static string Tables(long nominal, int batch, ReferencePlan plan)
    {
        var limit = TolerableError.Table.First(row => nominal <= row.ToMilligrams).Mark;
        if (batch < ReferenceTest.LeastSampledBatch)
            return $"Rule for small batches: {InspectorsSample.Known(ReferenceTest.SmallBatchMark)}; T1: {InspectorsSample.Known(limit)}.";
        if (batch > ReferenceTest.MostBatch) return $"T1: {InspectorsSample.Known(limit)}.";
        var (content, mean) = ReferenceTest.RowsFor(batch, plan);
        return $"Plan: {InspectorsSample.Known(content.Mark)}; factor of the mean: {InspectorsSample.Known(mean.Mark)}; T1: {InspectorsSample.Known(limit)}.";
    }
}

/// <summary>The sampling test of NIST Handbook 133, category A.</summary>
internal static class InspectorsUs
{
    internal static InspectorsTest Of(long label, int lot, IReadOnlyList<long> weighed)
    {
        var blank = new InspectorsTest(
            "us-category-a", "US sampling test of NIST Handbook 133, category A", InspectorsTest.Undecided, "", 0, "");
        if (label is < UsSampling.LeastLabelMilligrams or > UsSampling.MostLabelMilligrams)
            return blank with { Words = "It is computed for packs of 1 g to 1.12 kg only: not decided." };
        var (plan, known) = (UsSampling.PlanFor(lot), UsSampling.VariationMark(label));
        blank = blank with
        {
            Wanted = plan.Count,
            Taken = Math.Min(plan.Count, weighed.Count),
            Tables = $"Plan: {InspectorsSample.Known(plan.Mark)}; largest variation of a pack: {InspectorsSample.Known(known)}.",
        };
        if (weighed.Count < plan.Count) return blank with { Words = InspectorsSample.Open(weighed.Count, plan.Count) };
        var verdict = UsSampling.Judge(label, lot, [.. weighed.Take(plan.Count)]);
        return blank with
        {
            Outcome = verdict.Passes ? InspectorsTest.Passes : InspectorsTest.Fails,
            Words = FormattableString.Invariant(
                $"{plan.Count} of {plan.Count} packs looked at. Mean {Error(verdict.MeanErrorGrams)}, at most {verdict.LimitGrams ?? 0:0.000} g short allowed; ") +
                FormattableString.Invariant(
                    $"short by more than {verdict.VariationGrams:0.0##} g: {verdict.OverVariation}, at most {verdict.AllowedOver} allowed. No allowance for lost moisture is made."),
        };
    }

    private static string Error(double grams) => grams < 0
        ? FormattableString.Invariant($"{-grams:0.000} g short")
        : FormattableString.Invariant($"{grams:0.000} g over the label");
}
