using Trace.Core.Science;
using Trace.Core.Specifications;

namespace Trace.Core.Figures;

/// <summary>One point of an operating curve: how often a lot with this share of bad units passes.</summary>
public readonly record struct OperatingPoint(double BadShare, double Passes);

/// <summary>What a plan of n units can see. A clean result is no proof: read the upper bound.</summary>
/// <param name="Curve">From no bad units to all, in rising order. Bad is over the limit; in a three-class plan over M.</param>
/// <param name="MarginalCurve">Three-class plans: the share of units between m and M instead, none over M; otherwise null.</param>
/// <param name="UpperBound">Share of bad units that n clean ones still leave possible, at 95 % confidence.</param>
/// <param name="PassesOften">Shares of 1, 5, 10 and 20 %, and how often they pass.</param>
public sealed record PlanFigures(
    IReadOnlyList<OperatingPoint> Curve, IReadOnlyList<OperatingPoint>? MarginalCurve, double UpperBound,
    IReadOnlyList<OperatingPoint> PassesOften)
{
    public const double Confidence = 0.95;

    private const int Steps = 50;

    /// <summary>Shares that people ask about.</summary>
    private static readonly double[] Asked = [0.01, 0.05, 0.10, 0.20];

    public static PlanFigures Of(AwaitedTest test)
    {
        ArgumentNullException.ThrowIfNull(test);
        var isTwoClass = test.LowerLimit == test.UpperLimit;

        if (isTwoClass) return Of(test.N, test.C, null);

        // No unit over M is forgiven, whatever c is.
        return Of(test.N, 0, CurveOf(share => AcceptanceSampling.ThreeClassProbability(test.N, test.C, share, 0)));
    }

    /// <summary>Grabs from a batch of which none may be wet.</summary>
    public static PlanFigures OfGrabs(int grabs) => Of(grabs, 0, null);

    private static PlanFigures Of(int n, int c, IReadOnlyList<OperatingPoint>? marginal)
    {
        double Passes(double share) => AcceptanceSampling.TwoClassProbability(n, c, share);
        return new(
            CurveOf(Passes), marginal, SamplingPower.UpperBound(n, 0, Confidence),
            [.. Asked.Select(share => new OperatingPoint(share, Passes(share)))]);
    }

    private static List<OperatingPoint> CurveOf(Func<double, double> passes) =>
        [.. Enumerable.Range(0, Steps + 1).Select(step => new OperatingPoint((double)step / Steps, passes((double)step / Steps)))];
}
