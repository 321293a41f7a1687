using CsCheck;
using Trace.Core.Science.Charts;
using Xunit;

namespace Trace.Tests.Science.Charts;

public class CusumTests
{
    private static readonly double[] ThreeDecimals =
    [
        324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600, 324.625, 325.150, 328.325, 327.250, 327.825,
        328.500, 326.675, 327.775, 326.875, 328.350,
    ];

    private static readonly double[] High = [0, 0, 0, 0, .03, 0, 0, 0, 0, 0, 0, 0, 3.01, 4.94, 7.45, 10.63, 11.99, 14.44, 16.00, 19.04];
    private static readonly double[] Low = [0, .01, 0, .33, 0, 0, .56, .72, .17, .25, .31, 0, 0, 0, 0, 0, 0, 0, 0, 0];

    [CheckValue(Mark.Published, typeof(Cusum), "NIST/SEMATECH e-Handbook 6.3.2.3, read in a copy: target 325, k 0.3175, h 4.1959: both sums and the first signal at group 14; from its data of two decimals the sums differ by up to 0.03")]
    [Fact]
    public void The_example_of_the_nist_handbook_is_met()
    {
        double[] twoDecimals = [.. ThreeDecimals.Select(value => Math.Round(value, 2, MidpointRounding.AwayFromZero))];
        var points = Cusum.Run(twoDecimals, [], 325, 0.3175, 4.1959);
        for (var i = 0; i < High.Length; i++)
        {
            Assert.Equal(High[i], points[i].High, 0.031);
            Assert.Equal(Low[i], points[i].Low, 0.031);
            Assert.Equal(i >= 13, points[i].SignalsHigh);
            Assert.False(points[i].SignalsLow);
        }
    }

    [CheckValue(Mark.FromMemory, typeof(Cusum), "NIST/SEMATECH e-Handbook 6.3.2.3: its means to three decimals are from memory; with them all 40 printed sums are met to the last digit")]
    [Fact]
    public void With_three_decimals_every_printed_digit_is_met()
    {
        var points = Cusum.Run(ThreeDecimals, [], 325, 0.3175, 4.1959);
        for (var i = 0; i < High.Length; i++)
        {
            Assert.Equal(High[i], points[i].High, 0.00501);
            Assert.Equal(Low[i], points[i].Low, 0.00501);
        }
    }

    [Fact]
    public void A_sum_on_its_limit_does_not_signal_and_a_break_sets_it_back()
    {
        var points = Cusum.Run([3, 3, 0.5, 3], [3], 0, 0.5, 5);
        Assert.Equal([2.5, 5, 5, 2.5], points.Select(point => point.High));
        Assert.DoesNotContain(points, point => point.SignalsHigh);
        Assert.True(Cusum.Run([3, 3.25], [], 0, 0.5, 5)[1].SignalsHigh);
    }

    [Fact]
    public void Reversing_the_sign_swaps_the_sides() => Check.Sample(
        Gen.Select(Gen.Double[-1000, 1000].Array[0, 40], Gen.Double[-100, 100], Gen.Double[0, 5], Gen.Double[0.1, 50]),
        (values, target, slack, limit) =>
        {
            var points = Cusum.Run(values, [], target, slack, limit);
            var mirrored = Cusum.Run([.. values.Select(value => -value)], [], -target, slack, limit);
            Assert.Equal(points, mirrored.Select(point => new CusumPoint(point.Low, point.High, point.SignalsLow, point.SignalsHigh)));
            Assert.All(points, point => Assert.True(point.High >= 0 && point.Low >= 0 && double.IsFinite(point.High + point.Low)));
        },
        iter: 2000);

    [Theory]
    [InlineData(double.NaN, 0.5, 5, "target")]
    [InlineData(0, -0.1, 5, "slack")]
    [InlineData(0, double.NaN, 5, "slack")]
    [InlineData(0, 0.5, 0, "limit")]
    [InlineData(0, 0.5, double.PositiveInfinity, "limit")]
    public void What_makes_no_chart_is_refused_by_name(double target, double slack, double limit, string name)
    {
        Assert.Equal(name, Assert.Throws<ArgumentOutOfRangeException>(() => Cusum.Run([1, 2], [], target, slack, limit)).ParamName);
        Assert.Throws<ArgumentOutOfRangeException>(() => Cusum.Run([1, double.NaN], [], 0, 1, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => Cusum.Run([1e308, 1e308], [], 0, 1, 1));
    }
}
