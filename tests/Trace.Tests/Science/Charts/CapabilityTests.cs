using CsCheck;
using Trace.Core.Science.Charts;
using Xunit;

namespace Trace.Tests.Science.Charts;

public class CapabilityTests
{
    [CheckValue(Mark.Published, typeof(Capability), "NIST/SEMATECH e-Handbook 6.1.6, read in a copy: USL 20, LSL 8, x̄ 16, s 2: Cp 1.0, Cpk 0.6667, Cpu 0.6667, Cpl 1.3333, k 0.3333")]
    [Fact]
    public void The_example_of_the_nist_handbook_is_met()
    {
        var indices = Capability.Of(16, 2, 50, 8, 20);
        Assert.Equal(1.0, indices.Cp!.Value, 1e-12);
        Assert.Equal(0.6667, indices.Cpk, 5e-5);
        Assert.Equal(0.6667, indices.Cpu!.Value, 5e-5);
        Assert.Equal(1.3333, indices.Cpl!.Value, 5e-5);
        Assert.Equal(0.3333, indices.K!.Value, 5e-5);
    }

    [CheckValue(Mark.Published, typeof(Capability), "Two worked examples of Bissell's interval, read in copies: Cpk 1.04 from 125 values 0.90 to 1.18, 1.07 from 30 values 0.77 to 1.37")]
    [Theory]
    [InlineData(1.04, 125, 0.90, 1.18)]
    [InlineData(1.07, 30, 0.77, 1.37)]
    public void The_interval_is_that_of_the_examples(double cpk, int count, double low, double high)
    {
        var indices = Capability.Of(0, 1, count, null, 3 * cpk);
        Assert.Equal(cpk, indices.Cpk, 1e-12);
        Assert.Equal(low, indices.CpkLower, 0.0051);
        Assert.Equal(high, indices.CpkUpper, 0.0051);
    }

    [CheckValue(Mark.Recomputed, typeof(Capability), "By hand from Bissell's formula: the smallest Cpk whose one-sided 95 % lower bound is 1")]
    [Theory]
    [InlineData(20, 1.391)]
    [InlineData(30, 1.298)]
    [InlineData(50, 1.217)]
    [InlineData(100, 1.145)]
    public void The_least_cpk_that_shows_one_falls_with_the_number_of_values(int count, double least)
    {
        Assert.Equal(1, Capability.Of(0, 1, count, null, 3 * least, 1.6448536).CpkLower, 1e-3);
        Assert.True(Capability.Of(0, 1, count, null, 3 * (least - 0.01), 1.6448536).CpkLower < 1);
    }

    [Fact]
    public void A_limit_on_one_side_counts_alone()
    {
        var upper = Capability.Of(8, 0.5, 30, null, 10);
        Assert.Equal((null, null, null), (upper.Cp, upper.Cpl, upper.K));
        Assert.Equal(upper.Cpu, upper.Cpk);
        Assert.Equal(4 / 3.0, upper.Cpk, 1e-12);
        var lower = Capability.Of(8, 0.5, 30, 10, null);
        Assert.Equal(lower.Cpl, lower.Cpk);
        Assert.Equal(-4 / 3.0, lower.Cpk, 1e-12);
    }

    [Fact]
    public void Mirroring_swaps_the_sides_and_the_interval_holds_cpk() => Check.Sample(
        Gen.Select(Gen.Double[-100, 100], Gen.Double[0.01, 20], Gen.Int[2, 500], Gen.Double[-100, 0], Gen.Double[0.01, 100]),
        (mean, deviation, count, lower, width) =>
        {
            var indices = Capability.Of(mean, deviation, count, lower, lower + width);
            var mirrored = Capability.Of(-mean, deviation, count, -lower - width, -lower);
            Assert.Equal(indices.Cpu!.Value, mirrored.Cpl!.Value, 1e-9);
            Assert.Equal(indices.Cpk, mirrored.Cpk, 1e-9);
            Assert.True(indices.CpkLower < indices.Cpk && indices.Cpk < indices.CpkUpper && indices.Cpk <= indices.Cp + 1e-9);
        },
        iter: 2000);

    [Theory]
    [InlineData(double.NaN, 1, 30, 0.0, 1.0, "mean")]
    [InlineData(0, 0, 30, 0.0, 1.0, "deviation")]
    [InlineData(0, -1, 30, 0.0, 1.0, "deviation")]
    [InlineData(0, double.NaN, 30, 0.0, 1.0, "deviation")]
    [InlineData(0, 1, 1, 0.0, 1.0, "count")]
    [InlineData(0, 1, 30, null, null, "upper")]
    [InlineData(0, 1, 30, 1.0, 1.0, "upper")]
    [InlineData(0, 1, 30, 2.0, 1.0, "upper")]
    [InlineData(0, 1, 30, double.NaN, 1.0, "lower")]
    [InlineData(0, 1, 30, 0.0, double.PositiveInfinity, "upper")]
    [InlineData(0, 1e-300, 30, null, 1e300, "deviation")]
    public void Nonsense_is_refused_by_name(double mean, double deviation, int count, double? lower, double? upper, string name) =>
        Assert.Equal(
            name, Assert.Throws<ArgumentOutOfRangeException>(() => Capability.Of(mean, deviation, count, lower, upper)).ParamName);
}
