using Trace.Core.Science;
using Trace.Tests.Support;
using Xunit;
using Outcome = Trace.Core.Holds.Outcome;

namespace Trace.Tests.Holds;

public sealed class SanitisingRulesTests
{
    private const string Rule = "sanitising.lethality";

    /// <summary>
    /// 2 min at 70 °C: the benchmark quoted in New Zealand MPI Technical Paper 2016/05. At the reference temperature a minute counts as a
    /// minute (definition of the lethal rate), so the limit is met by 120 s to the second.
    /// </summary>
    [Theory]
    [InlineData(119, Outcome.Hold)]
    [InlineData(120, Outcome.Pass)]
    [InlineData(121, Outcome.Pass)]
    public void Two_minutes_at_seventy_degrees_are_the_limit(int seconds, Outcome expected)
    {
        var verdict = Judge(Record(70, seconds));
        Assert.Equal(expected, verdict.Outcome);
        Assert.Equal(2, verdict.Limit);
        Assert.Equal(seconds / 60.0, verdict.Value!.Value, 9);
    }

    /// <summary>Recomputed: at 62.5 °C and z 7.5 K the rate is 1/10, so 2 min at 70 °C want 20 min.</summary>
    [Theory]
    [InlineData(1199, Outcome.Hold)]
    [InlineData(1200, Outcome.Pass)]
    public void Seven_and_a_half_degrees_colder_want_ten_times_as_long(int seconds, Outcome expected) =>
        Assert.Equal(expected, Judge(Record(62.5, seconds)).Outcome);

    [Theory]
    [InlineData(59.999)]
    [InlineData(20)]
    public void Heat_below_where_it_counts_is_worth_nothing(double celsius)
    {
        var verdict = Judge(Record(celsius, 36_000));
        Assert.Equal(Outcome.Hold, verdict.Outcome);
        Assert.Equal(0, verdict.Value);
    }

    /// <summary>Credit ends at 75 °C (engineering choice): 90 °C for 20 s counts like 75 °C for 20 s, 10^(5/7.5) / 3 = 1.547 min (recomputed).</summary>
    [Fact]
    public void More_heat_than_is_credited_does_not_shorten_the_time()
    {
        var verdict = Judge(Record(90, 20));
        Assert.Equal(Outcome.Hold, verdict.Outcome);
        Assert.Equal(Math.Pow(10, 5 / 7.5) / 3, verdict.Value!.Value, 9);
    }

    [Theory]
    [InlineData(60, Outcome.Pass)]
    [InlineData(61, Outcome.Undetermined)]
    public void A_gap_in_the_record_is_not_bridged(int gapSeconds, Outcome expected) =>
        Assert.Equal(expected, Judge([At(0, 75), At(gapSeconds, 75), At(gapSeconds + 60, 75), At(gapSeconds + 120, 75)]).Outcome);

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(double.NegativeInfinity)]
    [InlineData(1372)]
    public void A_reading_that_is_no_temperature_leaves_it_undetermined(double celsius)
    {
        var verdict = Judge([At(0, 75), At(30, 75), At(60, celsius), At(90, 75), At(120, 75), At(150, 75)]);
        Assert.Equal(Outcome.Undetermined, verdict.Outcome);
        Assert.True(verdict.Holds);
    }

    [Fact]
    public void Missing_and_contradictory_records_hold()
    {
        Assert.True(Judge([]).Holds);
        Assert.True(Judge([At(0, 75)]).Holds);
        Assert.True(Judge([At(0, 75), At(60, 75), At(60, 75), At(120, 75)]).Holds);
        Assert.True(Judge([At(60, 75), At(0, 75), At(120, 75)]).Holds);
    }

    [Fact]
    public void Fresh_larvae_are_held_until_they_are_sanitised()
    {
        var facts = new Facts().Harvest();
        Assert.Equal(Outcome.Hold, facts.One("sanitising.missing", "H").Outcome);
        Assert.Empty(facts.Sanitised().Judge("sanitising.missing", "T"));
    }

    private static Core.Holds.Verdict Judge(IReadOnlyList<CoreReading> readings) => new Facts().Harvest().Sanitised(readings).One(Rule, "T");

    private static CoreReading At(int seconds, double celsius) => new(Facts.Noon.AddMinutes(-90).AddSeconds(seconds), celsius);

    /// <summary>Level at a temperature: a reading every 30 s and one at the end.</summary>
    private static CoreReading[] Record(double celsius, int seconds) =>
        [.. Enumerable.Range(0, (seconds + 29) / 30).Select(place => At(place * 30, celsius)), At(seconds, celsius)];
}
