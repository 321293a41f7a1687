using Trace.Core.Specifications;
using Trace.Core.Holds;
using Trace.Tests.Support;
using Xunit;
using Outcome = Trace.Core.Holds.Outcome;

namespace Trace.Tests.Holds;

public sealed class DryingRulesTests
{
    [Theory]
    [InlineData(true, true, Outcome.Pass)]
    [InlineData(true, false, Outcome.Hold)]
    [InlineData(false, true, Outcome.Hold)]
    [InlineData(false, false, Outcome.Hold)]
    public void A_batch_passes_only_puffed_and_crumbling(bool puffed, bool crumbles, Outcome expected) =>
        Assert.Equal(expected, new Facts().Harvest().Sanitised().InDryer().Cycled().Out(80, puffed, crumbles).One("drying.indicators", "D").Outcome);

    [Fact]
    public void A_batch_in_the_dryer_is_undetermined_also_after_a_further_cycle()
    {
        var facts = new Facts().Harvest().Sanitised().InDryer().Cycled();
        Assert.Equal(Outcome.Undetermined, facts.One("drying.indicators", "D").Outcome);
        Assert.Equal(Outcome.Pass, facts.Out().One("drying.indicators", "D").Outcome);
        Assert.Equal(Outcome.Undetermined, facts.Cycled(atMinutes: 5).One("drying.indicators", "D").Outcome);
        Assert.Equal(Outcome.Hold, facts.Out(79, crumbles: false, atMinutes: 10).One("drying.indicators", "D").Outcome);
    }

    /// <summary>The band 25–35 %: common practice, no source. 250 g in: 62.5 g and 87.5 g are its ends.</summary>
    [Theory]
    [InlineData(62.499, false, true)]
    [InlineData(62.5, false, false)]
    [InlineData(87.5, false, false)]
    [InlineData(87.501, true, false)]
    [InlineData(112.5, true, false)]
    public void The_yield_band_includes_its_ends(double gramsOut, bool isHigh, bool isLow)
    {
        var facts = new Facts().Dried(gramsOut);
        Assert.Equal(isHigh, facts.One("drying.yield-high", "D").Holds);
        Assert.Equal(isLow, facts.One("drying.yield-low", "D").Holds);
    }

    /// <summary>45 %: common practice, no source, calls it wet; the dry-solids balance says 33 % water at M0 0.70 (recomputed: 1 − 0.30/0.45).</summary>
    [Fact]
    public void Forty_five_percent_yield_is_held_and_the_water_left_is_told()
    {
        var verdict = new Facts().Dried(112.5).One("drying.yield-high", "D");
        Assert.Equal(Outcome.Hold, verdict.Outcome);
        Assert.Equal(45, verdict.Value!.Value, 9);
        Assert.Equal(35, verdict.Limit);
        Assert.Contains("33 %", verdict.Finding);
        Assert.Equal("book value of the moisture in", verdict.WeakestInput);
    }

    /// <summary>
    /// Recomputed: measured M0 0.60, meter 0.005: at the very least 1 − 0.60 − 1.645·0.005 − 0.02 = 37.18 % of the mass must come out.
    /// </summary>
    [Theory]
    [InlineData(92.9, true)]
    [InlineData(93.0, false)]
    public void Less_out_than_dry_matter_in_is_impossible_even_inside_the_band(double gramsOut, bool isHeld)
    {
        var facts = new Facts(made => made with { Drying = made.Drying with { YieldHighPercent = 50 } })
            .Harvest().Sanitised().Checked("T", "moisture", -50, "0.60").InDryer().Cycled().Out(gramsOut);
        var verdict = facts.One("drying.yield-low", "D");
        Assert.Equal(isHeld, verdict.Holds);
        Assert.Equal("measured moisture in", verdict.WeakestInput);
        Assert.Equal(37.1775, verdict.Limit!.Value, 6);
    }

    /// <summary>More out than in, and nothing in: no yield from that may pass.</summary>
    [Theory]
    [InlineData(250, 300)]
    [InlineData(0, 80)]
    public void Contradictory_masses_hold(double gramsIn, double gramsOut) =>
        Assert.Contains(
            HoldRules.Judge(new Facts().Harvest().Sanitised().InDryer(gramsIn).Cycled().Out(gramsOut) is var facts ? facts.State : null!, facts.State.Find("D")!, Facts.Noon),
            judged => judged.Rule.Code == "drying.yield-high" && judged.Verdict.Holds);

    /// <summary>
    /// 2256.5 kJ/kg at 100 °C (steam tables, from memory): 900 W for 400 s boil away 159.5 g; 2 g is the tolerance.
    /// </summary>
    [Theory]
    [InlineData(250 - 161.5, Outcome.Pass)]
    [InlineData(250 - 161.6, Outcome.Hold)]
    public void Water_beyond_the_energy_holds(double gramsOut, Outcome expected)
    {
        var verdict = new Facts().Harvest().Sanitised().InDryer().Cycled(400).Out(gramsOut).One("drying.energy", "D");
        Assert.Equal(expected, verdict.Outcome);
        Assert.Equal(159.54, verdict.Limit!.Value, 2);
    }

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(0)]
    [InlineData(-900)]
    public void A_power_that_is_none_leaves_the_energy_undetermined(double watts) =>
        Assert.Equal(Outcome.Undetermined, new Facts().Harvest().Sanitised().InDryer(powerWatts: watts).Cycled().Out().One("drying.energy", "D").Outcome);

    [Fact]
    public void A_loss_without_any_cycle_on_record_holds() =>
        Assert.Equal(Outcome.Hold, new Facts().Harvest().Sanitised().InDryer().Out().One("drying.energy", "D").Outcome);

    [Fact]
    public void One_cycle_that_lost_too_much_holds_although_the_whole_batch_fits()
    {
        var facts = new Facts().Harvest().Sanitised().InDryer().Cycled(100, 150, -20).Cycled(600, 80, -5).Out();
        var verdicts = facts.Judge("drying.energy", "D");
        Assert.Equal(Outcome.Pass, verdicts[0].Outcome);
        Assert.Equal(Outcome.Hold, Assert.Single(verdicts[1..]).Outcome);
    }

    /// <summary>Guard band 1.645 u one-sided (JCGM 106:2012, from memory). 0.10 − 1.645·0.005 = 0.091775; 0.60 − 1.645·0.0115 = 0.5810825 (recomputed).</summary>
    [Theory]
    [InlineData("moisture", "0.091", Outcome.Pass)]
    [InlineData("moisture", "0.0917", Outcome.Pass)]
    [InlineData("moisture", "0.0918", Outcome.Hold)]
    [InlineData("moisture", "0.10", Outcome.Hold)]
    [InlineData("water-activity", "0.581", Outcome.Pass)]
    [InlineData("water-activity", "0.5811", Outcome.Hold)]
    [InlineData("water-activity", "0.60", Outcome.Hold)]
    public void A_measured_value_keeps_its_uncertainty_below_the_limit(string kind, string value, Outcome expected) =>
        Assert.Equal(expected, MeasuredPlant().Checked("D", kind, 10, value).One("drying.measured", "D").Outcome);

    [Theory]
    [InlineData("<0.05")]
    [InlineData(">0.01")]
    [InlineData("NaN")]
    [InlineData("8 %")]
    [InlineData("8")]
    [InlineData("-0.05")]
    [InlineData("")]
    public void A_measured_value_that_is_no_fraction_leaves_it_undetermined(string value) =>
        Assert.Equal(Outcome.Undetermined, MeasuredPlant().Checked("D", "moisture", 10, value).One("drying.measured", "D").Outcome);

    [Fact]
    public void Nothing_measured_leaves_it_undetermined_and_so_does_a_reading_before_the_last_weigh_out()
    {
        var facts = MeasuredPlant();
        Assert.Equal(Outcome.Undetermined, facts.One("drying.measured", "D").Outcome);
        facts.Checked("D", "moisture", 10, "0.06").Cycled(60, atMinutes: 20).Out(79, atMinutes: 25);
        Assert.Equal(Outcome.Undetermined, facts.One("drying.measured", "D").Outcome);
        Assert.Equal(Outcome.Pass, facts.Checked("D", "moisture", 30, "0.06").One("drying.measured", "D").Outcome);
    }

    [Fact]
    public void Both_kinds_must_pass_where_both_were_read()
    {
        var facts = MeasuredPlant().Checked("D", "moisture", 10, "0.05").Checked("D", "water-activity", 10, "0.70");
        Assert.Equal([Outcome.Pass, Outcome.Hold], facts.Judge("drying.measured", "D").Select(verdict => verdict.Outcome));
    }

    /// <summary>Values that scatter carry the uncertainty of their mean (GUM 4.2.3): 0.06 and 0.12 have the mean 0.09, which alone would pass.</summary>
    [Fact]
    public void Values_that_scatter_do_not_pass_on_their_mean()
    {
        Assert.Equal(Outcome.Pass, MeasuredPlant().Checked("D", "moisture", 10, "0.09", "0.09").One("drying.measured", "D").Outcome);
        Assert.Equal(Outcome.Hold, MeasuredPlant().Checked("D", "moisture", 10, "0.06", "0.12").One("drying.measured", "D").Outcome);
    }

    [Fact]
    public void Measured_at_each_bulk_lot_asks_the_bulk_lot_and_not_the_batch()
    {
        var facts = new Facts(made => made with { Drying = made.Drying with { MeasuredAt = MeasuredAt.EachBulkLot } }).Dried().Filled();
        Assert.Empty(facts.Judge("drying.measured", "D"));
        Assert.True(facts.One("drying.measured", "C").Holds);
        Assert.False(facts.Checked("C", "water-activity", 50, "0.4").One("drying.measured", "C").Holds);
    }

    private static Facts MeasuredPlant() =>
        new Facts(made => made with { Drying = made.Drying with { MeasuredAt = MeasuredAt.EachDriedLot } }).Dried();
}
