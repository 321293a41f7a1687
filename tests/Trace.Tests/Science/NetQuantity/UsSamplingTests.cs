using CsCheck;
using Trace.Core.Science.NetQuantity;
using Xunit;

namespace Trace.Tests.Science.NetQuantity;

public class UsSamplingTests
{
    private static readonly long[] Good = Packs.Of(101.2m, 99.4m, 100.8m, 98.9m, 102.1m, 100.3m, 99.7m, 97.6m, 100.9m, 101.5m, 99.1m, 98.2m);
    private static readonly long[] Light = Packs.Of(99.2m, 98.8m, 100.1m, 98.5m, 99.6m, 97.9m, 99.0m, 98.7m, 99.9m, 98.4m, 99.3m, 98.1m);

    [Fact]
    [CheckValue(Mark.Recomputed, typeof(UsSampling), "NIST Handbook 133, category A, 12 packs of 100 g from a lot of 200; plan from memory")]
    public void The_worked_sets_pass_and_fail_on_average()
    {
        var good = UsSampling.Judge(100_000, 200, Good);
        Assert.True(good.Passes);
        Assert.Equal(-0.025, good.MeanErrorGrams, 5e-4);
        Assert.Equal(1.385, good.StandardDeviationGrams!.Value, 6e-4);
        Assert.Equal(0.880, good.LimitGrams!.Value, 6e-4);
        Assert.Equal(7.2, good.VariationGrams);

        var light = UsSampling.Judge(100_000, 200, Light);
        Assert.False(light.AveragePasses);
        Assert.True(light.SinglePasses);
        Assert.Equal(-1.042, light.MeanErrorGrams, 5e-4);
        Assert.Equal(0.691, light.StandardDeviationGrams!.Value, 6e-4);
        Assert.Equal(0.439, light.LimitGrams!.Value, 6e-4);
    }

    [Fact]
    [CheckValue(Mark.FromMemory, typeof(UsSampling), "NIST Handbook 133, Table 2-1: sample correction factors; they are t(0.975; n-1)/√n to 0.0015")]
    public void The_printed_factors_are_those_of_Students_t() => Assert.All(
        UsSampling.Plans.Where(plan => plan.PrintedFactor is not null),
        plan => Assert.Equal(plan.PrintedFactor!.Value, StudentT.Factor(0.975, plan.Count), 1.5e-3));

    [Fact]
    public void Every_lot_has_one_plan()
    {
        Assert.Equal(1, UsSampling.Plans[0].From);
        Assert.All(UsSampling.Plans.Zip(UsSampling.Plans.Skip(1)), pair => Assert.Equal(pair.First.To + 1, pair.Second.From));
        Assert.Equal([1, 7, 11, 12, 12, 24, 24, 48], new[] { 1, 7, 11, 12, 250, 251, 3_200, 3_201 }.Select(lot => UsSampling.PlanFor(lot).Count));
    }

    [Theory]
    [InlineData(113, 7.2)]
    [CheckValue(Mark.Published, typeof(UsSampling), "NIST's answers to questions on Handbook 133: 113 g, 7.2 g, read in a summary")]
    public void The_variation_that_was_read_is_met(int grams, double wanted) => Assert.Equal(wanted, UsSampling.VariationGrams(grams * 1000L));

    [Theory]
    [InlineData(20, 2.0)]
    [InlineData(36, 3.6)]
    [InlineData(54, 3.6)]
    [InlineData(55, 5.4)]
    [InlineData(117, 7.2)]
    [InlineData(250, 12.7)]
    [InlineData(454, 19.9)]
    [InlineData(1_120, 35.3)]
    [CheckValue(Mark.FromMemory, typeof(UsSampling), "NIST Handbook 133, Table 2-5; at a bound the smaller one")]
    public void The_variations_are_those_of_the_table(int grams, double wanted)
    {
        Assert.Equal(wanted, UsSampling.VariationGrams(grams * 1000L));
        Assert.Equal(wanted / 6, UsSampling.LargestDivisionGrams(grams * 1000L), 1e-12);
    }

    [Fact]
    public void A_pack_may_be_short_by_the_variation_and_not_more()
    {
        // 100 g: 7.2 g. The other packs are heavy, so that the mean does not decide.
        long[] packs = [92_800, .. Enumerable.Repeat(102_000L, 11)];
        Assert.True(UsSampling.Judge(100_000, 200, packs).Passes);
        packs[0]--;
        Assert.False(UsSampling.Judge(100_000, 200, packs).SinglePasses);
    }

    [Theory]
    [InlineData(1, true)]
    [InlineData(2, false)]
    public void One_of_forty_eight_may_be_short_by_more(int light, bool passes) => Assert.Equal(passes, UsSampling.Judge(
        100_000, 4_000, [.. Enumerable.Repeat(90_000L, light), .. Enumerable.Repeat(102_000L, 48 - light)]).Passes);

    [Fact]
    public void A_single_pack_may_not_be_short()
    {
        Assert.True(UsSampling.Judge(100_000, 1, [100_000]).Passes);
        Assert.False(UsSampling.Judge(100_000, 1, [99_999]).Passes);
    }

    [Fact]
    public void More_in_each_pack_never_turns_a_pass_into_a_fail() =>
        Gen.Select(Packs.About100(12, 12), Gen.Long[0, 5_000]).Sample((packs, more) =>
        {
            var (before, after) = (UsSampling.Judge(100_000, 200, packs), UsSampling.Judge(100_000, 200, Packs.Moved(packs, more)));
            return (!before.Passes || after.Passes) && double.IsFinite(after.MeanErrorGrams) && double.IsFinite(after.LimitGrams!.Value);
        });

    [Theory]
    [InlineData(999, 200, 12, "labelMilligrams")]
    [InlineData(1_120_001, 200, 12, "labelMilligrams")]
    [InlineData(100_000, 0, 12, "lot")]
    [InlineData(100_000, 100_001, 12, "lot")]
    [InlineData(100_000, 200, 11, "netMilligrams")]
    [InlineData(100_000, 200, 13, "netMilligrams")]
    public void What_lies_beside_the_range_is_refused_by_name(long label, int lot, int packs, string name) => Assert.Equal(
        name, Assert.Throws<ArgumentOutOfRangeException>(() => UsSampling.Judge(label, lot, [.. Enumerable.Repeat(1_000L, packs)])).ParamName);
}
