using System.Text.Json;
using System.Text.Json.Serialization;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Time;

namespace Trace.Core.Shifts;

/// <summary>A note from one shift to the next. It stays in the journal with its writer; the day sheet shows it.</summary>
/// <param name="Note">What the next one has to know, 1 to 2,000 characters.</param>
public sealed record HandOver(string Note, DateTimeOffset HappenedAt) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

public sealed record ShiftHandedOver(string Note) : ITraceEvent
{
    public const string Type = "shift.handed-over";

    IEnumerable<string> ITraceEvent.Lots => [];

    /// <summary>Nothing is decided by it: it is read from the journal.</summary>
    public void Apply(SiteState state, EventContext at)
    {
    }
}

public static class HandingOver
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<HandOver>(
            "shift", "hand-over", "Writes a note for the next shift; it stands on the day sheet.",
            Roles.Bench, Passages.None, ShiftsJson.Default.HandOver, Decide) { Corrects = ShiftHandedOver.Type },
    ];

    public static Decision Decide(HandOver request, Situation situation) => Decision.Record(new ShiftHandedOver(request.Note));
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(HandOver))]
[JsonSerializable(typeof(ShiftHandedOver))]
public sealed partial class ShiftsJson : JsonSerializerContext;
