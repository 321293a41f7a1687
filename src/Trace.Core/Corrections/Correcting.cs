using System.Text.Json.Serialization;
using System.Text.Json;
using Trace.Core.Lots;
using Trace.Core.Time;

namespace Trace.Core.Corrections;

/// <summary>Says that an entry was wrong and what counts instead. The old entry stays; the state is folded anew.</summary>
/// <param name="Seq">The entry to correct.</param>
/// <param name="Reason">Why it was wrong.</param>
/// <param name="Replacement">The operation's request as it should have been; null to void the entry.</param>
public sealed record CorrectEntry(long Seq, string Reason, JsonElement? Replacement);

/// <param name="Corrects">The corrected entry.</param>
/// <param name="EventType">Its stored event name.</param>
/// <param name="Replacement">What counts now, as an event of that type; null when the entry is void.</param>
/// <param name="HappenedAt">When what counts now happened; null when the entry is void.</param>
/// <param name="Touches">The lots that the old and the new entry touch.</param>
public sealed record EntryCorrected(
    long Corrects, string EventType, string Reason, JsonElement? Replacement, DateTimeOffset? HappenedAt, IReadOnlyList<string> Touches)
    : ITraceEvent
{
    public const string Type = "journal.corrected";

    IEnumerable<string> ITraceEvent.Lots => Touches;

    public void Apply(SiteState state, EventContext at) =>
        state.AddCorrection(new Correction(Corrects, at.Seq, Reason, at.Person, at.RecordedAt, Replacement is null));
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(CorrectEntry))]
[JsonSerializable(typeof(EntryCorrected))]
public sealed partial class CorrectionsJson : JsonSerializerContext;
