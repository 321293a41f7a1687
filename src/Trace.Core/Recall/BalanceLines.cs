using System.Text.Json.Serialization;
using Trace.Core.Lots;
using Trace.Core.Shipments;
using Trace.Core.Specifications;
using Trace.Core.Steps.Drying;
using Trace.Core.Steps.Filling;
using Trace.Core.Steps.Packing;
using Trace.Core.Steps.Receiving;
using Trace.Core.Steps.Sanitising;
using Trace.Core.Stock;

namespace Trace.Core.Recall;

/// <summary>The figures of a lot's balance.</summary>
[JsonConverter(typeof(WordConverter<BalanceFigure>))]
public enum BalanceFigure
{
    Made,
    Used,
    Shipped,
    Returned,
    Sampled,
    Disposed,
    Unaccounted,
}

/// <summary>What counts of a journal entry: the event as it was recorded, or what a correction says instead.</summary>
/// <param name="CorrectedBy">The entry of the correction, if there was one.</param>
public sealed record CountedEntry(long Seq, DateTimeOffset HappenedAt, string Person, ITraceEvent Happened, long? CorrectedBy);

/// <summary>One entry's part in one figure. The parts of a figure add up to it, to the milligram.</summary>
/// <param name="With">The other lot, the customer, or the reason.</param>
public sealed record BalanceLine(
    BalanceFigure Figure, decimal MassGrams, DateTimeOffset At, string What, string? With, string Person, long Seq, long? CorrectedBy);

/// <summary>
/// A lot's balance out of its own entries, one by one: the same sums as the fold's, reached by another way. What a stock count or a clean
/// break finds is the difference to what was left by then.
/// </summary>
public static class BalanceLines
{
    /// <param name="entries">All that count and touch the lot, in the order of the journal.</param>
    public static IReadOnlyList<BalanceLine> Of(string lot, IEnumerable<CountedEntry> entries)
    {
        var ledger = new Ledger(lot);
        foreach (var entry in entries) ledger.Enter(entry);
        return ledger.Lines;
    }

    private sealed class Ledger(string lot)
    {
        private readonly long[] sums = new long[Enum.GetValues<BalanceFigure>().Length];

        public List<BalanceLine> Lines { get; } = [];

        private long OnHand => sums[(int)BalanceFigure.Made] - sums[1..].Sum();

        public void Enter(CountedEntry entry)
        {
            switch (entry.Happened)
            {
                case LarvaeReceived received:
                    Add(entry, BalanceFigure.Made, received.MassMilligrams, "received", received.Supplier);
                    break;
                case LarvaeSanitised run:
                    if (run.Lot == lot) Add(entry, BalanceFigure.Made, run.MassOutMilligrams, "sanitised", null);
                    Take(entry, run.Inputs, "sanitised", run.Lot);
                    break;
                case DryingStarted started:
                    Take(entry, started.Inputs, "into the dryer", started.Lot);
                    break;
                case BatchWeighedOut weighed:
                    Add(entry, BalanceFigure.Made, weighed.MassOutMilligrams - sums[(int)BalanceFigure.Made], "weighed out", null);
                    break;
                case ContainerFilled filled:
                    if (filled.Lot == lot)
                        foreach (var input in filled.Inputs) Add(entry, BalanceFigure.Made, input.MassMilligrams, "filled in", input.Lot);
                    Take(entry, filled.Inputs, $"into container {filled.Container}", filled.Lot);
                    break;
                case ContainerCleaned:
                    Add(entry, BalanceFigure.Unaccounted, OnHand, "left at the clean break", null);
                    break;
                case LotPacked packed:
                    if (packed.Lot == lot)
                        Add(entry, BalanceFigure.Made, packed.Packs * packed.NetMassMilligrams, $"packed, {packed.Packs} packs", null);
                    Take(entry, packed.Inputs, "packed", packed.Lot);
                    break;
                case StockDisposed disposed:
                    Add(entry, BalanceFigure.Disposed, disposed.MassMilligrams, "disposed of", disposed.Reason);
                    break;
                case StockSampled sampled:
                    Add(entry, BalanceFigure.Sampled, sampled.MassMilligrams, "sample", sampled.Reason);
                    break;
                case StockCounted counted:
                    Add(entry, BalanceFigure.Unaccounted, OnHand - counted.MassMilligrams, "missing at a count", counted.Reason);
                    break;
                default:
                    EnterPacks(entry);
                    break;
            }
        }

        /// <summary>What is told in packs: their net mass is known from when they were packed.</summary>
        private void EnterPacks(CountedEntry entry)
        {
            switch (entry.Happened)
            {
                case PacksShipped shipped:
                    foreach (var line in shipped.Lines.Where(line => line.Lot == lot))
                        Add(entry, BalanceFigure.Shipped, Packs(line.Packs), $"shipped, {line.Packs} packs, {shipped.Reference}", shipped.Customer);
                    break;
                case GoodsReturned back:
                    foreach (var line in back.Lines.Where(line => line.Lot == lot))
                    {
                        Add(entry, BalanceFigure.Shipped, -Packs(line.Packs), $"came back, {line.Packs} packs, {back.Reference}", back.Customer);
                        Add(entry, BalanceFigure.Returned, Packs(line.Packs), $"came back, {line.Packs} packs, {back.Reference}", back.Customer);
                    }

                    break;
                case GoodsDestroyed destroyed when destroyed.Lot == lot:
                    var from = destroyed.Customer is null ? BalanceFigure.Returned : BalanceFigure.Shipped;
                    Add(entry, from, -Packs(destroyed.Packs), $"destroyed, {destroyed.Packs} packs, {destroyed.Proof}", destroyed.Customer);
                    Add(entry, BalanceFigure.Disposed, Packs(destroyed.Packs), $"destroyed, {destroyed.Packs} packs, {destroyed.Proof}", destroyed.Customer);
                    break;
            }
        }

        private long net;

        private long Packs(int packs) => net * packs;

        private void Take(CountedEntry entry, IReadOnlyList<LotMass> inputs, string what, string into)
        {
            foreach (var input in inputs.Where(input => input.Lot == lot)) Add(entry, BalanceFigure.Used, input.MassMilligrams, what, into);
        }

        private void Add(CountedEntry entry, BalanceFigure figure, long milligrams, string what, string? with)
        {
            if (entry.Happened is LotPacked packed && packed.Lot == lot) net = packed.NetMassMilligrams;
            sums[(int)figure] += milligrams;
            Lines.Add(new(figure, milligrams / 1000m, entry.HappenedAt, what, with, entry.Person, entry.Seq, entry.CorrectedBy));
        }
    }
}
