namespace Trace.Core.Science;

/// <summary>How a unit compares with the upper limit M. Criteria differ in wording, so it is kept with the criterion.</summary>
public enum LimitComparison
{
    /// <summary>A unit is over M when it is more than M.</summary>
    Above,

    /// <summary>A unit is over M when it is M or more. Zero found is never over a limit of zero ("absent in 25 g").</summary>
    AtLeast,
}

/// <summary>
/// A plan n, c, m, M. Two-class when m equals M: at most c of n units may be over the limit. Three-class otherwise: no unit over M and
/// at most c above m.
/// </summary>
/// <param name="N">Units to test, at least 1. A composite counts as the units it stands for only if the laboratory validated it.</param>
/// <param name="C">From 0 to below N. Chosen before the results are known.</param>
/// <param name="Lower">m, in the unit of the results, not negative.</param>
/// <param name="Upper">M, in the unit of the results, not below m.</param>
public sealed record AcceptancePlan(int N, int C, double Lower, double Upper, LimitComparison Comparison)
{
    public bool IsTwoClass => Lower == Upper;

    /// <summary>Whether the numbers make a plan. <see cref="AcceptanceSampling.Judge"/> refuses one that does not.</summary>
    public bool IsValid =>
        N >= 1 && C >= 0 && C < N && double.IsFinite(Lower) && double.IsFinite(Upper) && Lower >= 0 && Upper >= Lower
        && Comparison is LimitComparison.Above or LimitComparison.AtLeast;

    /// <summary>Whether a unit of exactly this value is over M.</summary>
    internal bool IsOver(double value) =>
        value > Upper || (Comparison == LimitComparison.AtLeast && value == Upper && Upper > 0);
}
