using CsCheck;
using Trace.Core.Science.NetQuantity;
using Xunit;

namespace Trace.Tests.Science.NetQuantity;

/// <summary>Tare, target fill and give-away.</summary>
public class FillTests
{
    private static readonly long[] Pouches = Packs.Of(6.1m, 6.2m, 6.0m, 6.3m, 6.2m, 6.1m, 6.2m, 6.1m, 6.2m, 6.1m);

    [Fact]
    [CheckValue(Mark.CommonPractice, typeof(PouchTare), "mean of ten empty pouches or more, by hand")]
    public void The_tare_is_the_mean_rounded_up()
    {
        Assert.Equal(new PouchTareFigures(10, 6_150, 300, false), PouchTare.Of(Pouches, 80_000));
        Assert.Equal(6_151, PouchTare.Of([.. Pouches[..9], 6_101], 80_000).MeanMilligrams);
    }

    // TNE of 80 g is 4.5 g: the pouches may differ by 0.45 g.
    [Theory]
    [InlineData(6_450, false)]
    [InlineData(6_451, true)]
    [CheckValue(Mark.CommonPractice, typeof(PouchTare), "a tare of each pouch where they differ by more than TNE/10")]
    public void Pouches_that_differ_too_much_need_tares_of_their_own(long heaviest, bool own) =>
        Assert.Equal(own, PouchTare.Of([heaviest, .. Enumerable.Repeat(6_000L, 9)], 80_000).NeedsOwnTares);

    [Fact]
    public void Nine_pouches_are_too_few() => Assert.Throws<ArgumentOutOfRangeException>(() => PouchTare.Of(Pouches[1..], 80_000));

    [Theory]
    [InlineData(80, 1.2, 60, 0.03, 80.3)]
    [InlineData(80, 3.0, 60, 0.03, 82.2)]
    [InlineData(25, 1.0, 200, 0.03, 25.2)]
    [InlineData(80, 0.0, 1, 0.0, 80.0)]
    [InlineData(80, 2.5, 10000, 0.0, 80.5)]
    [CheckValue(Mark.Recomputed, typeof(TargetFill), "the formula by hand, rounded up to 0.1 g; the formula is common practice, no source")]
    public void The_target_is_the_largest_of_what_the_rules_ask(int grams, double spread, int packs, double uncertainty, double wanted) =>
        Assert.Equal((decimal)wanted, TargetFill.Grams(grams * 1000L, spread, packs, uncertainty));

    [Fact]
    public void A_wider_spread_or_a_coarser_balance_never_asks_for_less() => Gen.Select(
        Gen.Long[5_000, 1_000_000], Gen.Double[0, 0.4], Gen.Int[1, 1_000], Gen.Double[0, 1], Gen.Double[1, 2]).Sample(
        (nominal, share, packs, uncertainty, more) =>
        {
            var spread = share * nominal / 1000;
            var target = TargetFill.Grams(nominal, spread, packs, uncertainty);
            return target >= nominal / 1000m - 0.0001m && TargetFill.Grams(nominal, spread * more, packs, uncertainty * more) >= target;
        });

    [Fact]
    [CheckValue(Mark.Recomputed, typeof(GiveAway), "three packs of 80 g that hold 81, 82 and 80.5 g, by hand: 3.5 g; 1.17 g a pack; at 24 a kilogram 0.084")]
    public void What_is_given_away_is_told_in_grams_and_money()
    {
        var sample = PackSample.Of([81_000, 82_000, 80_500]);
        var weighed = GiveAway.Of(80_000, sample, 3, 24m);
        Assert.Equal(3_500, weighed.Milligrams);
        Assert.Equal(3.5 / 3, weighed.PerPackGrams, 1e-12);
        Assert.Equal(0.084m, weighed.Cost);
        Assert.Equal(35_000, GiveAway.Of(80_000, sample, 30, null).Milligrams);
        Assert.Null(GiveAway.Of(80_000, sample, 30, null).Cost);
    }

    [Fact]
    public void A_short_lot_gives_away_less_than_nothing()
    {
        var given = GiveAway.Of(80_000, PackSample.Of([79_000, 79_500]), 2, 10m);
        Assert.Equal(-1_500, given.Milligrams);
        Assert.Equal(-0.015m, given.Cost);
    }

    [Fact]
    public void What_lies_beside_the_range_is_refused_by_name()
    {
        void Refused(string name, Action action) => Assert.Equal(name, Assert.Throws<ArgumentOutOfRangeException>(action).ParamName);
        Refused("standardDeviationGrams", () => TargetFill.Grams(80_000, double.NaN, 10, 0));
        Refused("standardDeviationGrams", () => TargetFill.Grams(80_000, 80.1, 10, 0));
        Refused("standardDeviationGrams", () => TargetFill.Grams(80_000, -0.1, 10, 0));
        Refused("lotPacks", () => TargetFill.Grams(80_000, 1, 0, 0));
        Refused("balanceUncertaintyGrams", () => TargetFill.Grams(80_000, 1, 10, double.NaN));
        Refused("nominalMilligrams", () => TargetFill.Grams(1, 0, 10, 0));
        Refused("pricePerKilogram", () => GiveAway.Of(80_000, PackSample.Of([80_000]), 1, -1m));
        Refused("packs", () => GiveAway.Of(80_000, PackSample.Of([80_000]), 0, 1m));
        Refused("emptyMilligrams", () => PouchTare.Of([0, .. Pouches], 80_000));
    }
}
