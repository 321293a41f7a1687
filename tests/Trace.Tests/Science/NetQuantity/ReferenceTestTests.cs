using CsCheck;
using Trace.Core.Science.NetQuantity;
using Xunit;

namespace Trace.Tests.Science.NetQuantity;

public class ReferenceTestTests
{
    private const long Nominal = 100_000;

    [Fact]
    [CheckValue(Mark.Recomputed, typeof(ReferenceTest), "Directive 76/211/EEC, Annex II: batch of 300, 30 packs, computed in another language")]
    public void The_worked_set_is_accepted_and_rejected_when_it_is_lighter()
    {
        var accepted = ReferenceTest.Judge(Nominal, 300, Packs.Thirty, ReferencePlan.Double);
        Assert.Equal(ReferenceOutcome.Accepted, accepted.Outcome);
        Assert.Equal(99.990, accepted.MeanGrams!.Value, 5e-4);
        Assert.Equal(1.3669, PackSample.Of(Packs.Thirty).StandardDeviationGrams!.Value, 5e-5);
        Assert.Equal(99.312, accepted.LeastMeanGrams!.Value, 6e-4);
        Assert.Equal((0, 0), (accepted.Defectives, accepted.BelowT2));

        var rejected = ReferenceTest.Judge(Nominal, 300, Packs.Moved(Packs.Thirty, -1_200), ReferencePlan.Double);
        Assert.Equal(ReferenceOutcome.Rejected, rejected.Outcome);
        Assert.Equal(98.790, rejected.MeanGrams!.Value, 5e-4);
        Assert.False(rejected.MeanPasses);
    }

    [Theory]
    [InlineData(30, 0.503)]
    [InlineData(50, 0.379)]
    [InlineData(20, 0.640)]
    [CheckValue(Mark.Published, typeof(ReferenceTest), "Directive 76/211/EEC, Annex II, factors of the mean check, read in SI 2006/659, Schedule 2")]
    [CheckValue(Mark.Published, typeof(StudentT), "Directive 76/211/EEC, Annex II: the printed factors are t(0.995; n-1)/√n")]
    public void The_printed_factors_are_those_of_Students_t(int count, double printed)
    {
        Assert.Equal(printed, ReferenceTest.MeanPlans.First(plan => plan.Count == count).PrintedFactor);
        Assert.Equal(printed, StudentT.Factor(0.995, count), 5e-4);
    }

    [Theory]
    [InlineData(100, 50, 3)]
    [InlineData(500, 50, 3)]
    [InlineData(501, 80, 5)]
    [InlineData(3_200, 80, 5)]
    [InlineData(3_201, 125, 7)]
    [InlineData(10_000, 125, 7)]
    [CheckValue(Mark.Published, typeof(ReferenceTest), "Directive 76/211/EEC, Annex II, single plan, read in SI 2006/659, Schedule 2")]
    public void The_single_plan_takes_so_many_and_no_more(int batch, int count, int allowed)
    {
        // Light packs by 5 g each and the others heavy, so that the mean does not decide.
        ReferenceVerdict Judge(int light, int packs) => ReferenceTest.Judge(
            Nominal, batch, [.. Enumerable.Repeat(95_000L, light), .. Enumerable.Repeat(104_000L, packs - light)], ReferencePlan.Single);
        Assert.Equal(ReferenceOutcome.Accepted, Judge(allowed, count).Outcome);
        Assert.Equal(ReferenceOutcome.Rejected, Judge(allowed + 1, count).Outcome);
        Assert.Equal((ReferenceOutcome.Incomplete, 1), (Judge(0, count - 1).Outcome, Judge(0, count - 1).Missing));
        Assert.Throws<ArgumentOutOfRangeException>(() => Judge(0, count + 1));
    }

    [Theory]
    [InlineData(1, 30, ReferenceOutcome.Accepted, 0)]
    [InlineData(2, 30, ReferenceOutcome.Incomplete, 30)]
    [InlineData(3, 30, ReferenceOutcome.Rejected, 0)]
    [InlineData(2, 60, ReferenceOutcome.Accepted, 0)]
    [CheckValue(Mark.FromMemory, typeof(ReferenceTest), "Directive 76/211/EEC, Annex II, double plan")]
    public void The_double_plan_asks_for_a_second_sample_when_the_first_does_not_decide(int light, int packs, ReferenceOutcome wanted, int missing)
    {
        var verdict = ReferenceTest.Judge(
            Nominal, 300, [.. Enumerable.Repeat(95_000L, light), .. Enumerable.Repeat(104_000L, packs - light)], ReferencePlan.Double);
        Assert.Equal((wanted, missing), (verdict.Outcome, verdict.Missing));
    }

    [Fact]
    public void Both_samples_of_the_double_plan_count_together()
    {
        long[] first = [95_000, 95_000, .. Enumerable.Repeat(104_000L, 28)];
        Assert.Equal(ReferenceOutcome.Accepted, ReferenceTest.Judge(Nominal, 300, [.. first, .. first], ReferencePlan.Double).Outcome);
        long[] worse = [95_000, 95_000, 95_000, .. Enumerable.Repeat(104_000L, 27)];
        Assert.Equal(ReferenceOutcome.Rejected, ReferenceTest.Judge(Nominal, 300, [.. first, .. worse], ReferencePlan.Double).Outcome);
    }

    [Theory]
    [InlineData(1, ReferenceOutcome.Accepted)]
    [InlineData(2, ReferenceOutcome.Rejected)]
    [CheckValue(Mark.Published, typeof(ReferenceTest), "Directive 76/211/EEC, Annex II, destructive plan, read in SI 2006/659, Schedule 2")]
    public void Opened_packs_are_twenty_with_one_defective(int light, ReferenceOutcome wanted) => Assert.Equal(wanted, ReferenceTest.Judge(
        Nominal, 5_000, [.. Enumerable.Repeat(95_000L, light), .. Enumerable.Repeat(106_000L, 20 - light)], ReferencePlan.Destructive).Outcome);

    [Theory]
    [InlineData(99, 4, ReferenceOutcome.Accepted)]
    [InlineData(99, 5, ReferenceOutcome.Rejected)]
    [InlineData(20, 1, ReferenceOutcome.Accepted)]
    [InlineData(19, 1, ReferenceOutcome.Rejected)]
    [CheckValue(Mark.Published, typeof(ReferenceTest), "SI 2006/659, Schedule 2: a batch below 100 is weighed whole, at most 5 % defective, read")]
    public void A_small_batch_is_weighed_whole(int batch, int light, ReferenceOutcome wanted)
    {
        long[] packs = [.. Enumerable.Repeat(95_000L, light), .. Enumerable.Repeat(106_000L, batch - light)];
        Assert.Equal(wanted, ReferenceTest.Judge(Nominal, batch, packs, ReferencePlan.Single).Outcome);
        Assert.Equal(ReferenceOutcome.Incomplete, ReferenceTest.Judge(Nominal, batch, packs[1..], ReferencePlan.Single).Outcome);
    }

    [Fact]
    public void The_mean_of_a_small_batch_may_not_be_a_milligram_short()
    {
        long[] packs = [.. Enumerable.Repeat(100_000L, 10)];
        Assert.Equal(ReferenceOutcome.Accepted, ReferenceTest.Judge(Nominal, 10, packs, ReferencePlan.Single).Outcome);
        packs[3]--;
        Assert.Equal(ReferenceOutcome.Rejected, ReferenceTest.Judge(Nominal, 10, packs, ReferencePlan.Single).Outcome);
    }

    [Fact]
    public void More_in_each_pack_never_turns_an_acceptance_into_a_rejection() => Gen.Select(
        Packs.About100(60, 60), Gen.Long[0, 5_000], Gen.Int[0, 2], Gen.Int[60, 900]).Sample((packs, more, plan, batch) =>
        {
            var chosen = (ReferencePlan)plan;
            var count = batch < 100 ? Math.Min(batch, 60) : chosen == ReferencePlan.Destructive ? 20 : chosen == ReferencePlan.Single && batch <= 500 ? 50 : 60;
            var drawn = packs[..count];
            var before = ReferenceTest.Judge(Nominal, batch, drawn, chosen);
            var after = ReferenceTest.Judge(Nominal, batch, Packs.Moved(drawn, more), chosen);
            Assert.True(before.MeanGrams is null || double.IsFinite(before.MeanGrams.Value));
            return before.Outcome != ReferenceOutcome.Accepted || after.Outcome == ReferenceOutcome.Accepted;
        });

    [Theory]
    [InlineData(0, "batch")]
    [InlineData(10_001, "batch")]
    public void A_batch_beside_the_range_is_refused_by_name(int batch, string name) => Assert.Equal(
        name, Assert.Throws<ArgumentOutOfRangeException>(() => ReferenceTest.Judge(Nominal, batch, [], ReferencePlan.Single)).ParamName);

    [Fact]
    public void An_unknown_plan_is_refused_by_name() => Assert.Equal(
        "plan", Assert.Throws<ArgumentOutOfRangeException>(() => ReferenceTest.Judge(Nominal, 300, [], (ReferencePlan)7)).ParamName);
}
