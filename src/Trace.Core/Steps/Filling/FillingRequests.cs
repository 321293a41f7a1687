using System.Text.Json.Serialization;
using System.Text.Json;
using Trace.Core.Operations;
using Trace.Core.Time;

namespace Trace.Core.Steps.Filling;

/// <summary>Dry, cool product goes into a container. Opens the container's bulk lot, or adds to the one inside.</summary>
/// <param name="Container">Code of the container; same form as a lot code.</param>
public sealed record FillContainer(string Container, IReadOnlyList<LotInput> Inputs, DateTimeOffset HappenedAt) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => LotInput.Mentions(Inputs);
}

/// <summary>Something happens to a container itself: opened, closed, or emptied and cleaned.</summary>
public sealed record ContainerRequest(string Container, DateTimeOffset HappenedAt) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(FillContainer))]
[JsonSerializable(typeof(ContainerRequest))]
[JsonSerializable(typeof(ContainerFilled))]
[JsonSerializable(typeof(ContainerOpened))]
[JsonSerializable(typeof(ContainerClosed))]
[JsonSerializable(typeof(ContainerCleaned))]
public sealed partial class FillingJson : JsonSerializerContext;
