using System.Text.Json.Serialization;
using System.Text.Json;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Core.Time;
using Trace.Core.Units;

namespace Trace.Core.Steps.Receiving;

/// <summary>Fresh larvae come in.</summary>
/// <param name="Supplier">Who delivered them; one step back in every trace.</param>
/// <param name="MassGrams">Grams, above 0, at most three decimals.</param>
/// <param name="Lot">The supplier's or site's own code; left out, the site assigns one.</param>
/// <param name="MoistureFraction">Measured moisture of the larvae, wet basis, 0 to 1.</param>
/// <param name="MoistureUncertainty">Its standard uncertainty.</param>
public sealed record ReceiveLarvae(
    string Supplier, decimal MassGrams, DateTimeOffset HappenedAt, string? Lot = null, string? Species = null, string? Substrate = null,
    double? MoistureFraction = null, double? MoistureUncertainty = null, string? Note = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

public sealed record LarvaeReceived(
    string Lot, string Supplier, long MassMilligrams, string? Species, string? Substrate, double? MoistureFraction,
    double? MoistureUncertainty, string? Note) : IMakesLot
{
    public const string Type = "receiving.received";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at)
    {
        var lot = state.AddLot(Lot, LotKind.Harvest, at, new HarvestRecord
        {
            Supplier = state.Shared(Supplier),
            Species = state.Shared(Species),
            Substrate = state.Shared(Substrate),
            MoistureFraction = MoistureFraction,
            MoistureUncertainty = MoistureUncertainty,
        });
        lot.Made = Mass.FromMilligrams(MassMilligrams);
    }
}

public static class Receiving
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<ReceiveLarvae>(
            "receiving", "receive", "Records a delivery of fresh larvae and gives it a lot code.",
            Roles.Bench, Passages.None, ReceivingJson.Default.ReceiveLarvae, Decide) { Corrects = LarvaeReceived.Type },
    ];

    public static Decision Decide(ReceiveLarvae request, Situation situation)
    {
        var code = situation.IsCorrection || request.Lot is null ? situation.NewLot(LotKind.Harvest) : request.Lot;
        if (situation.State.IsTaken(code))
            return Decision.Refuse("lot.code-taken", $"{code} was used before. Leave 'lot' out and the site assigns a free code.", "lot");
        return Decision.Record(
            new LarvaeReceived(
                code, request.Supplier, Mass.FromGrams(request.MassGrams).Milligrams, request.Species, request.Substrate,
                request.MoistureFraction, request.MoistureUncertainty, request.Note),
            code);
    }
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(ReceiveLarvae))]
[JsonSerializable(typeof(LarvaeReceived))]
public sealed partial class ReceivingJson : JsonSerializerContext;
