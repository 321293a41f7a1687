using Trace.Core.Lots;
using Trace.Core.Science;
using Trace.Core.Specifications;

namespace Trace.Core.Holds.Rules;

/// <summary>What the results of one awaited test come to.</summary>
/// <param name="Checks">Those judged, in order of time.</param>
/// <param name="InOtherUnits">Those that cannot be judged, since they were told in another unit than the plan's.</param>
internal sealed record TestResults(
    AwaitedTest Test, PlanOutcome Outcome, IReadOnlyList<LotCheck> Checks, IReadOnlyList<LotCheck> InOtherUnits)
{
    public int Count => Checks.Sum(check => check.Values.Count);

    public string Plan => FormattableString.Invariant(
        $"{Test.Kind}: n {Test.N}, c {Test.C}, m {Test.LowerLimit:0.###}, M {Test.UpperLimit:0.###} {Test.Unit}");

    /// <summary>Which entries told them, and which laboratory; with a blank before it, empty when there are none.</summary>
    public string Told => Checks.Count == 0 ? "" : $" ({string.Join("; ", Checks.Select(Teller))})";

    public long Seq(RuleContext context) =>
        Checks.Concat(InOtherUnits).Select(check => check.Seq).DefaultIfEmpty(context.Lot.MadeBySeq).Max();

    internal static string Teller(LotCheck check) => string.Join(
        ", ",
        new[] { check.Laboratory ?? "no laboratory named", check.Reference is null ? null : $"report {check.Reference}", $"entry {check.Seq}" }
            .OfType<string>());
}

/// <summary>Positive release: a test of the specification must be there, and good, before the lot moves on.</summary>
internal static class AwaitedTests
{
    internal static IEnumerable<TestResults> Of(RuleContext context)
    {
        foreach (var test in context.Specification.Tests.Where(test => test.On == context.Lot.Kind))
        {
            // All results count together, so that nobody can test until it passes. A good one of a container's lot speaks only for what was
            // in it: after a further fill it is awaited again, while a bad one stays.
            var results = Judge(test, context.Lot.Checks.Where(check => check.Kind == test.Kind));
            if (results.Outcome != PlanOutcome.Unsatisfactory && Measured.LastFill(context) is { } filled)
                results = Judge(test, context.Lot.Checks.Where(check => check.Kind == test.Kind && check.At >= filled));
            yield return results;
        }
    }

    private static TestResults Judge(AwaitedTest test, IEnumerable<LotCheck> checks)
    {
        var byUnit = checks.ToLookup(check => check.Unit is null || test.IsIn(check.Unit));
        List<LotCheck> own = [.. byUnit[true]], other = [.. byUnit[false]];
        var outcome = OutcomeOf(test, own);
        return new(test, other.Count > 0 && outcome != PlanOutcome.Unsatisfactory ? PlanOutcome.Indeterminate : outcome, own, other);
    }

    private static PlanOutcome OutcomeOf(AwaitedTest test, List<LotCheck> checks)
    {
        var results = new List<SampleValue>();
        foreach (var text in checks.SelectMany(check => check.Values))
        {
            if (!SampleValue.TryParse(text, out var value)) return PlanOutcome.Indeterminate;
            results.Add(value);
        }

        return AcceptanceSampling.Judge(
            new AcceptancePlan(
                test.N, test.C, test.LowerLimit, test.UpperLimit, test.AtLeast ? LimitComparison.AtLeast : LimitComparison.Above),
            results);
    }
}

internal sealed class TestsAwaited : HoldRule
{
    public override string Code => "tests.awaited";

    public override string Title => "Test results awaited";

    public override string Source => "The plan's own source stands in the specification. A clean result does not prove a lot clean.";

    public override string Clears => "The results of all units of the plan.";

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        foreach (var results in AwaitedTests.Of(context))
        {
            var verdict = new Verdict(Outcome.Pass, $"{results.Plan}: {results.Outcome.ToString().ToLowerInvariant()}, {results.Count} results{results.Told}.")
            {
                Value = results.Count,
                Limit = results.Test.N,
                Unit = "results",
                EvidenceSeq = results.Seq(context),
            };
            yield return results switch
            {
                { Outcome: PlanOutcome.Incomplete } => verdict with
                {
                    Outcome = Outcome.Hold,
                    Finding = $"{results.Plan}: {results.Count} of {results.Test.N} results are there{results.Told}.",
                },
                { Outcome: PlanOutcome.Indeterminate, InOtherUnits: [var other, ..] } => verdict with
                {
                    Outcome = Outcome.Undetermined,
                    Finding = $"{results.Plan}: a result was told in {other.Unit} ({TestResults.Teller(other)}), which the plan cannot judge. Correct the entry, or have it told in {results.Test.Unit}.",
                },
                { Outcome: PlanOutcome.Indeterminate } => verdict with
                {
                    Outcome = Outcome.Undetermined,
                    Finding = $"{results.Plan}: a result does not say on which side of a limit it lies{results.Told}. Have it tested again.",
                },
                _ => verdict,
            };
        }
    }
}

internal sealed class TestsFailed : HoldRule
{
    public override string Code => "tests.failed";

    public override string Title => "Test failed";

    public override string Source => "The plan's own source stands in the specification.";

    public override string Clears => "Nothing: failed stays held. Dispose of the lot, or have a validated treatment approved.";

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        foreach (var results in AwaitedTests.Of(context))
        {
            if (results.Outcome != PlanOutcome.Unsatisfactory) continue;
            yield return new Verdict(
                Outcome.Hold,
                $"{results.Plan}: unsatisfactory, {string.Join(", ", results.Checks.SelectMany(check => check.Values))}{results.Told}.")
            {
                Limit = results.Test.UpperLimit,
                Unit = results.Test.Unit,
                EvidenceSeq = results.Seq(context),
            };
        }
    }
}
