using Trace.Core.Holds;
using Trace.Core.Lots;
using Trace.Core.Specifications;
using Dates = Trace.Core.Lots.BestBefore;

namespace Trace.Core.Tracing;

/// <summary>
/// A lot as the API and the pages show it: plain data taken out of the state. All masses in grams; what was made equals what is on hand
/// plus all that went, to the milligram.
/// </summary>
public sealed record LotSummary(
    string Lot, LotKind Kind, DateTimeOffset MadeAt, string? Product, int? SpecificationVersion, decimal MadeGrams, decimal OnHandGrams,
    decimal UsedGrams, decimal ShippedGrams, decimal ReturnedGrams, decimal SampledGrams, decimal DisposedGrams, decimal UnaccountedGrams,
        int? Packs,
    int? PacksShipped,
    decimal? NetMassGrams, DateOnly? ProductionDate, DateOnly? BestBefore, string? Supplier, string? Dryer, string? Container, string Place,
    IReadOnlyList<Hold> Holds, bool ShippedWhileHeld, NetQuantityReport? NetQuantity = null)
{
    public static LotSummary Of(SiteState state, Lot lot, DateTimeOffset now)
    {
        var holds = HoldRules.StandingOn(state, lot, now);
        var packed = lot.Record as PackedRecord;
        return new LotSummary(
            lot.Code, lot.Kind, lot.MadeAt, lot.Specification?.Product, lot.Specification?.Version, lot.Made.Grams, lot.OnHand.Grams,
            lot.Used.Grams, lot.Shipped.Grams, lot.Returned.Grams, lot.Sampled.Grams, lot.Disposed.Grams, lot.Unaccounted.Grams,
                packed?.Packs,
            packed?.PacksShipped,
            packed?.NetMass.Grams, Dates.ProductionDate(state, lot), Dates.Of(state, lot),
            (lot.Record as HarvestRecord)?.Supplier, (lot.Record as DryingRecord)?.Dryer, (lot.Record as BulkRecord)?.Container,
            PlaceOf(lot), holds, ShippedHeld(lot, holds), NetQuantityReport.Of(state, lot, now));
    }

    /// <summary>
    /// Shipped while held: packs are with customers, and a hold stands now. That best before has passed meanwhile is no such case.
    /// </summary>
    public static bool ShippedHeld(Lot lot, IReadOnlyList<Hold> holds) =>
        lot.Record is PackedRecord { PacksShipped: > 0 } && holds.Any(hold => hold.Rule != "date.passed");

    /// <summary>Where the lot stands in the plant, in a word or two.</summary>
    public static string PlaceOf(Lot lot) => lot.Record switch
    {
        DryingRecord { NeedsWeighOut: true } drying => $"in dryer {drying.Dryer}",
        BulkRecord { IsClosedOff: true } => "ended by a clean break",
        BulkRecord bulk => $"in container {bulk.Container}",
        _ when lot.OnHand.Milligrams <= 0 && lot.Returned.Milligrams > 0 => "came back, stands apart",
        _ when lot.OnHand.Milligrams <= 0 => "all gone on",
        DryingRecord => "cooling or waiting for a container",
        PackedRecord => "packed, in store",
        SanitisingRecord => "waiting for the dryer",
        _ => "waiting to be sanitised",
    };
}
