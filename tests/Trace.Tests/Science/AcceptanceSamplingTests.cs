using Trace.Core.Science;
using Xunit;

namespace Trace.Tests.Science;

public class AcceptanceSamplingTests
{
    /// <summary>n 5, c 2, m 10, M 300, "M or more" is unsatisfactory: the usual plan for Enterobacteriaceae.</summary>
    private static readonly AcceptancePlan ThreeClass = new(5, 2, 10, 300, LimitComparison.AtLeast);

    /// <summary>n 5, c 0, absent: the usual plan for Salmonella.</summary>
    private static readonly AcceptancePlan Absent = new(5, 0, 0, 0, LimitComparison.AtLeast);

    private static SampleValue[] Values(string text) => [.. text.Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(Value)];

    private static SampleValue Value(string text) =>
        SampleValue.TryParse(text, out var value) ? value : throw new ArgumentException(text);

    [Theory]
    [InlineData("0 0 0 0 0", PlanOutcome.Satisfactory)]
    [InlineData("10 10 10 10 10", PlanOutcome.Satisfactory)]
    [InlineData("10.1 10 10 10 10", PlanOutcome.Acceptable)]
    [InlineData("299 299 0 0 0", PlanOutcome.Acceptable)]
    [InlineData("11 11 11 0 0", PlanOutcome.Unsatisfactory)]
    [InlineData("300 0 0 0 0", PlanOutcome.Unsatisfactory)]
    [InlineData("301 0 0 0 0", PlanOutcome.Unsatisfactory)]
    [InlineData("0 0 0 0", PlanOutcome.Incomplete)]
    [InlineData("", PlanOutcome.Incomplete)]
    public void A_three_class_plan_judges_at_its_limits(string results, PlanOutcome outcome) =>
        Assert.Equal(outcome, AcceptanceSampling.Judge(ThreeClass, Values(results)));

    [Fact]
    public void The_wording_of_the_criterion_decides_about_exactly_the_upper_limit()
    {
        var results = Values("300 0 0 0 0");
        Assert.Equal(PlanOutcome.Unsatisfactory, AcceptanceSampling.Judge(ThreeClass, results));
        Assert.Equal(PlanOutcome.Acceptable, AcceptanceSampling.Judge(ThreeClass with { Comparison = LimitComparison.Above }, results));
    }

    [Theory]
    [InlineData("0 0 0 0 0", PlanOutcome.Satisfactory)]
    [InlineData("1 0 0 0 0", PlanOutcome.Unsatisfactory)]
    [InlineData(">0 0 0 0 0", PlanOutcome.Unsatisfactory)]
    [InlineData("<1 0 0 0 0", PlanOutcome.Indeterminate)]
    [InlineData("0 0 0 0", PlanOutcome.Incomplete)]
    public void Absent_means_none_found_under_both_wordings(string results, PlanOutcome outcome)
    {
        Assert.Equal(outcome, AcceptanceSampling.Judge(Absent, Values(results)));
        Assert.Equal(outcome, AcceptanceSampling.Judge(Absent with { Comparison = LimitComparison.Above }, Values(results)));
    }

    [Theory]
    [InlineData(LimitComparison.Above, "101 100 100 100 100", PlanOutcome.Satisfactory)]
    [InlineData(LimitComparison.Above, "101 101 100 100 100", PlanOutcome.Unsatisfactory)]
    [InlineData(LimitComparison.AtLeast, "100 99 99 99 99", PlanOutcome.Satisfactory)]
    [InlineData(LimitComparison.AtLeast, "100 100 99 99 99", PlanOutcome.Unsatisfactory)]
    public void A_two_class_plan_lets_c_units_be_over(LimitComparison comparison, string results, PlanOutcome outcome) =>
        Assert.Equal(outcome, AcceptanceSampling.Judge(new(5, 1, 100, 100, comparison), Values(results)));

    [Theory]
    [InlineData("<10 <10 <10 <10 <10", PlanOutcome.Satisfactory)] // Less than m.
    [InlineData("<11 0 0 0 0", PlanOutcome.Acceptable)] // May be above m, and passes either way: the worse verdict.
    [InlineData("<300 <300 0 0 0", PlanOutcome.Acceptable)] // Less than M is never over M.
    [InlineData("<300 <300 <300 0 0", PlanOutcome.Indeterminate)] // Three may be above m, or none.
    [InlineData("<301 0 0 0 0", PlanOutcome.Indeterminate)] // May be M.
    [InlineData(">300 0 0 0 0", PlanOutcome.Unsatisfactory)] // More than M.
    [InlineData(">299 0 0 0 0", PlanOutcome.Indeterminate)] // May be just below M.
    [InlineData(">9 0 0 0 0", PlanOutcome.Indeterminate)] // May be anything.
    [InlineData(">10 >10 >10 0 0", PlanOutcome.Unsatisfactory)] // At least three above m, whatever they are.
    [InlineData(">10 300 0 0 0", PlanOutcome.Unsatisfactory)] // Settled by another unit.
    [InlineData("<300 0 0 0", PlanOutcome.Incomplete)]
    public void Censored_results_count_as_all_that_they_may_be(string results, PlanOutcome outcome) =>
        Assert.Equal(outcome, AcceptanceSampling.Judge(ThreeClass, Values(results)));

    [Fact]
    public void A_failure_shows_before_the_last_result_is_in()
    {
        Assert.Equal(PlanOutcome.Unsatisfactory, AcceptanceSampling.Judge(ThreeClass, Values("500")));
        Assert.Equal(PlanOutcome.Unsatisfactory, AcceptanceSampling.Judge(ThreeClass, Values("11 11 11")));
        Assert.Equal(PlanOutcome.Incomplete, AcceptanceSampling.Judge(ThreeClass, Values("11 11")));
    }

    [Fact]
    public void Testing_again_until_it_passes_does_not_pass() =>
        Assert.Equal(PlanOutcome.Unsatisfactory, AcceptanceSampling.Judge(ThreeClass, Values("500 0 0 0 0 0 0 0 0 0 0")));

    [Theory]
    [InlineData("10", SampleClass.Satisfactory)]
    [InlineData("11", SampleClass.Marginal)]
    [InlineData("300", SampleClass.Unsatisfactory)]
    [InlineData("<10", SampleClass.Satisfactory)]
    [InlineData("<100", SampleClass.Marginal)]
    [InlineData("<1000", SampleClass.Indeterminate)]
    [InlineData(">100", SampleClass.Indeterminate)]
    [InlineData(">300", SampleClass.Unsatisfactory)]
    public void A_unit_has_a_class(string result, SampleClass expected) =>
        Assert.Equal(expected, AcceptanceSampling.Classify(ThreeClass, Value(result)));

    public static TheoryData<AcceptancePlan> BadPlans =>
    [
        ThreeClass with { N = 0, C = 0 },
        ThreeClass with { C = -1 },
        ThreeClass with { C = 5 },
        ThreeClass with { Lower = -1 },
        ThreeClass with { Lower = double.NaN },
        ThreeClass with { Upper = double.NaN },
        ThreeClass with { Upper = double.PositiveInfinity },
        ThreeClass with { Upper = 9 },
        ThreeClass with { Comparison = (LimitComparison)7 },
    ];

    [Theory]
    [MemberData(nameof(BadPlans))]
    public void A_plan_that_makes_no_sense_is_refused(AcceptancePlan plan)
    {
        Assert.False(plan.IsValid);
        Assert.Throws<ArgumentOutOfRangeException>(() => AcceptanceSampling.Judge(plan, []));
        Assert.Throws<ArgumentOutOfRangeException>(() => AcceptanceSampling.Classify(plan, new(0, SampleValueKind.Exact)));
    }

    public static TheoryData<SampleValue> BadResults =>
    [
        default(SampleValue),
        new SampleValue(double.NaN, SampleValueKind.Exact),
        new SampleValue(double.PositiveInfinity, SampleValueKind.Above),
        new SampleValue(-1, SampleValueKind.Exact),
        new SampleValue(0, SampleValueKind.Below),
        new SampleValue(5, (SampleValueKind)9),
    ];

    [Theory]
    [MemberData(nameof(BadResults))]
    public void A_result_that_is_none_is_refused(SampleValue result)
    {
        var good = new SampleValue(0, SampleValueKind.Exact);
        Assert.False(result.IsValid);
        Assert.Throws<ArgumentOutOfRangeException>(() => AcceptanceSampling.Judge(ThreeClass, [good, good, good, good, result]));
    }
}
