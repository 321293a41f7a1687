using Trace.Core.Lots;
using Trace.Core.Science.Exposure;
using Trace.Core.Specifications;

namespace Trace.Core.Figures;

/// <summary>A container in use, and what a recall of its content would take back today.</summary>
/// <param name="Batches">Drying batches in it.</param>
/// <param name="RecallGrams">What is on hand of it and of all lots made from it, and what of them is with customers.</param>
public sealed record OpenContainer(
    string Container, string Lot, DateTimeOffset Since, int Batches, decimal OnHandGrams, decimal RecallGrams, decimal ShippedGrams);

/// <summary>What one bad drying batch would take back under another habit with containers.</summary>
/// <param name="LotGrams">Largest bulk lot under that habit.</param>
public sealed record ContainerHabit(string Habit, double LotGrams, double RecallGrams);

/// <summary>
/// What the way of filling containers costs when a batch turns out bad: counted in the drying batches of a period, each taken as equally
/// likely to be the bad one. Reachability, not shares: a few grams poured over pull the whole lot in.
/// </summary>
/// <param name="Batches">Drying batches of the period that were weighed out.</param>
/// <param name="MeanRecallGrams">Mean over the batches of what a recall would take back: the lots that hold some of it, whole.</param>
/// <param name="WorstRecallGrams">The largest.</param>
/// <param name="WorstBatch">Its lot code.</param>
/// <param name="BatchDispersion">Batches × finished lots that hold some of them, counted from both sides.</param>
/// <param name="Habits">The present habit and smaller lots; computed from mean masses, so a comparison, not a forecast.</param>
/// <param name="Truncated">Only the newest batches of the period were looked at.</param>
public sealed record RecallExposure(
    int Days, int Batches, double MeanBatchGrams, double MeanRecallGrams, double WorstRecallGrams, string? WorstBatch, int BulkLots,
    double MeanBulkGrams, double MeanBatchesPerBulkLot, int BatchDispersion, IReadOnlyList<ContainerHabit> Habits,
    IReadOnlyList<OpenContainer> Open, bool Truncated)
{
    /// <summary>So many batches are followed forward at most: the state is locked meanwhile.</summary>
    public const int MostBatches = 2_000;

    /// <param name="days">Length of the period up to now, 1 to 366.</param>
    public static RecallExposure Of(SiteState state, int days, DateTimeOffset now)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(days, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(days, 366);
        var from = now.AddDays(-days);
        var batches = new List<Lot>();
        var bulk = new List<Lot>();
        var truncated = false;
        for (var index = state.Lots.Count - 1; index >= 0 && !truncated; index--)
        {
            var lot = state.Lots[index];
            if (lot.MadeAt < from) continue;
            if (lot.Kind == LotKind.Bulk) bulk.Add(lot);
            if (lot.Kind != LotKind.Dried || lot.Made.Milligrams <= 0) continue;
            if (batches.Count == MostBatches) truncated = true;
            else batches.Add(lot);
        }

        var reached = batches.Select(batch => state.Graph.Reach([batch.Index], back: false)
            .Select(index => state.Lots[index]).ToList()).ToList();
        var masses = reached.Select(lots => lots.Sum(MassOf)).ToList();
        var worst = masses.Count == 0 ? -1 : masses.IndexOf(masses.Max());
        var meanBatch = Mean(batches.Select(batch => batch.Made.GramsApprox));
        var meanBulk = Mean(bulk.Select(lot => lot.Made.GramsApprox));
        var inBulk = bulk.Select(lot => state.Graph.Inputs(lot.Index).Select(edge => edge.From).Distinct().Count());
        return new(
            days, batches.Count, meanBatch, Mean(masses), worst < 0 ? 0 : masses[worst], worst < 0 ? null : batches[worst].Code, bulk.Count,
            meanBulk, Mean(inBulk.Select(count => (double)count)), Dispersion(reached), HabitsOf(state, bulk, meanBatch, meanBulk),
            [.. state.Containers.Values.Where(container => container.Lot is not null)
                .OrderBy(container => container.Code, StringComparer.Ordinal).Select(container => OpenOne(state, container))],
            truncated);
    }

    /// <summary>
    /// What a recall of the lot itself takes back: what is left of it or with customers. What went on counts where it went.
    /// </summary>
    private static double MassOf(Lot lot) => lot.OnHand.GramsApprox + lot.Shipped.GramsApprox + lot.Sampled.GramsApprox;

    private static OpenContainer OpenOne(SiteState state, Container container)
    {
        var lot = state.Get(container.Lot!);
        var lots = state.Graph.Reach([lot.Index], back: false).Select(index => state.Lots[index]).ToList();
        return new(
            container.Code, lot.Code, lot.MadeAt,
            state.Graph.Reach([lot.Index], back: true).Count(index => state.Lots[index].Kind == LotKind.Dried), lot.OnHand.Grams,
            lots.Sum(one => one.OnHand.Grams + one.Shipped.Grams), lots.Sum(one => one.Shipped.Grams));
    }

    private static int Dispersion(List<List<Lot>> reached)
    {
        var outputs = new Dictionary<int, int>();
        var links = new List<DispersionLink>();
        for (var input = 0; input < reached.Count; input++)
        {
            foreach (var lot in reached[input].Where(lot => lot.Kind == LotKind.Packed))
            {
                if (!outputs.TryGetValue(lot.Index, out var output)) outputs[lot.Index] = output = outputs.Count;
                links.Add(new(input, output));
            }
        }

        return Science.Exposure.BatchDispersion.Count(reached.Count, outputs.Count, links).Batch;
    }

    private static List<ContainerHabit> HabitsOf(SiteState state, List<Lot> bulk, double meanBatch, double meanBulk)
    {
        if (meanBatch <= 0 || meanBulk < meanBatch) return [];
        var habits = new List<ContainerHabit> { Habit("as now", meanBulk) };
        foreach (var (name, part) in new[] { ("containers of half the size", 2.0), ("containers of a quarter of the size", 4.0) })
        {
            if (meanBulk / part >= meanBatch) habits.Add(Habit(name, meanBulk / part));
        }

        // What goes into one container on one day: the lot that a clean break each evening would end.
        var daily = Mean(bulk.SelectMany(lot => state.Graph.Inputs(lot.Index).GroupBy(edge => state.Zone.DateOf(edge.PassedAt))
            .Select(day => day.Sum(edge => edge.Mass.GramsApprox))));
        if (daily >= meanBatch && daily < meanBulk) habits.Add(Habit("a clean break each day", daily));
        return habits;

        ContainerHabit Habit(string name, double lotGrams) => new(name, lotGrams, RecallSize.Expected(lotGrams, meanBatch, split: true));
    }

    private static double Mean(IEnumerable<double> values)
    {
        var (sum, count) = (0.0, 0);
        foreach (var value in values) (sum, count) = (sum + value, count + 1);
        return count == 0 ? 0 : sum / count;
    }
}
