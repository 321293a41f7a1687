using Trace.Core.Holds;
using Trace.Core.Specifications;
using Trace.Core.Steps.Packing;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Holds;

/// <summary>The rule of net quantity, on packs of 40 g: tolerable error 3.6 g, T1 36.4 g, T2 32.8 g.</summary>
public sealed class NetQuantityRuleTests
{
    private const string Rule = "packing.net-quantity";

    [Theory]
    [InlineData(32_800, false)]
    [InlineData(32_799, true)]
    public void A_pack_below_T2_holds(long least, bool isHeld)
    {
        // Few packs may be below T1: of 40, one.
        var facts = Weighed(40, [least, .. Enumerable.Repeat(41_000L, 39)]);
        Assert.Equal(isHeld, facts.One(Rule, "P").Holds);
    }

    [Theory]
    [InlineData(39_951, Outcome.Pass)]
    [InlineData(39_950, Outcome.Hold)]
    public void A_mean_short_beyond_the_balance_holds(long each, Outcome wanted)
    {
        var verdict = Weighed(3, [each, each, each]).One(Rule, "P");
        Assert.Equal(wanted, verdict.Outcome);
        Assert.Equal((each / 1000.0, 40, 0.03), (verdict.Value!.Value, verdict.Limit!.Value, verdict.Uncertainty!.Value));
    }

    [Theory]
    [InlineData(1, false)]
    [InlineData(2, true)]
    public void Too_many_below_T1_hold(int light, bool isHeld) => Assert.Equal(
        isHeld, Weighed(40, [.. Enumerable.Repeat(36_399L, light), .. Enumerable.Repeat(41_000L, 40 - light)]).One(Rule, "P").Holds);

    [Fact]
    public void A_balance_too_coarse_decides_nothing_and_holds()
    {
        var facts = Weighed(2, [41_000, 41_000], made => made with { NetQuantity = new(BalanceUncertaintyGrams: 0.4) });
        Assert.Equal(Outcome.Undetermined, facts.One(Rule, "P").Outcome);
    }

    [Fact]
    public void More_packs_than_the_lot_has_decide_nothing_and_hold() =>
        Assert.Equal(Outcome.Undetermined, Weighed(2, [41_000, 41_000, 41_000]).One(Rule, "P").Outcome);

    [Fact]
    public void Packs_outside_the_rules_decide_nothing_and_hold()
    {
        var facts = new Facts().Dried().Core(22).Packed(packs: 2, netGrams: 4).Add(Packs(4_100), 51);
        Assert.Equal(Outcome.Undetermined, facts.One(Rule, "P").Outcome);
    }

    [Fact]
    public void What_is_weighed_after_the_passage_does_not_count_for_it()
    {
        var facts = Weighed(3, [41_000]).Add(Packs(20_000), 58);
        Assert.False(facts.One(Rule, "P", asOfMinutes: 57).Holds);
        Assert.True(facts.One(Rule, "P", asOfMinutes: 58).Holds);
    }

    [Fact]
    public void Without_weighings_it_says_nothing_unless_the_specification_wants_them()
    {
        Assert.Empty(new Facts().Dried().Core(22).Packed().Judge(Rule, "P"));
        var asked = new Facts(made => made with { NetQuantity = new(WeighingsWanted: true) }).Dried().Core(22).Packed();
        Assert.Equal(Outcome.Undetermined, asked.One(Rule, "P").Outcome);
        Assert.Empty(asked.Judge(Rule, "D"));
    }

    private static Facts Weighed(int packs, long[] net, Func<ProductSpecification, ProductSpecification>? change = null) =>
        new Facts(change).Dried().Core(22).Packed(packs).Add(Packs(net), 51);

    private static PacksWeighed Packs(params long[] net) => new("P", net, null, null, null, null, null, null);
}
