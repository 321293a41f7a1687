using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Core.Units;

namespace Trace.Core.Figures;

/// <summary>A drying batch that was weighed out on the day.</summary>
/// <param name="YieldPercent">Mass out ÷ the fresh mass that went in; rework in it counts as the fresh mass it came from.</param>
public sealed record DayBatch(string Lot, string Dryer, decimal InGrams, decimal OutGrams, double YieldPercent, double? MainsKilowattHours);

/// <summary>What went in and out of a step on the day. The loss is their difference; in the dryer most of it is water.</summary>
public sealed record DayStep(string Step, int Count, decimal InGrams, decimal OutGrams)
{
    public decimal LossGrams => InGrams - OutGrams;
}

/// <summary>
/// One day of the site, by its own calendar: total in, total out, yield, losses, energy. Computed from what counts now, so a correction
/// changes the sheet of the day that it is about.
/// </summary>
/// <param name="YieldPercent">Dried out ÷ fresh mass in, over all batches weighed out; null without one.</param>
/// <param name="MainsKilowattHours">Of those batches, by rated power and heating time.</param>
/// <param name="EnergyCost">In <paramref name="Currency"/>; null while the site told no price.</param>
/// <param name="MissingGrams">Unaccounted for, over the lots that were at work on the day, whenever it was found out.</param>
public sealed record DaySheet(
    DateOnly Day, decimal ReceivedGrams, int Deliveries, IReadOnlyList<DayStep> Steps, double? YieldPercent, double MainsKilowattHours,
    double? EnergyCost, string? Currency, int PacksMade, int PacksShipped, decimal ShippedGrams, decimal MissingGrams,
    decimal DisposedGrams, IReadOnlyList<DayBatch> Batches)
{
    /// <param name="atWork">Codes of lots that entries of the day name; others of the day may be left out of it.</param>
    public static DaySheet Of(SiteState state, DateOnly day, IEnumerable<string> atWork)
    {
        bool IsOfDay(DateTimeOffset at) => state.Zone.DateOf(at) == day;
        var lots = atWork.Distinct().Select(state.Find).OfType<Lot>().ToList();
        var made = lots.Where(lot => IsOfDay(lot.MadeAt)).ToList();
        var harvests = made.Where(lot => lot.Kind == LotKind.Harvest).ToList();
        var runs = made.Select(lot => (Lot: lot, Run: lot.Record as SanitisingRecord)).Where(one => one.Run is not null).ToList();
        var dried = lots.Select(lot => (Lot: lot, Batch: lot.Record as DryingRecord))
            .Where(one => one.Batch?.LastWeighOut is { } last && IsOfDay(last.At)).ToList();
        var packed = made.Select(lot => (Lot: lot, Pack: lot.Record as PackedRecord)).Where(one => one.Pack is not null).ToList();
        var shipped = lots.SelectMany(lot => lot.Shipments).Where(line => IsOfDay(line.At)).ToList();
        var batches = dried.Select(one => new DayBatch(
            one.Lot.Code, one.Batch!.Dryer, one.Batch.MassIn.Grams, one.Batch.LastWeighOut!.MassOut.Grams,
            one.Batch.LastWeighOut.MassOut.GramsApprox / one.Batch.FreshGrams * 100,
            EnergyFigures.Of(state, one.Lot)?.MainsKilowattHours)).ToList();
        var (dryIn, dryOut) = (batches.Sum(one => one.InGrams), batches.Sum(one => one.OutGrams));
        var (fresh, mains) = (dried.Sum(one => one.Batch!.FreshGrams), batches.Sum(one => one.MainsKilowattHours ?? 0));
        return new DaySheet(
            day, Sum(harvests.Select(lot => lot.Made)), harvests.Count,
            [
                new("Sanitising", runs.Count, Sum(runs.Select(one => one.Run!.MassIn)), Sum(runs.Select(one => one.Lot.Made))),
                new("Drying", batches.Count, dryIn, dryOut),
                new("Packing", packed.Count, Sum(packed.Select(one => one.Pack!.MassIn)), Sum(packed.Select(one => one.Lot.Made))),
            ],
            fresh > 0 ? (double)dryOut / fresh * 100 : null, mains, mains * (double?)state.Site.EnergyPrice, state.Site.Currency,
            packed.Sum(one => one.Pack!.Packs), shipped.Sum(line => line.Packs), Sum(shipped.Select(line => line.Mass)),
            Sum(lots.Select(lot => lot.Unaccounted)), Sum(lots.Select(lot => lot.Disposed)), batches);
    }

    private static decimal Sum(IEnumerable<Mass> masses) => Mass.Sum(masses).Grams;
}
