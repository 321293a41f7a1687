using Trace.Benchmarks.Harness;
using Trace.Benchmarks.Plants;
using Trace.Core.Access;
using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Core.Tracing;
using Trace.Web.Access;
using Trace.Web.Pages.Traces;

namespace Trace.Benchmarks;

/// <summary>The pages of the plant at a site of 100,000 lots, one reader, and the picture of a trace of 2,000 lots.</summary>
internal static class PageBenchmark
{
    /// <summary>Entries of the invented plant that make about 100,000 lots.</summary>
    private const int Entries = 610_000;

    private const int Lots = 2_000;

    public static Benchmark About { get; } = new("pages", "time of each page at a site of 100,000 lots, picture of a trace of 2,000 lots", Run);

    private static List<Finding> Run(Plan plan)
    {
        var folder = Path.Combine(plan.Folder, "pages");
        List<string> packed;
        using (var store = Storage.TraceStorage.Open(folder)) packed = PlantJournal.Fill(store, plan.Scale(Entries), TimeProvider.System.GetUtcNow().AddDays(-1));
        using var plant = new RunningPlant(folder);
        var (key, kept) = Secrets.NewKey("pages", RoleName.Owner, TimeProvider.System.GetUtcNow());
        plant.App.Access.Record(kept, "setup", "setup").GetAwaiter().GetResult();
        using var client = new HttpClient { BaseAddress = new Uri($"http://127.0.0.1:{plant.Port}") };
        client.DefaultRequestHeaders.Authorization = new("Bearer", key);
        client.DefaultRequestHeaders.Add("Accept", "text/html");
        var lots = plant.App.Site(PlantJournal.Site)!.ReadAsync(state => state.Lots.Count).GetAwaiter().GetResult();
        var lot = packed[^1];
        (string Name, string Path)[] pages =
        [
            ("plain text", RunningPlant.PlainRoute), ("bench", "/bench"), ("lot", $"/sites/S1/lots/{lot}"), ("trace of a lot", $"/sites/S1/lots/{lot}/trace"),
            ("day sheet", $"/sites/S1/days/{TimeProvider.System.GetUtcNow().AddDays(-2):yyyy-MM-dd}"), ("business", "/sites/S1/business"), ("quality", "/quality?site=S1"),
            ("form", "/sites/S1/record/packing/pack"), ("instruments", "/sites/S1/instruments"), ("buyer's page", $"/lot/S1/{lot}"),
        ];
        var series = Rounds.Play(plan.Rounds, [.. pages.Select(page => new Contender(page.Name, () => Milliseconds(client, page.Path, plan.Scale(20))))]);
        var trace = Trace();
        var pictures = Rounds.Play(
            plan.Rounds,
            new("folded", () => Drawn(trace, all: false)),
            new("whole", () => Drawn(trace, all: true)));
        return
        [
            Finding.Plain($"{lots} lots: plain text, one reader", series["plain text"], " ms", "0.00"),
            .. pages.Skip(1).Select(page => Finding.AtMost($"{lots} lots: page {page.Name}", series[page.Name], 20, " ms")),
            Finding.AtMost($"picture of {Lots} lots, folded", pictures["folded"], 100, " ms"),
            Finding.AtMost($"picture of {Lots} lots, every lot a box", pictures["whole"], 100, " ms"),
        ];
    }

    private static double Milliseconds(HttpClient client, string path, int times)
    {
        var seconds = Rounds.Seconds(() =>
        {
            for (var time = 0; time < times; time++)
                if (client.GetStringAsync(path).GetAwaiter().GetResult().Length == 0) throw new InvalidOperationException($"{path} is empty.");
        });
        return seconds * 1000 / times;
    }

    private static double Drawn(TraceView trace, bool all) => Rounds.Seconds(() =>
    {
        var picture = TracePicture.Of(new SiteState(), trace, DateTimeOffset.UnixEpoch, all: all);
        if (TraceSvg.Draw(picture, lot => lot, group => group).Length == 0) throw new InvalidOperationException("Nothing was drawn.");
    }) * 1000;

    /// <summary>Seven stages of lots over some days; each but the first was made from one to three of the stage before.</summary>
    private static TraceView Trace()
    {
        var chance = new Random(1);
        LotKind[] stages = [LotKind.Harvest, LotKind.Sanitised, LotKind.Dried, LotKind.Bulk, LotKind.Dried, LotKind.Bulk, LotKind.Packed];
        var lots = Enumerable.Range(0, Lots).Select(index => new TraceLot(
            $"L{index}", stages[index * stages.Length / Lots], "back", DateTimeOffset.UnixEpoch.AddHours(index / 10.0), 100, 0, 100, 0, 0, 0, 0, 0, 0.1, null, null, null)).ToList();
        var each = Lots / stages.Length;
        var links = Enumerable.Range(each + 1, Lots - each - 1).SelectMany(index => Enumerable.Range(0, 1 + chance.Next(3))
            .Select(_ => new TraceLink($"L{Math.Max(0, index - each - chance.Next(12))}", $"L{index}", 10, DateTimeOffset.UnixEpoch)));
        return new TraceView("L0", TraceDirection.Both, lots, [.. links], []);
    }
}
