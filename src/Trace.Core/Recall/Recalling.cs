using System.Text.Json.Serialization;
using System.Text.Json;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Time;

namespace Trace.Core.Recall;

/// <summary>Opens a recall, a withdrawal, or a drill.</summary>
/// <param name="Lots">The lots that are suspect, of any kind; all that they went into is in the scope.</param>
public sealed record OpenRecall(IReadOnlyList<string> Lots, RecallKind Kind, string Reason) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => Lots.Select((lot, place) => new LotMention(lot, $"lots[{place}]"));
}

/// <param name="Recall">Identity, such as <c>R01</c>.</param>
/// <param name="Conclusion">What was found and done.</param>
public sealed record CloseRecall(string Recall, string Conclusion) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

public sealed record RecallOpened(string Recall, RecallKind Kind, IReadOnlyList<string> Lots, string Reason) : ITraceEvent
{
    public const string Type = "recalls.opened";

    IEnumerable<string> ITraceEvent.Lots => Lots;

    public void Apply(SiteState state, EventContext at)
    {
        state.AddRecall(new RecallCase(Recall, Kind, Lots, Reason, at.HappenedAt, at.RecordedAt, at.Person, at.Seq));

        // A drill must never hold real stock.
        if (Kind == RecallKind.Drill) return;
        foreach (var lot in Lots) state.AddHold(state.Get(lot), PlacedBy.Recall, $"{Recall}: {Reason}", at);
    }
}

/// <summary>Holds of the recall stay until the quality officer releases each.</summary>
public sealed record RecallClosed(string Recall, string Conclusion) : ITraceEvent
{
    public const string Type = "recalls.closed";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) =>
        state.Recalls[Recall].Closed = new RecallClosure(Conclusion, at.RecordedAt, at.Person, at.Seq);
}

public static class Recalling
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<OpenRecall>(
            "recalls", "open", "Opens a recall, withdrawal or drill; a real one holds the lots and everything made from them at once.",
            Roles.Office, Passages.None, RecallJson.Default.OpenRecall, Decide),
        new Operation<CloseRecall>(
            "recalls", "close", "Closes a recall. Its holds stay until each is released.",
            Roles.Office, Passages.None, RecallJson.Default.CloseRecall, Decide),
    ];

    public static Decision Decide(OpenRecall request, Situation situation)
    {
        var id = FormattableString.Invariant($"R{situation.State.Recalls.Count + 1:00}");
        return Decision.Record(new RecallOpened(id, request.Kind, [.. request.Lots.Distinct()], request.Reason), request.Lots[0], id);
    }

    public static Decision Decide(CloseRecall request, Situation situation)
    {
        if (!situation.State.Recalls.TryGetValue(request.Recall, out var recall))
            return Decision.Refuse("recall.unknown", $"There is no recall {request.Recall}.", "recall");
        return recall.Closed is not null
            ? Decision.Refuse("recall.closed", $"Recall {recall.Id} was closed at {recall.Closed.At:yyyy-MM-dd HH:mm:ss zzz}.", "recall")
            : Decision.Record(new RecallClosed(recall.Id, request.Conclusion), id: recall.Id);
    }
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(OpenRecall))]
[JsonSerializable(typeof(CloseRecall))]
[JsonSerializable(typeof(RecallOpened))]
[JsonSerializable(typeof(RecallClosed))]
public sealed partial class RecallJson : JsonSerializerContext;
