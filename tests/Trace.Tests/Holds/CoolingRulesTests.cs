using Trace.Core.Science;
using Trace.Tests.Support;
using Xunit;
using Outcome = Trace.Core.Holds.Outcome;

namespace Trace.Tests.Holds;

public sealed class CoolingRulesTests
{
    private const string Rule = "cooling.temperature";

    /// <summary>Room + 5 K: common practice, no source. The thermometer's 0.3 K guard it: 25 − 1.645·0.3 = 24.5065 °C (recomputed).</summary>
    [Theory]
    [InlineData(24.50, Outcome.Pass)]
    [InlineData(24.506, Outcome.Pass)]
    [InlineData(24.507, Outcome.Hold)]
    [InlineData(25, Outcome.Hold)]
    [InlineData(60, Outcome.Hold)]
    public void The_core_may_be_five_kelvin_above_the_room_less_the_guard(double celsius, Outcome expected)
    {
        var verdict = new Facts().Dried().Core(celsius).One(Rule, "D");
        Assert.Equal(expected, verdict.Outcome);
        Assert.Equal(25, verdict.Limit!.Value, 9);
    }

    /// <summary>
    /// A pack of water activity a sweats above the temperature whose saturation pressure is p(room) / a. At a = 1 that is the room itself
    /// (definition of relative humidity), at 0.9 and 20 °C it is 21.7 °C (recomputed with IAPWS-IF97).
    /// </summary>
    [Theory]
    [InlineData("1", 20.0)]
    [InlineData("0.9", 21.7)]
    [InlineData("0.3", 25.0)]
    public void The_wetter_the_product_the_lower_the_limit(string activity, double limit)
    {
        var verdict = new Facts().Dried().Checked("D", "water-activity", 5, activity).Core(24).One(Rule, "D");
        Assert.Equal(limit, verdict.Limit!.Value, 0.05);
        Assert.Equal(limit < 24.4, verdict.Holds);
    }

    [Fact]
    public void No_reading_since_the_weigh_out_is_undetermined()
    {
        var facts = new Facts().Harvest().Sanitised().InDryer().Cycled().Core(22, atMinutes: -1).Out();
        Assert.Equal(Outcome.Undetermined, facts.One(Rule, "D").Outcome);
        Assert.Equal(Outcome.Pass, facts.Core(22).One(Rule, "D").Outcome);
    }

    [Theory]
    [InlineData(160, Outcome.Pass)]
    [InlineData(160.1, Outcome.Hold)]
    public void A_reading_serves_for_two_hours(double asOfMinutes, Outcome expected) =>
        Assert.Equal(expected, new Facts().Dried().Core(22, atMinutes: 40).One(Rule, "D", asOfMinutes).Outcome);

    [Fact]
    public void A_later_reading_does_not_count_for_an_earlier_passage() =>
        Assert.Equal(Outcome.Undetermined, new Facts().Dried().Core(22, atMinutes: 40).One(Rule, "D", 39).Outcome);

    [Theory]
    [InlineData(double.NaN, 20, null)]
    [InlineData(double.NegativeInfinity, 20, null)]
    [InlineData(22, double.NaN, null)]
    [InlineData(22, -0.1, null)]
    [InlineData(22, 50.1, null)]
    [InlineData(22, 20, double.NaN)]
    [InlineData(22, 20, 0.0)]
    [InlineData(22, 20, 100.1)]
    public void Figures_that_cannot_be_hold(double core, double room, double? humidity) =>
        Assert.True(new Facts().Dried().Core(core, room, humidityPercent: humidity).One(Rule, "D").Holds);

    [Fact]
    public void Limits_that_are_no_numbers_hold()
    {
        Assert.True(new Facts(made => made with { Cooling = made.Cooling with { AboveRoomKelvin = double.NaN } }).Dried().Core(22).One(Rule, "D").Holds);
        Assert.True(new Facts(made => made with { Cooling = made.Cooling with { ThermometerUncertaintyKelvin = double.NaN } })
            .Dried().Core(22).One(Rule, "D").Holds);
    }

    /// <summary>At 30 °C and 80 % the dew point is 26.2 °C (psychrometric tables, from memory): a core of 26 °C gets wet.</summary>
    [Theory]
    [InlineData(26, true)]
    [InlineData(27.1, true)]
    [InlineData(27.4, false)]
    public void A_core_at_the_dew_point_of_the_room_holds(double core, bool isHeld) =>
        Assert.Equal(isHeld, new Facts().Dried().Core(core, 30, humidityPercent: 80).One(Rule, "D").Holds);

    [Fact]
    public void A_forecast_says_when_and_never_releases()
    {
        var facts = new Facts().Dried();
        foreach (var minute in new[] { 2, 6, 10, 14 }) facts.Core(20 + 50 * Math.Exp(-0.08 * minute), atMinutes: minute);
        var verdict = facts.One(Rule, "D", 14);
        Assert.NotNull(verdict.ClearsAt);

        // Newton's law with k 0.08 per minute: 4.5065 K above the room after ln(50/4.5065)/0.08 = 30.1 min (recomputed).
        Assert.Equal(30.1, (verdict.ClearsAt.Value - Facts.Noon).TotalMinutes, 0.1);
        Assert.True(facts.One(Rule, "D", 31).Holds);
        Assert.True(facts.One(Rule, "D", 100).Holds);
    }

    [Theory]
    [InlineData(29.99, Outcome.Hold)]
    [InlineData(30, Outcome.Pass)]
    [InlineData(-5, Outcome.Hold)]
    public void The_least_rest_counts_from_the_weigh_out(double asOfMinutes, Outcome expected)
    {
        var verdict = new Facts().Dried().One("cooling.rest", "D", asOfMinutes);
        Assert.Equal(expected, verdict.Outcome);
        Assert.Equal(expected == Outcome.Pass ? null : Facts.Noon.AddMinutes(30), verdict.ClearsAt);
    }

    [Fact]
    public void The_rest_starts_anew_after_a_further_cycle()
    {
        var facts = new Facts().Dried().Cycled(60, atMinutes: 40);
        Assert.Empty(facts.Judge("cooling.rest", "D", 50));
        Assert.True(facts.Out(79, atMinutes: 42).One("cooling.rest", "D", 71).Holds);
        Assert.False(facts.One("cooling.rest", "D", 72).Holds);
    }

    /// <summary>The dew point that the rule uses, against a table value, from memory: 30 °C and 80 % give 26.2 °C.</summary>
    [Fact]
    public void The_dew_point_behind_the_rule_is_that_of_the_tables() => Assert.Equal(26.2, WaterVapour.DewPointCelsius(30, 80), 0.05);
}
