namespace Trace.Core.Science;

/// <summary>What one unit is in the eyes of a plan.</summary>
public enum SampleClass
{
    /// <summary>Not above m.</summary>
    Satisfactory,

    /// <summary>Above m, not over M. Only in three-class plans.</summary>
    Marginal,

    /// <summary>Over M.</summary>
    Unsatisfactory,

    /// <summary>Censored such that it may or may not be over M: test again with a fitting dilution.</summary>
    Indeterminate,
}

/// <summary>The verdict on the lot. Everything but satisfactory and acceptable holds it.</summary>
public enum PlanOutcome
{
    /// <summary>Fewer results than the plan wants.</summary>
    Incomplete,
    Satisfactory,

    /// <summary>Within c units between m and M: passes, but watch the trend.</summary>
    Acceptable,
    Unsatisfactory,

    /// <summary>Censored results leave it open.</summary>
    Indeterminate,
}

/// <summary>Attribute plans n, c, m, M and what they can and cannot see.</summary>
/// <remarks>
/// A passed plan does not prove a lot clean: with five clean units of five, a lot with every tenth unit contaminated passes in 59 of 100
/// cases. Units from one pocket are not independent.
/// </remarks>
public static class AcceptanceSampling
{
    /// <summary>
    /// Judges the results. A censored result counts as both the best and the worst value it may stand for; if the two verdicts
    /// differ in whether the lot passes, the outcome is indeterminate, otherwise it is the worse one.
    /// </summary>
    /// <param name="results">All of them, in any order. More than n count too, against the same c, so that nobody can test until it
    /// passes. Too many bad ones are unsatisfactory at once, even before the n-th, since further results cannot mend that.</param>
    /// <exception cref="ArgumentOutOfRangeException">The plan or a result is not valid.</exception>
    public static PlanOutcome Judge(AcceptancePlan plan, IReadOnlyList<SampleValue> results)
    {
        RequireValid(plan);
        ArgumentNullException.ThrowIfNull(results);
        var classes = results.Select(result => RangeOf(plan, result)).ToArray();
        var best = Verdict(plan, classes.Select(range => range.Best));
        if (best == PlanOutcome.Unsatisfactory) return PlanOutcome.Unsatisfactory;
        if (results.Count < plan.N) return PlanOutcome.Incomplete;
        var worst = Verdict(plan, classes.Select(range => range.Worst));
        return worst == PlanOutcome.Unsatisfactory ? PlanOutcome.Indeterminate : worst;
    }

    /// <summary>The class of one unit. A censored one that is certainly not over M gets the worse class it may be in.</summary>
    public static SampleClass Classify(AcceptancePlan plan, SampleValue result)
    {
        RequireValid(plan);
        var (best, worst) = RangeOf(plan, result);
        return worst == SampleClass.Unsatisfactory && best != worst ? SampleClass.Indeterminate : worst;
    }

    /// <summary>
    /// Probability that a lot passes a two-class plan: <c>Σ C(n,i) pⁱ (1−p)ⁿ⁻ⁱ, i ≤ c</c>. For a lot much larger than the sample.
    /// </summary>
    /// <param name="n">At least 1.</param>
    /// <param name="c">0 to n.</param>
    /// <param name="p">Share of units over the limit, 0 to 1.</param>
    public static double TwoClassProbability(int n, int c, double p) => ThreeClassProbability(n, c, Domain.Within(p, 0, 1), 0);

    /// <summary>
    /// Probability that a lot passes a three-class plan: no unit over M and at most c above m,
    /// <c>Σ C(n,i) p_mⁱ (1−p_m−p_d)ⁿ⁻ⁱ, i ≤ c</c> (trinomial; Adams and Moss, Food Microbiology, chapter 11).
    /// </summary>
    /// <param name="marginal">Share of units between m and M, 0 to 1.</param>
    /// <param name="defective">Share of units over M, 0 to 1; both together at most 1.</param>
    public static double ThreeClassProbability(int n, int c, double marginal, double defective)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(n, 1);
        ArgumentOutOfRangeException.ThrowIfNegative(c);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(c, n);
        Domain.Within(marginal, 0, 1);
        Domain.Within(defective, 0, 1);
        var good = 1 - marginal - defective;
        if (good < -1e-12) throw new ArgumentOutOfRangeException(nameof(defective), defective, "The shares add up to more than 1.");
        good = Math.Max(0, good);

        // In logarithms: the factorials overflow and the powers underflow long before their product does.
        double sum = 0, logChoices = 0;
        for (var i = 0; i <= c; i++)
        {
            sum += Math.Exp(logChoices + LogPower(marginal, i) + LogPower(good, n - i));
            logChoices += Math.Log(n - i) - Math.Log(i + 1);
        }

        return Math.Clamp(sum, 0, 1);
    }

    private static double LogPower(double value, int exponent) => exponent == 0 ? 0 : exponent * Math.Log(value);

    private static (SampleClass Best, SampleClass Worst) RangeOf(AcceptancePlan plan, SampleValue result)
    {
        if (!result.IsValid)
            throw new ArgumentOutOfRangeException(nameof(result), result, "A result must be a number that is not negative.");
        return result.Kind switch
        {
            SampleValueKind.Below => (SampleClass.Satisfactory, ClassJustBelow(plan, result.Value)),
            SampleValueKind.Above => (ClassJustAbove(plan, result.Value), SampleClass.Unsatisfactory),
            _ => (ClassAt(plan, result.Value), ClassAt(plan, result.Value)),
        };
    }

    private static SampleClass ClassAt(AcceptancePlan plan, double value) =>
        plan.IsOver(value) ? SampleClass.Unsatisfactory : value > plan.Lower ? SampleClass.Marginal : SampleClass.Satisfactory;

    /// <summary>The worst class of any value less than this one.</summary>
    private static SampleClass ClassJustBelow(AcceptancePlan plan, double value) =>
        value > plan.Upper ? SampleClass.Unsatisfactory : value > plan.Lower ? SampleClass.Marginal : SampleClass.Satisfactory;

    /// <summary>The best class of any value more than this one.</summary>
    private static SampleClass ClassJustAbove(AcceptancePlan plan, double value) =>
        value >= plan.Upper ? SampleClass.Unsatisfactory : value >= plan.Lower ? SampleClass.Marginal : SampleClass.Satisfactory;

    private static PlanOutcome Verdict(AcceptancePlan plan, IEnumerable<SampleClass> classes)
    {
        int marginal = 0, over = 0;
        foreach (var unit in classes)
        {
            if (unit == SampleClass.Marginal) marginal++;
            if (unit == SampleClass.Unsatisfactory) over++;
        }

        if (plan.IsTwoClass) return over > plan.C ? PlanOutcome.Unsatisfactory : PlanOutcome.Satisfactory;
        if (over > 0 || marginal > plan.C) return PlanOutcome.Unsatisfactory;
        return marginal == 0 ? PlanOutcome.Satisfactory : PlanOutcome.Acceptable;
    }

    private static void RequireValid(AcceptancePlan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        if (!plan.IsValid) throw new ArgumentOutOfRangeException(nameof(plan), plan, "The numbers n, c, m, M do not make a plan.");
    }
}
