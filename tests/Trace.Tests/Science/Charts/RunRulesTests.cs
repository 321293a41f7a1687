using System.Globalization;
using CsCheck;
using Trace.Core.Science.Charts;
using Xunit;

namespace Trace.Tests.Science.Charts;

public class RunRulesTests
{
    private static double[] Numbers(string text) =>
        [.. text.Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(one => double.Parse(one, CultureInfo.InvariantCulture))];

    private static string Again(string text, int times) => string.Join(' ', Enumerable.Repeat(text, times));

    /// <summary>Where a rule is met, counted from 1.</summary>
    private static int[] Met(double[] values, RunRule rule, params int[] breaks) =>
        [.. RunRules.Find(values, breaks, 0, 1, [rule]).Select(signal => signal.Index + 1)];

    private const string Definitions = "By hand from the definitions of Western Electric (1956) and Nelson (1984) as the NIST/SEMATECH e-Handbook 6.3.2 and textbooks print them, read in copies; comparisons strict, the window ends at the point that signals";

    public static TheoryData<string, RunRule, int[]> Fixtures => new()
    {
        { "0 3.0 3.01", RunRule.BeyondThree, [3] },
        { "0 3.0 3.01", RunRule.TwoOfThree, [3] },
        { "0 -3.0 -3.01", RunRule.BeyondThree, [3] },
        { "0.1 2.1 -0.5 2.2 0.1", RunRule.TwoOfThree, [4] },
        { "2.1 -2.1 0.1", RunRule.TwoOfThree, [] },
        { "2.0 2.0 2.0", RunRule.TwoOfThree, [] },
        { "-2.1 -2.2 0.1", RunRule.TwoOfThree, [3] },
        { "1.1 1.2 0.3 1.3 1.4", RunRule.FourOfFive, [5] },
        { "-1.1 -1.2 -0.3 -1.3 -1.4", RunRule.FourOfFive, [5] },
        { "1.1 1.2 0.3 -1.3 1.4", RunRule.FourOfFive, [] },
        { Again("0.5", 8), RunRule.Eight, [8] },
        { Again("0.5", 8), RunRule.Nine, [] },
        { Again("0.5", 9), RunRule.Eight, [8, 9] },
        { Again("0.5", 9), RunRule.Nine, [9] },
        { Again("-0.5", 9), RunRule.Nine, [9] },
        { Again("0.5", 7) + " 0.0 " + Again("0.5", 7), RunRule.Eight, [] },
        { Again("0.5", 7) + " 0.0 " + Again("0.5", 7), RunRule.Nine, [] },
        { Again("0.5", 7) + " 0.0 " + Again("0.5", 7), RunRule.Hugging, [15] },
        { Again("0.5", 7) + " 1.0 " + Again("0.5", 7), RunRule.Hugging, [] },
        { "-.5 -.3 -.1 .1 .3 .5", RunRule.Trend, [6] },
        { ".5 .3 .1 -.1 -.3 -.5", RunRule.Trend, [6] },
        { "-.5 -.3 -.1 .1 .3", RunRule.Trend, [] },
        { "-.5 -.3 -.1 -.1 .3 .5 .7", RunRule.Trend, [] },
        { Again("0.4 -0.4", 7), RunRule.Alternating, [14] },
        { Again("0.4 -0.4", 6) + " 0.4", RunRule.Alternating, [] },
        { Again("0.4 -0.4", 3) + " -0.4 " + Again("0.4 -0.4", 6), RunRule.Alternating, [] },
        { "1.2 -1.3 1.5 1.1 -1.4 -1.2 1.6 1.3", RunRule.Mixture, [8] },
        { "1.2 1.3 1.5 1.1 1.4 1.2 1.6 1.3", RunRule.Mixture, [] },
        { "1.2 -1.3 1.5 1.0 -1.4 -1.2 1.6 1.3", RunRule.Mixture, [] },
        { "1.2 1.3 1.5 1.1 1.4 1.2 1.6 1.3", RunRule.FourOfFive, [5, 6, 7, 8] },
        { "1.2 1.3 1.5 1.1 1.4 1.2 1.6 1.3", RunRule.Eight, [8] },
    };

    [CheckValue(Mark.Recomputed, typeof(RunRules), Definitions)]
    [Theory]
    [MemberData(nameof(Fixtures))]
    public void Each_rule_fires_where_its_definition_says(string values, RunRule rule, int[] places) =>
        Assert.Equal(places, Met(Numbers(values), rule));

    [CheckValue(Mark.Recomputed, typeof(RunRules), "By simulation, 200,000 normal values: one in 370 for 3 σ alone; some 1.6 % of points with all of Western Electric, some 2.3 % with all of Nelson were read, simulated, in a copy")]
    [Fact]
    public void Chance_alone_signals_about_as_often_as_told()
    {
        var chance = new Random(20260302);
        double[] values = [.. Enumerable.Range(0, 200_000).Select(_ =>
            Math.Sqrt(-2 * Math.Log(1 - chance.NextDouble())) * Math.Cos(2 * Math.PI * chance.NextDouble()))];
        double Percent(IReadOnlyList<RunRule> rules) =>
            RunRules.Find(values, [], 0, 1, rules).Select(signal => signal.Index).Distinct().Count() * 100.0 / values.Length;
        Assert.InRange(Percent([RunRule.BeyondThree]), 0.23, 0.31);
        Assert.InRange(Percent(RunRules.WesternElectric), 1.2, 2.0);
        Assert.InRange(Percent(RunRules.Nelson), 1.9, 2.7);
    }

    [Fact]
    public void Runs_start_anew_behind_a_break()
    {
        Assert.Equal([8], Met(Numbers(Again("0.5", 8)), RunRule.Eight));
        foreach (var rule in RunRules.Nelson.Append(RunRule.Eight).Where(rule => rule != RunRule.BeyondThree))
        {
            foreach (var (values, met, _) in Fixtures.Where(one => one.Data.Item2 == rule && one.Data.Item3.Length > 0).Select(one => one.Data))
            {
                var series = Numbers(values);
                Assert.DoesNotContain(series.Length, Met(series, met, series.Length - 1));
            }
        }
    }

    [Fact]
    public void The_same_pattern_is_found_in_any_unit() => Check.Sample(
        Gen.Select(Gen.Int[-35, 35].Array[1, 60], Gen.Int[-50, 50], Gen.Int[1, 40]),
        (tenths, center, sigma) =>
        {
            // Powers of two keep the sums exact, so that a value on a limit stays on it.
            double[] plain = [.. tenths.Select(value => value / 8.0)];
            double[] moved = [.. plain.Select(value => center + sigma * value)];
            RunRule[] all = [.. Enum.GetValues<RunRule>()];
            Assert.Equal(RunRules.Find(plain, [], 0, 1, all), RunRules.Find(moved, [], center, sigma, all));
            double[] mirrored = [.. plain.Select(value => -value)];
            Assert.Equal(RunRules.Find(plain, [], 0, 1, all), RunRules.Find(mirrored, [], 0, 1, all));
        },
        iter: 2000);

    [Fact]
    public void The_counters_find_what_looking_at_every_window_finds() => Check.Sample(
        Gen.Int[-28, 28].Array[0, 60],
        tenths =>
        {
            double[] values = [.. tenths.Select(value => value / 8.0)];
            foreach (var rule in Enum.GetValues<RunRule>())
            {
                var slow = Enumerable.Range(0, values.Length).Where(end => Window(values[..(end + 1)], rule)).Select(end => end + 1);
                Assert.Equal(slow, Met(values, rule));
            }
        },
        iter: 2000);

    /// <summary>Whether the rule's window that ends at the last value meets it, said as plainly as the definitions do.</summary>
    private static bool Window(double[] values, RunRule rule)
    {
        bool Last(int count, Func<double[], bool> meets) => values.Length >= count && meets(values[^count..]);
        bool OneSide(double[] window, double beyond, int least) =>
            window.Count(value => value > beyond) >= least || window.Count(value => value < -beyond) >= least;
        int[] Steps(double[] window) => [.. window.Zip(window.Skip(1), (left, right) => Math.Sign(right - left))];
        return rule switch
        {
            RunRule.BeyondThree => Last(1, window => OneSide(window, 3, 1)),
            RunRule.TwoOfThree => Last(3, window => OneSide(window, 2, 2)),
            RunRule.FourOfFive => Last(5, window => OneSide(window, 1, 4)),
            RunRule.Eight => Last(8, window => OneSide(window, 0, 8)),
            RunRule.Nine => Last(9, window => OneSide(window, 0, 9)),
            RunRule.Trend => Last(6, window => Math.Abs(Steps(window).Sum()) == 5),
            RunRule.Alternating => Last(14, window => Steps(window).Zip(Steps(window).Skip(1), (left, right) => left * right).All(turn => turn == -1)),
            RunRule.Hugging => Last(15, window => window.All(value => Math.Abs(value) < 1)),
            _ => Last(8, window => window.All(value => Math.Abs(value) > 1) && window.Any(value => value > 0) && window.Any(value => value < 0)),
        };
    }

    [Theory]
    [InlineData(double.NaN, 1, "center")]
    [InlineData(0, 0, "sigma")]
    [InlineData(0, -1, "sigma")]
    [InlineData(0, double.NaN, "sigma")]
    public void Without_a_centre_and_a_spread_there_are_no_rules(double center, double sigma, string name)
    {
        Assert.Equal(
            name, Assert.Throws<ArgumentOutOfRangeException>(() => RunRules.Find([1], [], center, sigma, RunRules.Nelson)).ParamName);
        Assert.Throws<ArgumentOutOfRangeException>(() => RunRules.Find([double.NaN], [], 0, 1, RunRules.Nelson));
        Assert.Throws<ArgumentOutOfRangeException>(() => RunRules.Find([1], [], 0, 1, [(RunRule)99]));
    }
}
