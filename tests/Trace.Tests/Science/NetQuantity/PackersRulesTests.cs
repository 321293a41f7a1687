using CsCheck;
using Trace.Core.Science.NetQuantity;
using Xunit;

namespace Trace.Tests.Science.NetQuantity;

public class PackersRulesTests
{
    private const long Nominal = 80_000;

    // Tolerable negative error of 80 g: 4.5 g, so T1 is 75.5 g and T2 71 g.
    [Theory]
    [InlineData(75_500, 0, 0)]
    [InlineData(75_499, 1, 0)]
    [InlineData(71_000, 1, 0)]
    [InlineData(70_999, 1, 1)]
    [CheckValue(Mark.Recomputed, typeof(PackersRules), "Directive 76/211/EEC, Annex I: T1 and T2 of 80 g, by hand")]
    public void A_pack_is_below_a_limit_only_when_it_is_less(long pack, int belowT1, int belowT2)
    {
        var verdict = PackersRules.Judge(Nominal, [pack, .. Enumerable.Repeat(82_000L, 59)], 0.025, 0.03);
        Assert.Equal((75_500, 71_000), (verdict.T1Milligrams, verdict.T2Milligrams));
        Assert.Equal((belowT1, belowT2), (verdict.BelowT1, verdict.BelowT2));
        Assert.Equal(belowT2 > 0, verdict.IsBroken);
    }

    [Theory]
    [InlineData(39, 1, true)]
    [InlineData(40, 1, false)]
    [InlineData(79, 2, true)]
    [InlineData(80, 2, false)]
    [CheckValue(Mark.FromMemory, typeof(PackersRules), "packers' guidance to the average system: at most 2.5 % below T1")]
    public void Few_packs_may_be_below_T1(int packs, int below, bool isBroken)
    {
        var verdict = PackersRules.Judge(Nominal, [.. Enumerable.Repeat(75_000L, below), .. Enumerable.Repeat(82_000L, packs - below)], 0.025, 0.03);
        Assert.Equal(isBroken, verdict.TooManyBelowT1);
        Assert.Equal(isBroken, verdict.IsBroken);
    }

    // 1.645 · 0.03 g = 0.04935 g may be the balance's.
    [Theory]
    [InlineData(80_000, MeanOutcome.Met)]
    [InlineData(79_999, MeanOutcome.WithinUncertainty)]
    [InlineData(79_951, MeanOutcome.WithinUncertainty)]
    [InlineData(79_950, MeanOutcome.Short)]
    public void The_mean_is_short_beyond_what_the_balance_explains(long each, MeanOutcome wanted)
    {
        var verdict = PackersRules.Judge(Nominal, [.. Enumerable.Repeat(each, 10)], 0.025, 0.03);
        Assert.Equal(wanted, verdict.Mean);
        Assert.Equal(wanted == MeanOutcome.Short, verdict.IsBroken);
    }

    [Fact]
    public void Nothing_is_explained_by_a_balance_without_uncertainty() =>
        Assert.Equal(MeanOutcome.Short, PackersRules.Judge(Nominal, [79_999], 0.025, 0).Mean);

    // TNE ÷ 5 = 0.9 g: twice the standard uncertainty may be that much.
    [Theory]
    [InlineData(0.45, true)]
    [InlineData(0.451, false)]
    [CheckValue(Mark.Published, typeof(PackersRules), "Directive 76/211/EEC, Annex II: measuring error at most a fifth of the tolerable error, read in a public copy")]
    public void A_balance_that_is_too_coarse_decides_nothing(double uncertainty, bool serves)
    {
        var verdict = PackersRules.Judge(Nominal, [82_000], 0.025, uncertainty);
        Assert.Equal(serves, verdict.BalanceServes);
        Assert.Equal(serves, verdict.IsMet);
        Assert.False(verdict.IsBroken);
    }

    [Fact]
    public void The_worked_set_misses_the_mean_that_an_inspector_lets_pass()
    {
        // Mean 99.99 g: the reference test accepts it, the packer's first rule does not, unless the balance explains 0.01 g.
        Assert.Equal(MeanOutcome.Short, PackersRules.Judge(100_000, Packs.Thirty, 0.025, 0).Mean);
        Assert.Equal(MeanOutcome.WithinUncertainty, PackersRules.Judge(100_000, Packs.Thirty, 0.025, 0.03).Mean);
    }

    [Fact]
    public void More_in_each_pack_never_turns_a_pass_into_a_fail() =>
        Gen.Select(Packs.About100(1, 60), Gen.Long[0, 5_000], Gen.Double[0, 0.2]).Sample((packs, more, uncertainty) =>
        {
            var before = PackersRules.Judge(100_000, packs, 0.025, uncertainty);
            var after = PackersRules.Judge(100_000, Packs.Moved(packs, more), 0.025, uncertainty);
            return (!after.IsBroken || before.IsBroken) && after.BelowT1 <= before.BelowT1 && after.Mean <= before.Mean;
        });

    [Fact]
    public void The_spread_does_not_change_by_a_bit_when_all_packs_get_heavier() =>
        Gen.Select(Packs.About100(2, 60), Gen.Long[1, 9_000_000]).Sample((packs, more) =>
        {
            var (before, after) = (PackSample.Of(packs), PackSample.Of(Packs.Moved(packs, more)));
            return before.StandardDeviationGrams == after.StandardDeviationGrams && double.IsFinite(before.StandardDeviationGrams!.Value);
        });

    [Fact]
    public void What_lies_beside_the_range_is_refused_by_name()
    {
        void Refused(string name, Action action) => Assert.Equal(name, Assert.Throws<ArgumentOutOfRangeException>(action).ParamName);
        Refused("netMilligrams", () => PackersRules.Judge(Nominal, [], 0.025, 0));
        Refused("netMilligrams", () => PackersRules.Judge(Nominal, [-1], 0.025, 0));
        Refused("netMilligrams", () => PackersRules.Judge(Nominal, [20_000_001], 0.025, 0));
        Refused("netMilligrams", () => PackersRules.Judge(Nominal, new long[100_001], 0.025, 0));
        Refused("nominalMilligrams", () => PackersRules.Judge(4_999, [5_000], 0.025, 0));
        Refused("largestShareBelowT1", () => PackersRules.Judge(Nominal, [82_000], 0.051, 0));
        Refused("largestShareBelowT1", () => PackersRules.Judge(Nominal, [82_000], double.NaN, 0));
        Refused("balanceUncertaintyGrams", () => PackersRules.Judge(Nominal, [82_000], 0.025, -0.1));
        Refused("balanceUncertaintyGrams", () => PackersRules.Judge(Nominal, [82_000], 0.025, double.PositiveInfinity));
    }

    [Fact]
    public void One_pack_has_no_spread() => Assert.Null(PackSample.Of([82_000]).StandardDeviationGrams);
}
