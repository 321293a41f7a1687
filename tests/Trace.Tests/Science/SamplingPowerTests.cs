using CsCheck;
using Trace.Core.Science;
using Xunit;

namespace Trace.Tests.Science;

public sealed class SamplingPowerTests
{
    [Theory]
    [CheckValue(Mark.Recomputed, typeof(SamplingPower), "binomial coefficients as whole numbers, in Python; no published case with c above 0 was found")]
    [InlineData(20, 2, 5, 0, .552632)]
    [InlineData(20, 4, 8, 0, .102167)]
    [InlineData(20, 4, 8, 1, .465428)]
    [InlineData(20, 4, 8, 2, .846852)]
    public void A_small_lot_is_sampled_without_replacement(int lot, int bad, int n, int c, double passes) =>
        Assert.Equal(passes, SamplingPower.PassesFromLot(lot, bad, n, c), 1e-6);

    [Theory]
    [CheckValue(Mark.Recomputed, typeof(SamplingPower), "ln(1 − confidence)/ln(1 − share), in Python")]
    [InlineData(.05, 59, 90)]
    [InlineData(.10, 29, 44)]
    [InlineData(.20, 14, 21)]
    [InlineData(.25, 11, 17)]
    [InlineData(.30, 9, 13)]
    [InlineData(.50, 5, 7)]
    public void So_many_units_find_one(double share, int at95, int at99)
    {
        Assert.Equal(at95, SamplingPower.UnitsToFindOne(share, 0.95));
        Assert.Equal(at99, SamplingPower.UnitsToFindOne(share, 0.99));
    }

    [Theory]
    [CheckValue(Mark.Recomputed, typeof(SamplingPower), "Clopper–Pearson by halving the binomial sum, in Python; for clean results 1 − 0.05^(1/n)")]
    [InlineData(3, 0, .63)]
    [InlineData(5, 0, .45)]
    [InlineData(10, 0, .26)]
    [InlineData(20, 0, .14)]
    [InlineData(10, 1, .39)]
    public void A_clean_result_leaves_so_much_possible(int n, int bad, double share) =>
        Assert.Equal(share, SamplingPower.UpperBound(n, bad, 0.95), 6e-3);

    [Fact]
    [CheckValue(Mark.Published, typeof(SamplingPower), "a statistics package's manual, N 5000, n 52, c 2 (read in a copy): Pa(.015) .957, AOQ 1.420 %, ATI 266.2")]
    public void What_leaves_and_what_is_inspected_on_average()
    {
        var passes = AcceptanceSampling.TwoClassProbability(52, 2, 0.015);
        Assert.Equal(.957, passes, 5e-4);
        Assert.Equal(0.01420, SamplingPower.AverageOutgoing(passes, 0.015, 5000, 52), 5e-6);
        Assert.Equal(266.2, SamplingPower.AverageInspected(passes, 5000, 52), 0.06);
    }

    [Theory]
    [CheckValue(Mark.Recomputed, typeof(SamplingPower), "normal distribution of log counts, m 10, M 300, sigma 0.8, n 5, c 2")]
    [InlineData(0.5, 0.855)]
    [InlineData(1.0, 0.451)]
    [InlineData(1.5, 0.090)]
    public void Log_normal_counts_pass_a_three_class_plan(double meanLog, double passes) =>
        Assert.Equal(passes, SamplingPower.PassesLogNormal(new(5, 2, 10, 300, LimitComparison.Above), meanLog, 0.8), 6e-4);

    [Theory]
    [CheckValue(Mark.FromMemory, typeof(Normal), "tables of the normal distribution: 1.645, 1.96, 3, and 6 sigma")]
    [InlineData(0, 0.5, 1e-15)]
    [InlineData(1.644853627, 0.05, 1e-10)]
    [InlineData(1.959963985, 0.025, 1e-10)]
    [InlineData(3, 1.349898e-3, 1e-9)]
    [InlineData(6, 9.865876e-10, 1e-15)]
    [InlineData(-1.644853627, 0.95, 1e-10)]
    public void The_tail_of_the_normal_distribution_is_met(double z, double above, double tolerance) => Assert.Equal(above, Normal.Above(z), tolerance);

    [Fact]
    public void A_worse_lot_never_passes_more_often() => Gen.Select(Gen.Int[2, 200], Gen.Int[1, 20], Gen.Int[0, 3]).Sample((lot, wanted, allowed) =>
    {
        var (n, last) = (Math.Min(wanted, lot), 1.0);
        for (var bad = 0; bad <= lot; bad++)
        {
            var passes = SamplingPower.PassesFromLot(lot, bad, n, Math.Min(allowed, n));
            Assert.True(passes <= last + 1e-12 && passes >= 0);
            last = passes;
        }
    }, iter: 100);

    [Fact]
    public void What_is_no_plan_is_refused_by_name()
    {
        Assert.Throws<ArgumentOutOfRangeException>("bad", () => SamplingPower.PassesFromLot(10, 11, 5, 0));
        Assert.Throws<ArgumentOutOfRangeException>("n", () => SamplingPower.PassesFromLot(10, 2, 11, 0));
        Assert.Throws<ArgumentOutOfRangeException>("c", () => SamplingPower.PassesFromLot(10, 2, 5, 6));
        Assert.Throws<ArgumentOutOfRangeException>("badShare", () => SamplingPower.UnitsToFindOne(0, 0.95));
        Assert.Throws<ArgumentOutOfRangeException>("plan", () => SamplingPower.PassesLogNormal(new(5, 0, 0, 0, LimitComparison.Above), 1, 0.8));
        Assert.Equal(1, SamplingPower.UpperBound(4, 4, 0.95));
        Assert.Equal(1, SamplingPower.PassesFromLot(1_000_000, 0, 500, 0), 1e-9);
    }
}
