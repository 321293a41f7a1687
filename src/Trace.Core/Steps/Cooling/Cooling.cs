using System.Text.Json.Serialization;
using System.Text.Json;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Core.Time;

namespace Trace.Core.Steps.Cooling;

/// <summary>A core temperature while the product cools.</summary>
/// <param name="CoreCelsius">In the middle of the product, °C. A surface or air reading does not count.</param>
/// <param name="RoomCelsius">Of the room it cools in, °C.</param>
/// <param name="RelativeHumidityPercent">Of the room, above 0 to 100.</param>
public sealed record ReadCooling(
    string Lot, double CoreCelsius, double RoomCelsius, DateTimeOffset HappenedAt, double? RelativeHumidityPercent = null,
    string? Instrument = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => [new(Lot, "lot")];
}

public sealed record CoolingRead(string Lot, double CoreCelsius, double RoomCelsius, double? RelativeHumidityPercent,
    string? Instrument) : ITraceEvent
{
    public const string Type = "cooling.read";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at)
    {
        var lot = state.Get(Lot);
        lot.Readings = lot.Readings.InOrder(
            new CoolingReading(at.Seq, at.HappenedAt, CoreCelsius, RoomCelsius, RelativeHumidityPercent, state.Shared(Instrument)),
            (left, right) => left.At != right.At ? left.At.CompareTo(right.At) : left.Seq.CompareTo(right.Seq));
    }
}

public static class Cooling
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<ReadCooling>(
            "cooling", "reading", "Records a core temperature while product cools.",
            Roles.Bench, Passages.None, CoolingJson.Default.ReadCooling, Decide) { Corrects = CoolingRead.Type },
    ];

    public static Decision Decide(ReadCooling request, Situation situation)
    {
        var lot = situation.Lot(request.Lot);
        if (lot.Kind is LotKind.Harvest or LotKind.Sanitised)
            return Decision.Refuse("lot.wrong-kind", $"Lot {lot.Code} is {Words.A(lot.Kind)} lot; only dried product is cooled.", "lot");
        if (lot.MadeAt > request.HappenedAt)
            return Decision.Refuse("time.order", $"Lot {lot.Code} was made at {lot.MadeAt:yyyy-MM-dd HH:mm:ss zzz}, after the time given.", "happenedAt");
        return Decision.Record(
            new CoolingRead(lot.Code, request.CoreCelsius, request.RoomCelsius, request.RelativeHumidityPercent, request.Instrument),
            lot.Code);
    }
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(ReadCooling))]
[JsonSerializable(typeof(CoolingRead))]
public sealed partial class CoolingJson : JsonSerializerContext;
