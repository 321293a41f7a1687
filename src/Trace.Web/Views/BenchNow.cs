using Trace.Core.Access;
using Trace.Core.Figures;
using Trace.Core.Holds;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Science.Moisture;
using Trace.Core.Specifications;
using Trace.Core.Tracing;
using Trace.Web.Pages;

namespace Trace.Web.Views;

/// <summary>
/// All that the screen at the bench needs to go on without a network: what stands where, what is next, and what is usual. Taken as it was
/// at <paramref name="Now"/>; the server has the last word about everything that is recorded from it.
/// </summary>
/// <param name="May">Names of the operations that the person may record.</param>
/// <param name="People">On an enrolled tablet, who else may have it in hand; empty elsewhere.</param>
/// <param name="Lots">Newest first, at most <see cref="MostLots"/>.</param>
public sealed record BenchNow(
    DateTimeOffset Now, BenchSite Site, string Person, IReadOnlyList<string> People, IReadOnlyList<string> May,
    IReadOnlyList<BenchLot> Lots, IReadOnlyList<BenchContainer> Containers, BenchHabits Habits)
{
    public const int MostLots = 300;

    public static BenchNow Of(SiteState state, Caller caller, IReadOnlyList<string> people, DateTimeOffset now) =>
        Of(state, caller, people, now, new HoldMemory());

    private static BenchNow Of(
        SiteState state, Caller caller, IReadOnlyList<string> people, DateTimeOffset now, HoldMemory memory) => new(
        now,
        new(state.Site.Code, state.Site.Name, state.Zone.Id, (int)state.Zone.Local(now).Offset.TotalMinutes,
            SiteDescription.IsTrainingCode(state.Site.Code)),
        caller.Person, people,
        [.. Core.Areas.Operations.Where(operation => (caller.Role & operation.Roles) != 0).Select(operation => operation.Name)],
        [.. BenchView.Standing(state).Take(MostLots).Select(standing => BenchLot.Of(state, standing.Lot, now, memory))],
        [.. state.Containers.Values.OrderBy(container => container.Code, StringComparer.Ordinal)
            .Select(container => new BenchContainer(container.Code, container.Lot))],
        BenchHabits.Of(state));
}

/// <param name="OffsetMinutes">Of the site's clock from UTC, now.</param>
public sealed record BenchSite(string Code, string Name, string Zone, int OffsetMinutes, bool IsTraining);

/// <summary>A container and the bulk lot inside; null while it is empty and clean.</summary>
public sealed record BenchContainer(string Container, string? Lot);

/// <param name="Next">Operation usually done next; null when there is nothing to do with it at the bench now.</param>
/// <param name="MassGrams">On hand; of a batch in the dryer, what went in.</param>
/// <param name="TargetGrams">Of a batch in the dryer: its mass when the predicted moisture is at the limit.</param>
/// <param name="LastGrams">Of a batch in the dryer: as last weighed.</param>
/// <param name="CoreCelsius">The last core reading.</param>
/// <param name="CoreAt">When it was taken.</param>
public sealed record BenchLot(
    string Lot, LotKind Kind, DateTimeOffset MadeAt, string Place, decimal MassGrams, string? Next, IReadOnlyList<Hold> Holds,
    string? Product = null, string? Container = null, long? Packs = null, string? Dryer = null, double? PowerWatts = null,
    int? Cycles = null, double? TargetGrams = null, decimal? LastGrams = null, double? CoreCelsius = null, DateTimeOffset? CoreAt = null)
{
    public static BenchLot Of(SiteState state, Lot lot, DateTimeOffset now, HoldMemory memory)
    {
        var holds = HoldRules.HoldsOn(state, lot, now, memory: memory);
        var view = new BenchLot(
            lot.Code, lot.Kind, lot.MadeAt, LotSummary.PlaceOf(lot), lot.OnHand.Grams, NextStep.Of(lot, holds), holds,
            lot.Specification?.Product);
        if (lot.Readings.Count > 0) view = view with { CoreCelsius = lot.Readings[^1].CoreCelsius, CoreAt = lot.Readings[^1].At };
        return lot.Record switch
        {
            DryingRecord { NeedsWeighOut: true } drying => view with
            {
                MassGrams = drying.MassIn.Grams,
                Dryer = drying.Dryer,
                PowerWatts = drying.PowerWatts,
                Cycles = drying.Cycles.Count,
                TargetGrams = DryingFigures.TargetOf(state, lot),
                LastGrams = drying.Cycles.LastOrDefault(cycle => cycle.MassAfter is not null).MassAfter?.Grams,
            },
            DryingRecord drying => view with { Dryer = drying.Dryer, PowerWatts = drying.PowerWatts, Cycles = drying.Cycles.Count },
            BulkRecord bulk => view with { Container = bulk.Container },
            PackedRecord packed => view with { Packs = lot.OnHand.Milligrams / packed.NetMass.Milligrams },
            _ => view,
        };
    }
}

/// <summary>How things were done the last time, to be offered again.</summary>
/// <param name="TargetShare">Share of the fresh mass in at which a batch is predicted to be at the moisture limit, by the book value.</param>
public sealed record BenchHabits(
    IReadOnlyList<string> Suppliers, IReadOnlyList<BatchHabit> Dryers, string? Method, IReadOnlyList<ProductHabit> Products,
    IReadOnlyList<string> Instruments, double? RoomCelsius, double? TargetShare)
{
    /// <summary>How many of the newest lots are asked for their ways.</summary>
    private const int Remembered = 400;

    public static BenchHabits Of(SiteState state)
    {
        var suppliers = new List<string>();
        var dryers = new List<BatchHabit>();
        string? method = null;
        double? room = null;
        for (var index = state.Lots.Count - 1; index >= Math.Max(0, state.Lots.Count - Remembered); index--)
        {
            var lot = state.Lots[index];
            switch (lot.Kind)
            {
                case LotKind.Harvest
                    when lot.Record is HarvestRecord harvest && !suppliers.Contains(harvest.Supplier) && suppliers.Count < 8:
                    suppliers.Add(harvest.Supplier);
                    break;
                case LotKind.Sanitised:
                    method ??= ((SanitisingRecord)lot.Record).Method;
                    break;
                case LotKind.Dried when lot.Record is DryingRecord drying && dryers.All(known => known.Dryer != drying.Dryer):
                    dryers.Add(BatchHabit.Of(drying, lot));
                    break;
            }

            if (lot.Kind == LotKind.Dried && lot.Readings.Count > 0) room ??= lot.Readings[^1].RoomCelsius;
        }

        var limits = state.Specifications.Default.Drying;
        return new(
            suppliers, dryers, method,
            [.. state.Specifications.Products.Where(product => state.Specifications.Approved(product) is not null)
                .Select(product => new ProductHabit(product, state.Specifications.Approved(product)!.Specification.Label.PackSizesGrams))],
            [.. state.Instruments.Keys.Order(StringComparer.Ordinal)], room,
            limits.LargestMoistureFraction is { } limit and > 0 and < 1
                ? DryingAdvice.TargetGrams(1, new(limits.FreshMoistureFraction, limits.FreshMoistureUncertainty), limit)
                : null);
    }
}

/// <param name="Cycles">How many the last batch had; 0 when nothing is known of them.</param>
public sealed record BatchHabit(string Dryer, double PowerWatts, string? Product, int Cycles, int Seconds, int VentSeconds)
{
    public static BatchHabit Of(DryingRecord drying, Lot lot)
    {
        var last = drying.Cycles.Count > 0 ? drying.Cycles[^1] : default;
        var vent = drying.Cycles.Select(cycle => cycle.VentSeconds).LastOrDefault(seconds => seconds > 0);
        return new(drying.Dryer, drying.PowerWatts, lot.Specification?.Product, drying.Cycles.Count, last.Seconds, vent);
    }
}

public sealed record ProductHabit(string Product, IReadOnlyList<decimal> PackSizesGrams);
