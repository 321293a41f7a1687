using Trace.Benchmarks.Harness;
using Trace.Benchmarks.Plants;

namespace Trace.Benchmarks;

/// <summary>The page behind the label's code, against a line of plain text from the same server.</summary>
internal static class BuyerBenchmark
{
    private const int Clients = 8;

    public static Benchmark About { get; } = new("buyer", "lot pages a second for buyers", Run);

    private static List<Finding> Run(Plan plan)
    {
        var folder = Path.Combine(plan.Folder, "buyer");
        List<string> packed;
        using (var store = Storage.TraceStorage.Open(folder)) packed = PlantJournal.Fill(store, plan.Scale(20_000), TimeProvider.System.GetUtcNow().AddDays(-1));
        using var plant = new RunningPlant(folder);
        var requests = plan.Scale(4_000);
        var lot = packed[^1];
        var lots = plant.App.Site(PlantJournal.Site)!.ReadAsync(state => state.Graph.Reach([state.Find(lot)!.Index], back: true).Count).GetAwaiter().GetResult();
        double Get(string path, string accept, int each) => LoadClient.Rate(plant.Port, Clients, each / Clients, "GET", path, accept, "", 200);
        var page = $"/lot/{PlantJournal.Site}/{lot}";
        var series = Rounds.Play(
            plan.Rounds,
            new("plain text", () => Get(RunningPlant.PlainRoute, "", requests)),
            new("lot page", () => Get(page, "Accept: text/html\r\n", requests)),
            new("lot as JSON", () => Get(page, "Accept: application/json\r\n", requests)));
        return
        [
            .. series.Values.Select(one => Finding.Plain($"{one.Name}, {Clients} clients, a lot made from {lots - 1} others", one, " /s")),
            Finding.AtLeast("lot page ÷ plain text", series["lot page"].Over(series["plain text"]), 0.4),
            Finding.AtLeast("lot as JSON ÷ plain text", series["lot as JSON"].Over(series["plain text"]), 0.4) with { Goal = "", IsMet = null },
        ];
    }
}
