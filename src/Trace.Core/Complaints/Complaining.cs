using System.Text.Json;
using System.Text.Json.Serialization;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Time;

namespace Trace.Core.Complaints;

/// <summary>
/// Writes a complaint down. One that tells of harm holds the lot at once when a person of the plant records it. What a stranger sends
/// from the buyers' page holds nothing by itself: else anybody with a label could stop the plant; it stands first on the page Quality.
/// </summary>
/// <param name="What">What is wrong, in the words of who complains.</param>
/// <param name="Harm">Who or what was hurt; empty when nobody was.</param>
/// <param name="Lot">The lot, if it is known.</param>
/// <param name="LabelText">What can be read of the label, when the lot is not known.</param>
/// <param name="Pack">Number of the pack, if it has one of its own.</param>
/// <param name="Packs">How many packs are concerned.</param>
/// <param name="Storage">How the product was kept.</param>
/// <param name="Customer">From whom it was bought.</param>
/// <param name="From">Name of who complains.</param>
/// <param name="Contact">How to reach them.</param>
public sealed record OpenComplaint(
    ComplaintChannel Channel,
    string What,
    DateTimeOffset HappenedAt,
    IReadOnlyList<ComplaintHarm>? Harm = null,
    string? Lot = null,
    string? LabelText = null,
    string? Pack = null,
    int? Packs = null,
    string? Storage = null,
    string? Customer = null,
    string? From = null,
    string? Contact = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => Lot is null ? [] : [new LotMention(Lot, "lot")];
}

public sealed record ComplaintOpened(
    string Complaint, ComplaintChannel Channel, string What, IReadOnlyList<ComplaintHarm> Harm, string? Lot, string? LabelText,
    string? Pack, int? Packs, string? Storage, string? Customer, string? From, string? Contact, bool Holds) : ITraceEvent
{
    public const string Type = "complaints.opened";

    IEnumerable<string> ITraceEvent.Lots => Lot is null ? [] : [Lot];

    public void Apply(SiteState state, EventContext at)
    {
        state.AddComplaint(new ComplaintCase(
            Complaint, Channel, What, Harm, Lot, at.HappenedAt, at.RecordedAt, at.Person, at.Seq, LabelText, From, Contact, Customer,
            Packs, Storage, Pack));
        if (Holds && Lot is not null) state.AddHold(state.Get(Lot), PlacedBy.Complaint, $"{Complaint}: {What}", at);
    }
}

public static class Complaining
{
    /// <summary>From the buyers' page, within a day: a stranger must not fill the journal. An engineering choice.</summary>
    public const int MostOfLotInDay = 20, MostOfSiteInDay = 200;

    public static Operation Opening { get; } = new Operation<OpenComplaint>(
        "complaints", "open", "Writes a complaint down; one that tells of harm holds its lot at once.",
        Roles.Bench, Passages.None, ComplaintsJson.Default.OpenComplaint, Decide);

    public static IReadOnlyList<Operation> Operations { get; } = [Opening];

    public static Decision Decide(OpenComplaint request, Situation situation)
    {
        var state = situation.State;
        var isStranger = situation.Caller.Role == Roles.None;
        if (isStranger && TooMany(request, situation) is { } refusal) return refusal;
        var harm = (request.Harm ?? []).Distinct().Order().ToList();
        var id = FormattableString.Invariant($"K{state.Complaints.Count + 1:0000}");
        return Decision.Record(
            new ComplaintOpened(
                id, request.Channel, request.What, harm, request.Lot, request.LabelText, request.Pack, request.Packs, request.Storage,
                request.Customer, request.From, request.Contact, harm.Count > 0 && !isStranger),
            request.Lot, id);
    }

    private static Decision? TooMany(OpenComplaint request, Situation situation)
    {
        int ofSite = 0, ofLot = 0;
        for (var place = situation.State.Complaints.Count - 1; place >= 0; place--)
        {
            var earlier = situation.State.Complaints[place];
            if (earlier.RecordedAt <= situation.Now.AddDays(-1)) break;
            if (earlier.Channel != ComplaintChannel.BuyersPage) continue;
            ofSite++;
            if (earlier.Lot == request.Lot) ofLot++;
        }

        return ofSite >= MostOfSiteInDay || ofLot >= MostOfLotInDay
            ? Decision.Refuse("complaint.too-many", "More complaints came from this page today than it takes. Please tell the producer or your seller directly.")
            : null;
    }
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(OpenComplaint))]
[JsonSerializable(typeof(ComplaintOpened))]
[JsonSerializable(typeof(AssessComplaint))]
[JsonSerializable(typeof(ComplaintAssessed))]
[JsonSerializable(typeof(AnswerComplaint))]
[JsonSerializable(typeof(ComplaintAnswered))]
[JsonSerializable(typeof(CloseComplaint))]
[JsonSerializable(typeof(ComplaintClosed))]
[JsonSerializable(typeof(PlanAction))]
[JsonSerializable(typeof(ActionPlanned))]
[JsonSerializable(typeof(NoteAction))]
[JsonSerializable(typeof(ActionDone))]
[JsonSerializable(typeof(CheckAction))]
[JsonSerializable(typeof(ActionChecked))]
public sealed partial class ComplaintsJson : JsonSerializerContext;
