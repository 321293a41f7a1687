using Trace.Core.Lots;
using Trace.Core.Units;

namespace Trace.Benchmarks.Plants;

/// <summary>
/// Only the lots and edges of such a plant, with some chance in it, for sites of millions of lots: 2 harvests, 4 runs, 60 batches,
/// 2 containers of 20 to 40 batches (one in five takes what the last one left), 8 packed lots a day.
/// </summary>
internal sealed class PlantGraph
{
    private readonly List<int> from = [];
    private readonly List<int> to = [];

    private PlantGraph(int lots)
    {
        var chance = new Random(20261125);
        var day = new DateTimeOffset(2000, 1, 1, 6, 0, 0, TimeSpan.Zero);
        int[] lastBulks = [-1, -1];
        while (Graph.LotCount < lots)
        {
            int[] harvests = [Harvest(), Harvest()];
            int[] runs = [.. Enumerable.Range(0, 4).Select(run => Made(day, harvests[run / 2]))];
            int[] batches = [.. Enumerable.Range(0, 60).Select(batch => Made(day, runs[batch / 15]))];
            var share = chance.Next(20, 41);
            int[] bulks = [Made(day, batches.AsSpan(0, share)), Made(day, batches.AsSpan(share))];
            for (var place = 0; place < 2; place++)
                if (lastBulks[place] >= 0 && chance.Next(5) == 0) Edge(lastBulks[place], bulks[place], day);
            lastBulks = bulks;
            for (var pack = 0; pack < 8; pack++) Packs.Add(Made(day, bulks[pack % 2]));
            day = day.AddDays(1);
        }
    }

    public LotGraph Graph { get; } = new();

    /// <summary>Lots to trace forward from.</summary>
    public List<int> Harvests { get; } = [];

    /// <summary>Lots to trace back from.</summary>
    public List<int> Packs { get; } = [];

    public IReadOnlyList<int> From => from;

    public IReadOnlyList<int> To => to;

    public static PlantGraph Of(int lots) => new(lots);

    private int Harvest()
    {
        Harvests.Add(Graph.AddLot());
        return Harvests[^1];
    }

    private int Made(DateTimeOffset at, params ReadOnlySpan<int> inputs)
    {
        var lot = Graph.AddLot();
        foreach (var input in inputs) Edge(input, lot, at);
        return lot;
    }

    private void Edge(int source, int target, DateTimeOffset at)
    {
        Graph.AddEdge(source, target, Mass.FromMilligrams(1), at);
        from.Add(source);
        to.Add(target);
    }
}
