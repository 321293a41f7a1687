using CsCheck;
using Trace.Core.Science.Charts;
using Xunit;

namespace Trace.Tests.Science.Charts;

public class IndividualsChartTests
{
    internal static readonly double[] Handbook = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];

    private static ControlLimits Limits(double[] values, int[]? breaks = null, RangeDivisor divisor = RangeDivisor.Exact) =>
        IndividualsChart.Limits(values, breaks ?? [], divisor).Limits!;

    [CheckValue(Mark.Published, typeof(IndividualsChart), "NIST/SEMATECH e-Handbook 6.3.2.2, read in a copy: x̄ 50.81, MR̄ 1.8778, UCL 55.8041, LCL 45.8159 with d2 rounded to 1.128")]
    [Fact]
    public void The_flow_rates_of_the_nist_handbook_are_met()
    {
        var limits = Limits(Handbook, divisor: RangeDivisor.Rounded);
        Assert.Equal(50.81, limits.Center, 1e-9);
        Assert.Equal(1.8778, limits.MeanRange, 5e-5);
        Assert.Equal(55.8041, limits.Upper, 5e-5);
        Assert.Equal(45.8159, limits.Lower, 5e-5);
        Assert.Equal((10, 9, true), (limits.Points, limits.Ranges, limits.IsProvisional));
    }

    [CheckValue(Mark.Recomputed, typeof(IndividualsChart), "The same data by hand with d2 = 2/√π: 55.8024 and 45.8176; moving range up to 3.266532 × 1.8778 = 6.1339")]
    [Fact]
    public void The_exact_divisor_gives_slightly_narrower_limits()
    {
        var limits = Limits(Handbook);
        Assert.Equal(55.8024, limits.Upper, 5e-5);
        Assert.Equal(45.8176, limits.Lower, 5e-5);
        Assert.Equal(6.1339, limits.RangeUpper, 1e-4);
        Assert.Equal(1.8778 / 1.1283792, limits.Sigma, 5e-5);
    }

    [CheckValue(Mark.Recomputed, typeof(IndividualsChart), "By hand: 1 3 | 10 14 17 has the ranges 2, 4 and 3, never the 7 across the break; mean 3")]
    [Fact]
    public void No_moving_range_is_taken_across_a_break()
    {
        Assert.Equal([null, 2, null, 4, 3], IndividualsChart.MovingRanges([1, 3, 10, 14, 17], [2]));
        var limits = Limits([1, 3, 10, 14, 17], [2]);
        Assert.Equal((3.0, 3, 9.0), (limits.MeanRange, limits.Ranges, limits.Center));
    }

    [Theory]
    [InlineData(2, true)]
    [InlineData(19, true)]
    [InlineData(20, false)]
    [InlineData(21, false)]
    public void Limits_from_fewer_than_twenty_values_are_provisional(int count, bool provisional) =>
        Assert.Equal(provisional, Limits([.. Enumerable.Range(0, count).Select(i => i % 3.0)]).IsProvisional);

    [Theory]
    [InlineData(30.0, 30.0, 30.0)]
    [InlineData(0.0, 0.0, 0.0)]
    [InlineData(0.3, 0.1 + 0.2, 0.3)]
    public void The_same_value_again_and_again_has_no_limits_and_says_so(params double[] values)
    {
        var outcome = IndividualsChart.Limits(values, []);
        Assert.Null(outcome.Limits);
        Assert.Contains("the same", outcome.Problem);
    }

    [Fact]
    public void Values_that_all_stand_alone_have_no_limits_and_say_so()
    {
        var outcome = IndividualsChart.Limits([1, 2, 3], [1, 2]);
        Assert.Null(outcome.Limits);
        Assert.Contains("break", outcome.Problem);
    }

    public static TheoryData<string, double[], int[]> Bad => new()
    {
        { "values", [], [] },
        { "values", [1], [] },
        { "values", [1, double.NaN, 2], [] },
        { "values", [1, double.PositiveInfinity], [] },
        { "values", [double.NegativeInfinity, 1], [] },
        { "values", [-1e308, 1e308], [] },
        { "values", [1.5e308, 1.6e308, 1.7e308], [] },
        { "breaks", [1, 2, 3], [0] },
        { "breaks", [1, 2, 3], [3] },
        { "breaks", [1, 2, 3], [2, 1] },
        { "breaks", [1, 2, 3], [1, 1] },
    };

    [Theory]
    [MemberData(nameof(Bad))]
    public void What_is_no_series_is_refused_by_name(string name, double[] values, int[] breaks) =>
        Assert.Equal(name, Assert.Throws<ArgumentOutOfRangeException>(() => IndividualsChart.Limits(values, breaks)).ParamName);

    [Fact]
    public void Shifting_and_scaling_the_data_shifts_and_scales_the_limits() => Check.Sample(
        Gen.Select(Gen.Double[-100, 100].Array[2, 40], Gen.Double[-1000, 1000], Gen.Double[0.01, 100]),
        (values, shift, scale) =>
        {
            if (IndividualsChart.Limits(values, []).Limits is not { } limits || limits.MeanRange < 1e-3) return;
            var moved = Limits([.. values.Select(value => shift + scale * value)]);
            Assert.Equal(shift + scale * limits.Center, moved.Center, 1e-6);
            Assert.Equal(shift + scale * limits.Lower, moved.Lower, 1e-6);
            Assert.Equal(shift + scale * limits.Upper, moved.Upper, 1e-6);
            Assert.Equal(scale * limits.RangeUpper, moved.RangeUpper, 1e-6);
        },
        iter: 2000);

    [Fact]
    public void No_number_that_is_none_escapes() => Check.Sample(
        Gen.Select(Gen.OneOf(Gen.Double, Gen.Double[-1.7, 1.7].Select(value => value * 1e308)).Array[2, 30], Gen.Int[1, 29]),
        (values, at) =>
        {
            try
            {
                var outcome = IndividualsChart.Limits(values, at < values.Length ? [at] : []);
                Assert.True(outcome.Limits is null != outcome.Problem is null);
                if (outcome.Limits is not { } limits) return;
                Assert.All(
                    [limits.Center, limits.Lower, limits.Upper, limits.Sigma, limits.MeanRange, limits.RangeUpper],
                    number => Assert.True(double.IsFinite(number)));
                Assert.True(limits.Lower <= limits.Center && limits.Center <= limits.Upper && limits.Sigma > 0);
            }
            catch (ArgumentOutOfRangeException refused)
            {
                Assert.Equal("values", refused.ParamName);
            }
        },
        iter: 5000);
}
