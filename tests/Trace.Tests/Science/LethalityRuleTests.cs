using Trace.Core.Science;
using Xunit;

namespace Trace.Tests.Science;

/// <summary>The rule's cut-offs, and records that cannot be judged.</summary>
public class LethalityRuleTests
{
    private static readonly DateTimeOffset Start = new(2025, 3, 4, 8, 0, 0, TimeSpan.FromHours(1));

    private static CoreReading[] Record(params double[] celsius) =>
        [.. celsius.Select((core, i) => new CoreReading(Start.AddSeconds(30 * i), core))];

    [CheckValue(Mark.Recomputed, typeof(Lethality), "Integrated apart from the program: default rule (70 °C, z 7.5 K, counted from 60 °C, credited to 75 °C), readings every 30 s")]
    [Theory]
    [InlineData(18.4652, 16.2345, new double[] { 24, 41, 55, 64, 70, 74, 77, 79, 80.5, 81.4, 82, 82.2, 82.3, 60, 45 })]
    [InlineData(1.58262, 1.27198, new double[] { 24, 38, 50, 58, 63, 66, 68, 69, 69.5, 69.8, 55, 40 })]
    [InlineData(10.1709, 8.6627, new double[] { 24, 41, 55, 64, 70, 72, 73, 74, 74.5, 74.8, 75, 60, 40 })]
    public void The_three_dips_are_as_recomputed(double exact, double floor, double[] celsius)
    {
        var result = Lethality.Integrate(Record(celsius), LethalityRule.Default);
        Assert.Null(result.Problem);
        Assert.Equal(exact, result.ExactMinutes!.Value, 6e-5);
        Assert.Equal(floor, result.FloorMinutes!.Value, 6e-5);
    }

    [Fact]
    public void The_reading_at_the_threshold_counts_and_just_below_does_not()
    {
        var at = Lethality.Integrate(Record(60, 60), LethalityRule.Default);
        Assert.Equal(0.5 * Lethality.Rate(60, 70, 7.5), at.FloorMinutes!.Value, 1e-12);
        var below = Lethality.Integrate(Record(59.999, 59.999), LethalityRule.Default);
        Assert.Equal(0, below.FloorMinutes);
        Assert.Equal(0, below.ExactMinutes);
    }

    [Fact]
    public void No_heat_is_credited_beyond_the_validated_range()
    {
        var credited = Lethality.Integrate(Record(75, 75), LethalityRule.Default);
        var hotter = Lethality.Integrate(Record(95, 99), LethalityRule.Default);
        Assert.Equal(credited.ExactMinutes!.Value, hotter.ExactMinutes!.Value, 1e-12);
        Assert.Equal(credited.FloorMinutes!.Value, hotter.FloorMinutes!.Value, 1e-12);
    }

    // One step across both cut-offs equals its three parts cut by hand at 60 °C and 75 °C.
    [Fact]
    public void A_step_across_both_cut_offs_is_split_at_them()
    {
        var result = Lethality.Integrate([new(Start, 50), new(Start.AddSeconds(60), 90)], LethalityRule.Default);
        var byHand = Lethality.Exact([0, 15 / 40.0], [60, 75], 70, 7.5) + 15 / 40.0 * Lethality.Rate(75, 70, 7.5);
        Assert.Equal(byHand, result.ExactMinutes!.Value, 1e-12);
        Assert.Equal(0, result.FloorMinutes);
    }

    [Fact]
    public void Cooling_counts_like_heating()
    {
        var up = Lethality.Integrate(Record(50, 68, 90), LethalityRule.Default);
        var down = Lethality.Integrate(Record(90, 68, 50), LethalityRule.Default);
        Assert.Equal(up.ExactMinutes!.Value, down.ExactMinutes!.Value, 1e-12);
        Assert.Equal(up.FloorMinutes!.Value, down.FloorMinutes!.Value, 1e-12);
    }

    [Fact]
    public void A_gap_of_the_allowed_length_is_bridged_and_one_tick_more_is_not()
    {
        Assert.Null(Lethality.Integrate([new(Start, 70), new(Start.AddSeconds(60), 70)], LethalityRule.Default).Problem);
        var late = Lethality.Integrate([new(Start, 70), new(Start.AddSeconds(60).AddTicks(1), 70)], LethalityRule.Default);
        Assert.Contains("without a core reading", late.Problem);
        Assert.Null(late.FloorMinutes);
        Assert.Null(late.ExactMinutes);
    }

    [Fact]
    public void Times_are_compared_as_instants_not_by_the_clock_on_the_wall()
    {
        var utc = Start.ToUniversalTime().AddSeconds(30);
        Assert.Null(Lethality.Integrate([new(Start, 70), new(utc, 70)], LethalityRule.Default).Problem);
        var same = Lethality.Integrate([new(Start, 70), new(Start.ToUniversalTime(), 70)], LethalityRule.Default);
        Assert.Contains("same time", same.Problem);
    }

    public static TheoryData<string, CoreReading[]> BadRecords => new()
    {
        { "At least two", [] },
        { "At least two", Record(70) },
        { "same time", [new(Start, 70), new(Start, 71)] },
        { "not in order", [new(Start.AddSeconds(30), 70), new(Start, 70)] },
        { "not a number", Record(70, double.NaN, 70) },
        { "not a number", Record(double.NaN, 70) },
        { "not a number", Record(70, double.PositiveInfinity) },
        { "not a number", Record(70, double.NegativeInfinity) },
        { "check the probe", Record(70, 1372) },
        { "check the probe", Record(-127, 70) },
    };

    [Theory]
    [MemberData(nameof(BadRecords))]
    public void A_record_that_cannot_be_judged_says_why_and_gives_no_number(string why, CoreReading[] readings)
    {
        var result = Lethality.Integrate(readings, LethalityRule.Default);
        Assert.Contains(why, result.Problem);
        Assert.Null(result.FloorMinutes);
        Assert.Null(result.ExactMinutes);
    }

    public static TheoryData<LethalityRule> BadRules =>
    [
        LethalityRule.Default with { ReferenceCelsius = double.NaN },
        LethalityRule.Default with { ZKelvin = 0 },
        LethalityRule.Default with { ZKelvin = double.NaN },
        LethalityRule.Default with { ZKelvin = 0.001 },
        LethalityRule.Default with { CountFromCelsius = double.NegativeInfinity },
        LethalityRule.Default with { CreditToCelsius = double.PositiveInfinity },
        LethalityRule.Default with { CreditToCelsius = 59 },
        LethalityRule.Default with { LargestGap = TimeSpan.Zero },
    ];

    [Theory]
    [MemberData(nameof(BadRules))]
    public void A_rule_that_makes_no_sense_judges_nothing(LethalityRule rule)
    {
        var result = Lethality.Integrate(Record(80, 80), rule);
        Assert.NotNull(result.Problem);
        Assert.Null(result.FloorMinutes);
        Assert.Null(result.ExactMinutes);
    }

    // Second dip of the three above, without cut-offs, with every reading 1 K lower and higher.
    [Fact]
    [CheckValue(Mark.Recomputed, typeof(Lethality), "exact integral of an invented dip with a probe off by 1 K: 1.177 and 2.174 min, in Python")]
    public void A_probe_that_is_off_moves_everything_the_same_way()
    {
        double[] minutes = [0, .5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5, 5.5];
        double[] celsius = [24, 38, 50, 58, 63, 66, 68, 69, 69.5, 69.8, 55, 40];
        Assert.Equal(1.177, Lethality.Exact(minutes, [.. celsius.Select(core => core - 1)], 70, 7.5), 5e-4);
        Assert.Equal(2.174, Lethality.Exact(minutes, [.. celsius.Select(core => core + 1)], 70, 7.5), 5e-4);
        Assert.Equal(0.31, Lethality.RelativeUncertainty(7.5, 1), 5e-3);
    }

    [Fact]
    public void The_floor_counts_the_probe_s_doubt_against_the_run()
    {
        var rule = LethalityRule.Default with { ProbeUncertaintyKelvin = 1 / 1.645 };
        var guarded = Lethality.Integrate(Record(66, 68, 70), rule);
        Assert.Equal(Lethality.Integrate(Record(65, 67, 69), LethalityRule.Default).FloorMinutes!.Value, guarded.FloorMinutes!.Value, 1e-12);
        Assert.Equal(Lethality.Integrate(Record(66, 68, 70), LethalityRule.Default).ExactMinutes, guarded.ExactMinutes);
        foreach (var wrong in new[] { -0.1, 10.1, double.NaN })
        {
            Assert.Equal(
                "The probe's uncertainty must lie from 0 K to 10 K.",
                Lethality.Integrate(Record(66, 68), LethalityRule.Default with { ProbeUncertaintyKelvin = wrong }).Problem);
        }
    }

    [Fact]
    public void Nobody_is_promised_thousands_of_log_reductions()
    {
        Assert.Equal(6, Lethality.LogReduction(2, 1.0 / 3), 1e-12);
        Assert.Equal(7, Lethality.LogReduction(4000, 1.0 / 3));
        Assert.Throws<ArgumentOutOfRangeException>("decimalReductionMinutes", () => Lethality.LogReduction(2, 0));
        Assert.Throws<ArgumentOutOfRangeException>("minutes", () => Lethality.LogReduction(double.NaN, 1));
    }
}
