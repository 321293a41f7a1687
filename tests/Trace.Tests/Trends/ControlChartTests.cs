using CsCheck;
using Trace.Core.Specifications;
using Trace.Core.Time;
using Trace.Core.Trends;
using Xunit;

namespace Trace.Tests.Trends;

public sealed class ControlChartTests
{
    private static readonly DateTimeOffset Start = new(2026, 3, 2, 6, 0, 0, TimeSpan.Zero);

    private static readonly ChartAsk Ask = new(
        Measure.Yield, Grouping.Dryer, "A", null, ChartKind.Individuals, RuleSet.WesternElectric, DateOnly.MinValue, DateOnly.MaxValue);

    private static BatchFact Batch(int number, double value, string dryer = "A", string product = "DRIED", double? hours = null) => new(
        $"L{number}", Start.AddHours(hours ?? number), number, value, dryer, product, "Farm", number % 2 == 0 ? "Ann" : "Ben");

    private static List<BatchFact> Series(params double[] values) => [.. values.Select((value, number) => Batch(number, value))];

    /// <summary>Thirty quiet batches around 30 with a mean range of 0.4.</summary>
    private static double[] Quiet(int count = 30) => [.. Enumerable.Range(0, count).Select(i => 30 + 0.2 * (i % 2 == 0 ? 1 : -1))];

    private static ControlChartView Chart(IReadOnlyList<BatchFact> batches, ChartAsk? ask = null) =>
        ControlChart.Of(batches, ask ?? Ask, SiteZone.Utc, _ => DefaultSpecification.Create());

    [Fact]
    public void Limits_are_frozen_from_the_first_25_batches()
    {
        var limits = Assert.Single(Chart(Series(Quiet(25))).Limits);
        var drifted = Chart(Series([.. Quiet(25), 40, 41, 42, 43]));
        Assert.Equal(limits, Assert.Single(drifted.Limits));
        Assert.Equal((25, false), (limits.BasePoints, limits.IsProvisional));
        Assert.Equal(30.008, limits.Center!.Value, 1e-9);
        Assert.Equal(4, drifted.Signals.Count(signal => signal.Rule == "WE1"));
        Assert.Contains(drifted.Signals, signal => signal is { Rule: "MR", Lot: "L25" });
        Assert.NotEqual(limits, Assert.Single(Chart(Series([.. Quiet(24), 40, 41])).Limits));
    }

    [Theory]
    [InlineData(19, true)]
    [InlineData(20, false)]
    public void A_chart_of_few_batches_says_that_it_is_provisional(int count, bool provisional)
    {
        var chart = Chart(Series([.. Quiet(count - 1), 29.7]));
        Assert.Equal(provisional, chart.Provisional);
        Assert.Equal(provisional, Assert.Single(chart.Limits).IsProvisional);
        Assert.All(chart.Signals, signal => Assert.Equal(provisional, signal.IsProvisional));
    }

    [Fact]
    public void A_base_period_of_days_takes_the_place_of_the_first_batches()
    {
        List<BatchFact> batches = [.. Quiet(30).Concat(Quiet(30).Select(value => value + 5)).Select((value, number) => Batch(number, value))];
        var ask = Ask with { BaseFrom = new DateOnly(2026, 3, 3), BaseTo = new DateOnly(2026, 3, 4) };
        var limits = Assert.Single(Chart(batches, ask).Limits);

        // From midnight of the second day, 18 h in, to before midnight of the fourth, 66 h in; the series ends 59 h in.
        Assert.Equal((42, Start.AddHours(18), Start.AddHours(59)), (limits.BasePoints, limits.BaseFrom, limits.BaseTo));
        Assert.True(limits.Center > 33);
        Assert.Contains("fewer than two", Assert.Single(Chart(batches, ask with { BaseFrom = new DateOnly(2027, 1, 1), BaseTo = new DateOnly(2027, 1, 2) }).Limits).Problem);
    }

    [Fact]
    public void Each_product_has_limits_of_its_own_and_a_change_breaks_the_series()
    {
        List<BatchFact> batches =
        [
            .. Enumerable.Range(0, 60).Select(i => i / 10 % 2 == 0 ? Batch(i, 30 + i % 2) : Batch(i, 50 + i % 3, product: "COARSE")),
        ];
        var chart = Chart(batches);
        Assert.Equal(["A · DRIED", "A · COARSE"], chart.Limits.Select(limits => limits.Stream));
        Assert.DoesNotContain(chart.Signals, signal => signal.Rule is "WE1" or "MR");
        Assert.Equal([0, 10, 20, 30, 40, 50], Enumerable.Range(0, 60).Where(place => chart.Points[place].StartsSegment));
        Assert.All(chart.Points, point => Assert.Equal(point.StartsSegment, point.MovingRange is null));
        Assert.All(chart.Points, point => Assert.Equal(point.Product, chart.Limits[point.Limits].Stream[4..]));
    }

    [Fact]
    public void Dryers_that_take_turns_are_never_compared_and_one_of_them_alone_is()
    {
        List<BatchFact> batches = [.. Enumerable.Range(0, 40).Select(i => Batch(i, i % 2 == 0 ? 30 + i % 4 : 40, i % 2 == 0 ? "A" : "B"))];
        var all = Chart(batches, Ask with { By = Grouping.None, Key = null });
        Assert.Equal(2, all.Limits.Count);
        Assert.All(all.Limits, limits => Assert.Contains("break", limits.Problem));
        Assert.Empty(all.Signals);
        var one = Chart(batches, Ask with { By = Grouping.Supplier, Key = "Farm", Dryer = "A" });
        Assert.NotNull(Assert.Single(one.Limits).Center);
        Assert.Equal(20, one.Points.Count);
        Assert.Equal(["A", "B"], one.Dryers);
        Assert.Equal(20, Chart(batches, Ask with { By = Grouping.Operator, Key = "Ben" }).Points.Count);
    }

    [Theory]
    [InlineData(7 * 24, false)]
    [InlineData(7 * 24.001, true)]
    public void A_long_pause_ends_runs_and_ranges(double pause, bool ends)
    {
        // Eight above the centre line, four on each side of the pause.
        List<BatchFact> batches = [.. Quiet(25).Select((value, number) => Batch(number, value))];
        for (var i = 25; i < 33; i++) batches.Add(Batch(i, 30.1, hours: i < 29 ? i : i - 1 + pause));
        var chart = Chart(batches);
        Assert.Equal(ends, chart.Points[29].StartsSegment);
        Assert.Equal(!ends, chart.Signals.Any(signal => signal is { Rule: "WE4", Lot: "L32" }));
    }

    [Fact]
    public void Batches_told_late_take_their_place_by_time_then_by_entry()
    {
        var batches = Series(Quiet());
        batches.Add(Batch(99, 31, hours: 3.5));
        batches.Add(Batch(98, 32, hours: 3.5));
        var chart = Chart(batches);
        Assert.Equal(["L3", "L98", "L99", "L4"], chart.Points.Skip(3).Take(4).Select(point => point.Lot));
    }

    [Fact]
    public void A_run_that_reaches_into_the_days_shown_is_seen()
    {
        double[] values = [.. Quiet(44), .. Enumerable.Repeat(30.1, 8)];
        var whole = Chart(Series(values));
        var shown = Chart(Series(values), Ask with { From = new DateOnly(2026, 3, 4), To = new DateOnly(2026, 3, 4) });
        Assert.Equal(values.Length - 42, shown.Points.Count);
        Assert.Equal(whole.Limits, shown.Limits);
        Assert.Equal(whole.Signals.Where(signal => signal.Point >= 42).Select(signal => (signal.Rule, signal.Lot)), shown.Signals.Select(signal => (signal.Rule, signal.Lot)));
        Assert.Contains(shown.Signals, signal => signal.Rule == "WE4");
        Assert.All(shown.Signals, signal => Assert.Equal(signal.Lot, shown.Points[signal.Point].Lot));
        Assert.Empty(Chart(Series(values), Ask with { To = new DateOnly(2026, 3, 1) }).Points);
    }

    [Fact]
    public void What_cannot_have_limits_says_why()
    {
        Assert.Contains("the same", Assert.Single(Chart(Series(30, 30, 30, 30)).Limits).Problem);
        Assert.Contains("fewer than two", Assert.Single(Chart(Series(30)).Limits).Problem);
        var empty = Chart([]);
        Assert.Empty(empty.Limits);
        Assert.Empty(empty.Points);
        Assert.Contains("never releases", empty.Caution);
    }

    [Fact]
    public void Each_kind_of_chart_signals_for_itself()
    {
        double[] shifted = [.. Quiet(30), .. Quiet(30).Select(value => value + 0.5)];
        foreach (var (kind, rule) in new[] { (ChartKind.Ewma, "EWMA"), (ChartKind.Cusum, "CUSUM") })
        {
            var chart = Chart(Series(shifted), Ask with { Chart = kind });
            Assert.NotEmpty(chart.Signals);
            Assert.All(chart.Signals, signal => Assert.True(signal.Rule == rule && signal.Point >= 30));
            Assert.All(chart.Points, point => Assert.Equal((kind == ChartKind.Ewma, kind == ChartKind.Cusum), (point.Ewma is not null, point.CusumHigh is not null)));
        }

        Assert.All(
            Chart(Series([.. Quiet(), .. Enumerable.Repeat(30.1, 9)]), Ask with { Rules = RuleSet.Nelson }).Signals,
            signal => Assert.StartsWith("N", signal.Rule));
    }

    [Fact]
    public void The_fit_to_the_specification_is_told_apart_and_doubted_when_something_signals()
    {
        var fit = Assert.Single(Chart(Series([.. Enumerable.Range(0, 26).Select(i => 29.0 + i * 7 % 13 / 6.0)])).Fit);
        Assert.Equal((25.0, 35.0, 26), (fit.LowerLimit, fit.UpperLimit, fit.Points));
        Assert.True(fit.IsStable && fit.Indices.Cpk > 1);
        Assert.False(Assert.Single(Chart(Series([.. Quiet(), 36])).Fit).IsStable);
        Assert.Empty(Chart(Series(Quiet(19))).Fit);
        Assert.Empty(Chart(Series(Quiet()), Ask with { Measure = Measure.Energy }).Fit);
    }

    [Fact]
    public void Any_series_gives_a_chart_without_a_number_that_is_none() => CsCheck.Check.Sample(
        Gen.Select(Gen.Double[-1e6, 1e6], Gen.Int[0, 2], Gen.Int[0, 1], Gen.Int[0, 400]).Array[0, 60],
        told =>
        {
            var batches = told.Select((one, i) => Batch(i, one.Item1, $"D{one.Item2}", $"P{one.Item3}", one.Item4)).ToList();
            foreach (var kind in Enum.GetValues<ChartKind>())
            {
                var chart = Chart(batches, Ask with { By = Grouping.None, Key = null, Chart = kind, Rules = RuleSet.Nelson });
                Assert.Equal(batches.Count, chart.Points.Count);
                Assert.All(chart.Points, point => Assert.All(
                    new[] { point.Value, point.MovingRange, point.Ewma, point.EwmaLower, point.EwmaUpper, point.CusumHigh, point.CusumLow },
                    number => Assert.True(number is null || double.IsFinite(number.Value))));
                Assert.All(chart.Limits, limits => Assert.Equal(limits.Center is null, limits.Problem is not null));
                Assert.All(chart.Signals, signal => Assert.NotNull(chart.Limits[chart.Points[signal.Point].Limits].Center));
            }
        },
        iter: 500);
}
