using Trace.Benchmarks.Harness;
using Trace.Benchmarks.Plants;
using Trace.Core;
using Trace.Core.Corrections;
using Trace.Core.Holds;
using Trace.Core.Lots;
using Trace.Core.Time;
using Trace.Core.Trends;
using Trace.Storage;
using Trace.Web.Pages.Charts;

namespace Trace.Benchmarks;

/// <summary>
/// A year's control chart, computed and drawn in both sizes. The batches come from a site's state as the page reads them; that is measured
/// apart, since it waits for its turn at the state in slices.
/// </summary>
internal static class ChartBenchmark
{
    private const int Batches = 15_000;
    private const int Charts = 5;

    public static Benchmark About { get; } = new("charts", "control charts of a year, 15,000 batches", Run);

    private static List<Finding> Run(Plan plan)
    {
        var folder = Path.Combine(plan.Folder, "charts");
        var now = TimeProvider.System.GetUtcNow().AddDays(-1);
        using var store = TraceStorage.Open(folder);

        // The invented plant dries 60 batches with 462 entries a day. What it weighs out never varies; the chart's values do.
        PlantJournal.Fill(store, plan.Scale(Batches) / 60 * 462, now);
        var ledger = new WritePath(store, Areas.Codec, new HoldGate(), TimeProvider.System, store).Load(PlantJournal.Site);
        var read = ChartData.Read(ledger, Measure.Yield).GetAwaiter().GetResult();
        var chance = new Random(1);
        IReadOnlyList<BatchFact> batches =
            [.. read.Batches.Select(batch => batch with { Value = 30 + chance.NextDouble() + chance.NextDouble(), Dryer = "MW-1" })];
        var ask = new ChartAsk(
            Measure.Yield, Grouping.Dryer, "MW-1", null, ChartKind.Individuals, RuleSet.Nelson, DateOnly.MinValue, DateOnly.MaxValue);
        var series = Rounds.Play(
            plan.Rounds,
            new("read", () => Milliseconds(() => ChartData.Read(ledger, Measure.Yield).GetAwaiter().GetResult().Batches.Count)),
            new("computed", () => Milliseconds(() => ControlChart.Of(batches, ask, SiteZone.Utc).Points.Count)),
            new("computed and drawn", () => Milliseconds(() => Drawn(ControlChart.Of(batches, ask, SiteZone.Utc)))),
            new("ewma", () => Milliseconds(() => Drawn(ControlChart.Of(batches, ask with { Chart = ChartKind.Ewma }, SiteZone.Utc)))));
        var count = $"{batches.Count} batches";
        return
        [
            Finding.Plain($"{count}: read from the site's state in slices", series["read"], " ms", "0.0"),
            Finding.Plain($"{count}: limits, ranges and all run rules", series["computed"], " ms", "0.0"),
            Finding.AtMost($"{count}: chart computed and drawn, two panels in two sizes", series["computed and drawn"], 50, " ms"),
            Finding.Plain(
                $"{count}: read, computed and drawn",
                new Series("all", [.. series["read"].Values.Zip(series["computed and drawn"].Values, (one, other) => one + other)]), " ms", "0.0"),
            Finding.AtMost($"{count}: weighted means computed and drawn", series["ewma"], 50, " ms"),
        ];
    }

    private static int Drawn(ControlChartView view) => ChartPanel.Of(view)
        .Sum(panel => ChartSvg.Draw(panel, ChartSize.Wide, "w").Length + ChartSvg.Draw(panel, ChartSize.Narrow, "n").Length);

    private static double Milliseconds(Func<int> work)
    {
        var done = 0;
        var seconds = Rounds.Seconds(() =>
        {
            for (var chart = 0; chart < Charts; chart++) done += work();
        });
        return done > 0 ? seconds * 1000 / Charts : throw new InvalidOperationException("Nothing was drawn.");
    }
}
