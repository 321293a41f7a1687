using CsCheck;
using Trace.Core.Science.Charts;
using Xunit;

namespace Trace.Tests.Science.Charts;

public class EwmaTests
{
    private static readonly double[] Handbook =
        [52, 47, 53, 49.3, 50.1, 47, 51, 50.1, 51.2, 50.5, .. IndividualsChartTests.Handbook];

    [CheckValue(Mark.Published, typeof(Ewma), "NIST/SEMATECH e-Handbook 6.3.2.4, read in a copy: λ 0.3, target 50, s 2.0539, L 3: 20 means to two decimals, limits 52.5884 and 47.4115, in control")]
    [CheckValue(Mark.Recomputed, typeof(Ewma), "The same by hand: the first limit 51.8485, the last ones 52.58843 and 47.41157 (the page cuts)")]
    [Fact]
    public void The_example_of_the_nist_handbook_is_met()
    {
        double[] printed =
        [
            50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94,
            51.99,
        ];
        var points = Ewma.Run(Handbook, [], 50, 2.0539, 0.3, 3);
        for (var i = 0; i < printed.Length; i++) Assert.Equal(printed[i], points[i].Value, 0.00501);
        Assert.Equal(51.8485, points[0].Upper, 5e-5);
        var far = Ewma.Run(new double[200], [], 50, 2.0539, 0.3, 3)[^1];
        Assert.Equal(52.5884, far.Upper, 5e-5);
        Assert.Equal(47.4115, far.Lower, 1.01e-4);
        Assert.Equal(52.58843, far.Upper, 5e-6);
        Assert.Equal(47.41157, far.Lower, 5e-6);
        Assert.DoesNotContain(points, point => point.Signals);
    }

    [Fact]
    public void A_drift_signals_and_a_break_starts_anew()
    {
        double[] drift = [.. Enumerable.Range(0, 20).Select(i => 0.15 * i)];
        Assert.Contains(Ewma.Run(drift, [], 0, 1), point => point.Signals);
        var broken = Ewma.Run([5, 5, 5, 1], [3], 0, 1, 0.2);
        Assert.True(broken[2].Signals);
        Assert.Equal(0.2, broken[3].Value, 1e-15);
        Assert.Equal(0.6, broken[3].Upper, 1e-12);
        Assert.False(broken[3].Signals);
    }

    [Fact]
    public void A_mean_on_its_limit_does_not_signal()
    {
        Assert.False(Ewma.Run([3], [], 0, 1, 1)[0].Signals);
        Assert.True(Ewma.Run([3.0000001], [], 0, 1, 1)[0].Signals);
        Assert.True(Ewma.Run([-3.0000001], [], 0, 1, 1)[0].Signals);
    }

    [Fact]
    public void The_mean_stays_within_target_and_data_and_the_limits_only_widen() => Check.Sample(
        Gen.Select(Gen.Double[-1000, 1000].Array[1, 40], Gen.Double[-1000, 1000], Gen.Double[0.01, 1], Gen.Double[0.01, 50]),
        (values, target, lambda, sigma) =>
        {
            var points = Ewma.Run(values, [], target, sigma, lambda);
            var (low, high) = (Math.Min(target, values.Min()), Math.Max(target, values.Max()));
            Assert.All(points, point => Assert.InRange(point.Value, low - 1e-9, high + 1e-9));
            for (var i = 1; i < points.Count; i++) Assert.True(points[i].Upper >= points[i - 1].Upper - 1e-9);
            Assert.All(points, point => Assert.Equal(point.Upper - target, target - point.Lower, 1e-9));
        },
        iter: 2000);

    [Theory]
    [InlineData(double.NaN, 1, 0.2, 3, "target")]
    [InlineData(0, 0, 0.2, 3, "sigma")]
    [InlineData(0, double.NaN, 0.2, 3, "sigma")]
    [InlineData(0, double.PositiveInfinity, 0.2, 3, "sigma")]
    [InlineData(0, 1, 0, 3, "lambda")]
    [InlineData(0, 1, 1.01, 3, "lambda")]
    [InlineData(0, 1, double.NaN, 3, "lambda")]
    [InlineData(0, 1, 0.2, 0, "width")]
    [InlineData(0, 1e308, 0.9, 10, "sigma")]
    public void What_makes_no_chart_is_refused_by_name(double target, double sigma, double lambda, double width, string name)
    {
        Assert.Equal(name, Assert.Throws<ArgumentOutOfRangeException>(() => Ewma.Run([1, 2], [], target, sigma, lambda, width)).ParamName);
        Assert.Throws<ArgumentOutOfRangeException>(() => Ewma.Run([1, double.NaN], [], 0, 1));
    }
}
