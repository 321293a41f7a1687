using System.Text.Json.Serialization;
using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Core.Units;

namespace Trace.Core.Tracing;

[JsonConverter(typeof(WordConverter<TraceDirection>))]
public enum TraceDirection
{
    /// <summary>What the lot came from.</summary>
    Back,

    /// <summary>What the lot went into, and who got it.</summary>
    Forward,
    Both,
}

/// <summary>One lot of a trace. Grams.</summary>
/// <param name="Direction">Whether it lies before the asked lot, after it, or is the lot itself (<c>self</c>).</param>
/// <param name="ExpectedShare">
/// Back: the share of the asked lot that came through this one. Forward: the share of this lot that came from the asked one. Assumes
/// perfect mixing; it ranks and never leaves a lot out.
/// </param>
public sealed record TraceLot(
    string Lot, LotKind Kind, string Direction, DateTimeOffset MadeAt, decimal MadeGrams, decimal OnHandGrams, decimal UsedGrams,
    decimal ShippedGrams, decimal ReturnedGrams,
    decimal SampledGrams, decimal DisposedGrams, decimal UnaccountedGrams, double ExpectedShare, string? Supplier, string? Dryer,
    string? Container);

public sealed record TraceLink(string From, string To, decimal MassGrams, DateTimeOffset PassedAt);

/// <summary>Who got packs of a lot.</summary>
public sealed record TraceConsignee(
    string Customer, string Lot, string Shipment, string Reference, int Packs, decimal MassGrams, DateTimeOffset ShippedAt);

public sealed record TraceView(
    string Lot, TraceDirection Direction, IReadOnlyList<TraceLot> Lots, IReadOnlyList<TraceLink> Links,
    IReadOnlyList<TraceConsignee> Consignees)
{
    /// <summary>Reachability along every positive mass, however small. Cost follows the answer, not the history.</summary>
    public static TraceView Of(SiteState state, Lot lot, TraceDirection direction)
    {
        var back = direction == TraceDirection.Forward ? [] : state.Graph.Reach([lot.Index], back: true);
        var forward = direction == TraceDirection.Back ? [] : state.Graph.Reach([lot.Index], back: false);

        // Corrections can tell a circle, in which no order and so no share exists: its lots are shown all the same.
        var backShares = Shares.Back(state, lot.Index, back);
        var forwardShares = Shares.Forward(state, [lot.Index], forward);
        var lots = back.Where(index => index != lot.Index).Select(index => Line(state.Lots[index], "back", backShares.GetValueOrDefault(index)))
            .Append(Line(lot, "self", 1))
            .Concat(forward.Where(index => index != lot.Index).Select(index =>
                Line(state.Lots[index], "forward", forwardShares.GetValueOrDefault(index))));
        var links = back.SelectMany(state.Graph.Inputs).Concat(forward.SelectMany(state.Graph.Outputs)).Distinct()
            .Select(edge => new TraceLink(state.Lots[edge.From].Code, state.Lots[edge.To].Code, edge.Mass.Grams,
                state.Zone.Local(edge.PassedAt)));
        var reached = direction == TraceDirection.Back ? [lot.Index] : forward;
        return new TraceView(lot.Code, direction, [.. lots], [.. links], [.. reached.SelectMany(index => ConsigneesOf(state.Lots[index]))]);
    }

    public static IEnumerable<TraceConsignee> ConsigneesOf(Lot lot) => lot.Shipments.Select(line => new TraceConsignee(
        line.Customer, lot.Code, line.Shipment, line.Reference, line.Packs, line.Mass.Grams, line.At));

    private static TraceLot Line(Lot lot, string direction, double share) => new(
        lot.Code, lot.Kind, direction, lot.MadeAt, lot.Made.Grams, lot.OnHand.Grams, lot.Used.Grams, lot.Shipped.Grams,
            lot.Returned.Grams, lot.Sampled.Grams,
        lot.Disposed.Grams, lot.Unaccounted.Grams, Math.Round(share, 6), (lot.Record as HarvestRecord)?.Supplier,
        (lot.Record as DryingRecord)?.Dryer, (lot.Record as BulkRecord)?.Container);
}
