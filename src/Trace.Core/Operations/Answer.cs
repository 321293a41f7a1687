using System.Text.Json.Serialization;
using System.Text.Json;
using Trace.Core.Lots;
using Trace.Core.Time;

namespace Trace.Core.Operations;

/// <summary>What an operation answers when it was recorded.</summary>
/// <param name="Seq">The entry's sequence number in the site's journal.</param>
/// <param name="Lot">The lot it is about; for a step that makes a lot, the new one.</param>
/// <param name="Id">Identity of the print, shipment, recall or hold that it made.</param>
/// <param name="Holds">What holds the lot now.</param>
/// <param name="OnHandGrams">What is on hand of the lot now.</param>
/// <param name="NetQuantity">What the weighed packs of the lot say now; after a weighing of packs.</param>
/// <param name="Finding">What was judged on what was told, in words, such as whether an instrument is good.</param>
public sealed record Answer(
    long Seq, string? Lot, string? Id, IReadOnlyList<Hold> Holds, decimal? OnHandGrams, NetQuantityReport? NetQuantity = null,
    string? Finding = null);

/// <summary>How a request ended: recorded with its answer, or refused; never both.</summary>
/// <param name="AnswerText">The answer as JSON, to the letter what the same request key gets again.</param>
public sealed record Outcome(string? AnswerText, Answer? Answer, IReadOnlyList<Refusal> Refusals)
{
    public bool IsRecorded => Refusals.Count == 0;

    public static Outcome Recorded(Answer answer, string text) => new(text, answer, []);

    public static Outcome Refused(params IReadOnlyList<Refusal> refusals) => new(null, null, refusals);
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(Answer))]
public sealed partial class AnswerJson : JsonSerializerContext;
