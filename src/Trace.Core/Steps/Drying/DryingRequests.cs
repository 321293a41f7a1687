using System.Text.Json.Serialization;
using System.Text.Json;
using Trace.Core.Operations;
using Trace.Core.Time;

namespace Trace.Core.Steps.Drying;

/// <summary>A batch goes into the dryer.</summary>
/// <param name="Inputs">Sanitised lots; dried or bulk lots as rework.</param>
/// <param name="Dryer">Which dryer, 1 to 40 characters.</param>
/// <param name="PowerWatts">Microwave power given to the load (output, not what the plug draws), W.</param>
/// <param name="Product">Product code; the default product if left out.</param>
public sealed record StartDrying(
    IReadOnlyList<LotInput> Inputs, string Dryer, double PowerWatts, DateTimeOffset HappenedAt, string? Product = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => LotInput.Mentions(Inputs);
}

/// <summary>One stretch of power has ended.</summary>
/// <param name="Seconds">Power on, s.</param>
/// <param name="HappenedAt">End of the stretch.</param>
/// <param name="VentSeconds">Pause with the door open to let steam out, s; not heating time.</param>
/// <param name="MassGrams">Mass of the batch after the stretch, if it was weighed.</param>
public sealed record RecordCycle(
    string Lot, int Seconds, DateTimeOffset HappenedAt, int? VentSeconds = null, decimal? MassGrams = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => [new(Lot, "lot")];
}

/// <summary>The batch is weighed out and judged by eye and hand.</summary>
/// <param name="MassOutGrams">Grams, above 0.</param>
/// <param name="Puffed">Whether the larvae are puffed.</param>
/// <param name="Crumbles">Whether they crumble when crushed.</param>
/// <param name="CoreCelsius">Core temperature at weigh-out, °C.</param>
/// <param name="Balance">Which balance.</param>
public sealed record WeighOutBatch(
    string Lot, decimal MassOutGrams, bool Puffed, bool Crumbles, DateTimeOffset HappenedAt, double? CoreCelsius = null,
    string? Balance = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => [new(Lot, "lot")];
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(StartDrying))]
[JsonSerializable(typeof(RecordCycle))]
[JsonSerializable(typeof(WeighOutBatch))]
[JsonSerializable(typeof(DryingStarted))]
[JsonSerializable(typeof(CycleRecorded))]
[JsonSerializable(typeof(BatchWeighedOut))]
public sealed partial class DryingJson : JsonSerializerContext;
