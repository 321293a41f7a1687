using System.Text.Json.Serialization;
using System.Text.Json;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Time;

namespace Trace.Core.Holds;

public sealed record PlaceHold(string Lot, string Reason) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [new(Lot, "lot")];
}

/// <param name="Hold">Identity of a placed hold, such as <c>Q0001</c>; or the code of a rule whose hold the quality officer may accept.</param>
public sealed record ReleaseHold(string Lot, string Hold, string Reason) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [new(Lot, "lot")];
}

public sealed record HoldPlaced(string Lot, string Reason) : ITraceEvent
{
    public const string Type = "holds.placed";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at) => state.AddHold(state.Get(Lot), PlacedBy.Quality, Reason, at);
}

public sealed record HoldReleased(string Lot, string Hold, string Reason) : ITraceEvent
{
    public const string Type = "holds.released";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at)
    {
        if (state.Get(Lot).PlacedHolds.FirstOrDefault(placed => placed.Id == Hold) is { } hold)
            hold.Released = new HoldRelease(Reason, at.RecordedAt, at.Person, at.Seq);
    }
}

/// <summary>A rule hold accepted with a reason, on the evidence of one entry. Other evidence needs a new decision.</summary>
public sealed record HoldAccepted(string Lot, string Rule, long EvidenceSeq, string Reason) : ITraceEvent
{
    public const string Type = "holds.accepted";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at)
    {
        var lot = state.Get(Lot);
        lot.Acceptances = lot.Acceptances.And(new Acceptance(Rule, EvidenceSeq, Reason, at.RecordedAt, at.Person, at.Seq));
    }
}

public static class PlacingHolds
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<PlaceHold>(
            "holds", "place", "Places a hold on a lot and so on everything made from it.",
            Roles.Bench, Passages.None, HoldsJson.Default.PlaceHold, Decide),
        new Operation<ReleaseHold>(
            "holds", "release", "Releases a placed hold, or accepts a rule hold that may be accepted, with a reason.",
            Roles.Quality, Passages.None, HoldsJson.Default.ReleaseHold, Decide),
    ];

    public static Decision Decide(PlaceHold request, Situation situation) => Decision.Record(
        new HoldPlaced(request.Lot, request.Reason), request.Lot, FormattableString.Invariant($"Q{situation.State.HoldCount + 1:0000}"));

    public static Decision Decide(ReleaseHold request, Situation situation)
    {
        var lot = situation.Lot(request.Lot);
        if (lot.PlacedHolds.FirstOrDefault(placed => placed.Id == request.Hold) is { } placed)
        {
            return placed.Released is null
                ? Decision.Record(new HoldReleased(lot.Code, placed.Id, request.Reason), lot.Code, placed.Id)
                : Decision.Refuse("hold.not-releasable", $"Hold {placed.Id} was released at {placed.Released.At:yyyy-MM-dd HH:mm:ss zzz} already.", "hold");
        }

        if (HoldRules.Find(request.Hold) is not { } rule)
        {
            var standing = lot.PlacedHolds.Where(hold => hold.Released is null).Select(hold => hold.Id);
            return Decision.Refuse(
                "hold.unknown", $"Lot {lot.Code} has no hold {request.Hold}. Placed holds: {string.Join(", ", standing.DefaultIfEmpty("none"))}.", "hold");
        }

        if (!rule.MayBeAccepted)
            return Decision.Refuse("hold.not-releasable", $"{rule.Code} is a rule hold. What clears it: {rule.Clears}", "hold");
        var verdict = HoldRules.Judge(situation.State, lot, situation.Now).FirstOrDefault(judged => judged.Rule == rule
            && judged.Verdict.Holds).Verdict;
        return verdict is null
            ? Decision.Refuse("hold.unknown", $"{rule.Code} does not hold lot {lot.Code} itself now.", "hold")
            : Decision.Record(new HoldAccepted(lot.Code, rule.Code, verdict.EvidenceSeq, request.Reason), lot.Code, rule.Code);
    }
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(PlaceHold))]
[JsonSerializable(typeof(ReleaseHold))]
[JsonSerializable(typeof(HoldPlaced))]
[JsonSerializable(typeof(HoldReleased))]
[JsonSerializable(typeof(HoldAccepted))]
public sealed partial class HoldsJson : JsonSerializerContext;
