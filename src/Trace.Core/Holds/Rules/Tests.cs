using Trace.Core.Lots;
using Trace.Core.Science;
using Trace.Core.Specifications;

namespace Trace.Core.Holds.Rules;

/// <summary>Positive release: a test of the specification must be there, and good, before the lot moves on.</summary>
internal static class AwaitedTests
{
    internal static IEnumerable<(AwaitedTest Test, PlanOutcome Outcome, IReadOnlyList<LotCheck> Checks)> Of(RuleContext context)
    {
        foreach (var test in context.Specification.Tests.Where(test => test.On == context.Lot.Kind))
        {
            // All results count together, so that nobody can test until it passes. A good one of a container's lot speaks only for what was
            // in it: after a further fill it is awaited again, while a bad one stays.
            var checks = context.Lot.Checks.Where(check => check.Kind == test.Kind).ToList();
            var outcome = Judge(test, checks);
            if (outcome != PlanOutcome.Unsatisfactory && Measured.LastFill(context) is { } filled)
            {
                checks = checks.FindAll(check => check.At >= filled);
                outcome = Judge(test, checks);
            }

            yield return (test, outcome, checks);
        }
    }

    private static PlanOutcome Judge(AwaitedTest test, List<LotCheck> checks)
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

    internal static string Plan(AwaitedTest test) => FormattableString.Invariant(
        $"{test.Kind}: n {test.N}, c {test.C}, m {test.LowerLimit:0.###}, M {test.UpperLimit:0.###} {test.Unit}");

    internal static long Seq(RuleContext context, IReadOnlyList<LotCheck> checks) => checks.Count == 0 ? context.Lot.MadeBySeq
        : checks[^1].Seq;
}

internal sealed class TestsAwaited : HoldRule
{
    public override string Code => "tests.awaited";

    public override string Title => "Test results awaited";

    public override string Source => "The plan's own source stands in the specification. A clean result does not prove a lot clean.";

    public override string Clears => "The results of all units of the plan.";

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        foreach (var (test, outcome, checks) in AwaitedTests.Of(context))
        {
            var count = checks.Sum(check => check.Values.Count);
            var verdict = new Verdict(Outcome.Pass, $"{AwaitedTests.Plan(test)}: {outcome.ToString().ToLowerInvariant()}.")
            {
                Value = count,
                Limit = test.N,
                Unit = "results",
                EvidenceSeq = AwaitedTests.Seq(context, checks),
            };
            if (outcome == PlanOutcome.Incomplete)
                yield return verdict with { Outcome = Outcome.Hold, Finding = $"{AwaitedTests.Plan(test)}: {count} of {test.N} results are there." };
            else if (outcome == PlanOutcome.Indeterminate)
                yield return verdict with { Outcome = Outcome.Undetermined, Finding = $"{AwaitedTests.Plan(test)}: a result does not say on which side of a limit it lies. Have it tested again." };
            else
                yield return verdict;
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
        foreach (var (test, outcome, checks) in AwaitedTests.Of(context))
        {
            if (outcome != PlanOutcome.Unsatisfactory) continue;
            yield return new Verdict(
                Outcome.Hold, $"{AwaitedTests.Plan(test)}: unsatisfactory ({string.Join(", ", checks.SelectMany(check => check.Values))}).")
            {
                Limit = test.UpperLimit,
                Unit = test.Unit,
                EvidenceSeq = AwaitedTests.Seq(context, checks),
            };
        }
    }
}
