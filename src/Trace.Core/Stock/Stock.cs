using System.Text.Json.Serialization;
using System.Text.Json;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Time;
using Trace.Core.Units;

namespace Trace.Core.Stock;

/// <summary>Some of a lot is disposed of, taken as a sample, or all of it is counted.</summary>
/// <param name="MassGrams">Grams; or <paramref name="Packs"/> for packed lots: one of the two.</param>
/// <param name="Reason">Why, in words.</param>
public sealed record StockRequest(
    string Lot, string Reason, DateTimeOffset HappenedAt, decimal? MassGrams = null, int? Packs = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => [new(Lot, "lot")];
}

public sealed record StockDisposed(string Lot, long MassMilligrams, string Reason) : ITraceEvent
{
    public const string Type = "stock.disposed";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at) => state.Get(Lot).Disposed += Mass.FromMilligrams(MassMilligrams);
}

public sealed record StockSampled(string Lot, long MassMilligrams, string Reason) : ITraceEvent
{
    public const string Type = "stock.sampled";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at) => state.Get(Lot).Sampled += Mass.FromMilligrams(MassMilligrams);
}

/// <summary>What was found. A difference from what the record expects is shown as unaccounted, never absorbed.</summary>
public sealed record StockCounted(string Lot, long MassMilligrams, string Reason) : ITraceEvent
{
    public const string Type = "stock.counted";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at)
    {
        var lot = state.Get(Lot);
        lot.Unaccounted += lot.OnHand - Mass.FromMilligrams(MassMilligrams);
    }
}

public static class Stock
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<StockRequest>(
            "stock", "dispose", "Records product thrown away or otherwise disposed of.",
            Roles.Bench, Passages.None, StockJson.Default.StockRequest,
            (request, situation) => Take(request, situation, mass => new StockDisposed(request.Lot, mass.Milligrams, request.Reason)))
        { Corrects = StockDisposed.Type },
        new Operation<StockRequest>(
            "stock", "sample", "Records product taken as a sample.",
            Roles.Bench, Passages.None, StockJson.Default.StockRequest,
            (request, situation) => Take(request, situation, mass => new StockSampled(request.Lot, mass.Milligrams, request.Reason)))
        { Corrects = StockSampled.Type },
        new Operation<StockRequest>(
            "stock", "count", "Records how much of a lot was found; the difference shows as unaccounted.",
            Roles.Bench, Passages.None, StockJson.Default.StockRequest, Count) { Corrects = StockCounted.Type },
    ];

    private static Decision Take(StockRequest request, Situation situation, Func<Mass, ITraceEvent> happened)
    {
        var lot = situation.Lot(request.Lot);
        if (Check(request, lot, out var mass) is { } refusal) return Decision.Refuse(refusal);
        if (mass == Mass.Zero)
            return Decision.Refuse("mass.not-there", "Nothing was taken: give a mass or packs above 0.", request.Packs is null ? "massGrams" : "packs");
        var tolerance = Mass.FromMilligrams((long)(situation.State.SpecificationOf(lot).Handling.BalanceToleranceGrams * 1000));
        if (mass > lot.OnHand + tolerance)
        {
            return Decision.Refuse(
                "mass.not-there", $"Lot {lot.Code} has {lot.OnHand} on hand; {mass} was asked for.", request.Packs is null ? "massGrams" : "packs");
        }

        return Decision.Record(happened(mass), lot.Code);
    }

    private static Decision Count(StockRequest request, Situation situation)
    {
        var lot = situation.Lot(request.Lot);
        if (Check(request, lot, out var mass) is { } refusal) return Decision.Refuse(refusal);
        return Decision.Record(new StockCounted(lot.Code, mass.Milligrams, request.Reason), lot.Code);
    }

    private static Refusal? Check(StockRequest request, Lot lot, out Mass mass)
    {
        mass = Mass.Zero;
        if (request.Packs is { } packs)
        {
            if (lot.Record is not PackedRecord packed)
                return new("lot.wrong-kind", $"Lot {lot.Code} is {Words.A(lot.Kind)} lot and has no packs. Give 'massGrams'.", "packs");
            mass = packed.NetMass * packs;
        }
        else
        {
            mass = Mass.FromGrams(request.MassGrams!.Value);
        }

        if (lot.IsInProcess) return new("lot.in-process", $"Batch {lot.Code} is still in the dryer: weigh it out first.", "lot");
        return lot.MadeAt > request.HappenedAt
            ? new("time.order", $"Lot {lot.Code} was made at {lot.MadeAt:yyyy-MM-dd HH:mm:ss zzz}, after the time given.", "happenedAt")
            : null;
    }
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(StockRequest))]
[JsonSerializable(typeof(StockDisposed))]
[JsonSerializable(typeof(StockSampled))]
[JsonSerializable(typeof(StockCounted))]
public sealed partial class StockJson : JsonSerializerContext;
