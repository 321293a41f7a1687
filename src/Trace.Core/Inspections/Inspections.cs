using System.Text.Json;
using System.Text.Json.Serialization;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Time;

namespace Trace.Core.Inspections;

/// <summary>Opens agreed lots to somebody from outside, to read, for a time.</summary>
/// <param name="For">Who it is given to.</param>
/// <param name="Days">How long it is good, 1 to 90 days.</param>
public sealed record OpenInspection(string For, IReadOnlyList<string> Lots, int Days) : IRequest
{
    public const int MostDays = 90;

    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => Lots.Select((lot, place) => new LotMention(lot, $"lots[{place}]"));
}

/// <param name="Inspection">Such as <c>N01</c>.</param>
public sealed record EndInspection(string Inspection) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

public sealed record InspectionOpened(string Inspection, string For, IReadOnlyList<string> Lots, DateTimeOffset Until, string Link)
    : ITraceEvent
{
    public const string Type = "inspections.opened";

    IEnumerable<string> ITraceEvent.Lots => Lots;

    public void Apply(SiteState state, EventContext at) =>
        state.SetInspection(new InspectionPass(Inspection, For, Lots, Until, Link, at.RecordedAt, at.Person, at.Seq));
}

public sealed record InspectionEnded(string Inspection) : ITraceEvent
{
    public const string Type = "inspections.ended";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) =>
        state.SetInspection(state.Inspections.First(one => one.Id == Inspection) with { EndedAt = at.RecordedAt });
}

/// <summary>What somebody from outside may read, without a name and password here: agreed lots, for an agreed time.</summary>
public static class Inspections
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<OpenInspection>(
            "inspections", "open", "Opens agreed lots to somebody from outside, to read, for some days.",
            Roles.Office, Passages.None, InspectionsJson.Default.OpenInspection, Open),
        new Operation<EndInspection>(
            "inspections", "end", "Ends it before its time.",
            Roles.Office, Passages.None, InspectionsJson.Default.EndInspection, End),
    ];

    private static Decision Open(OpenInspection request, Situation situation)
    {
        var id = FormattableString.Invariant($"N{situation.State.Inspections.Count + 1:00}");
        return Decision.Record(
            new InspectionOpened(
                id, request.For, [.. request.Lots.Distinct()], situation.Now.AddDays(request.Days), situation.Surroundings.NewPublicCode()),
            id: id);
    }

    private static Decision End(EndInspection request, Situation situation)
    {
        var pass = situation.State.Inspections.FirstOrDefault(one => one.Id == request.Inspection);
        if (pass is null) return Decision.Refuse("inspection.unknown", $"There is no inspection {request.Inspection}.", "inspection");
        return pass.IsGood(situation.Now)
            ? Decision.Record(new InspectionEnded(pass.Id), id: pass.Id)
            : Decision.Refuse("inspection.over", $"Inspection {pass.Id} is over already.", "inspection");
    }
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(OpenInspection))]
[JsonSerializable(typeof(EndInspection))]
[JsonSerializable(typeof(InspectionOpened))]
[JsonSerializable(typeof(InspectionEnded))]
public sealed partial class InspectionsJson : JsonSerializerContext;
