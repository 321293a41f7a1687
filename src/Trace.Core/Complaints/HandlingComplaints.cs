using Trace.Core.Lots;
using Trace.Core.Operations;

namespace Trace.Core.Complaints;

/// <summary>Judges a complaint: which lot, what fault, how far it reaches.</summary>
/// <param name="Complaint">Such as <c>K0001</c>.</param>
/// <param name="Note">What was looked at and found: the batch record, the kept sample, sister lots.</param>
/// <param name="Lot">The lot, where it was not known before or was told wrongly. Left out: as it is known.</param>
/// <param name="Hold">Hold the lot at once.</param>
public sealed record AssessComplaint(
    string Complaint, ComplaintReach Reach, ComplaintFault Fault, string Note, string? Lot = null, bool Hold = false) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => Lot is null ? [] : [new LotMention(Lot, "lot")];
}

/// <summary>What whoever complained was told.</summary>
public sealed record AnswerComplaint(string Complaint, string Text, DateTimeOffset HappenedAt) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

public sealed record CloseComplaint(string Complaint, string Conclusion) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

/// <param name="Lot">The lot as it is known now.</param>
public sealed record ComplaintAssessed(
    string Complaint, ComplaintReach Reach, ComplaintFault Fault, string Note, string? Lot, bool Hold) : ITraceEvent
{
    public const string Type = "complaints.assessed";

    IEnumerable<string> ITraceEvent.Lots => Lot is null ? [] : [Lot];

    public void Apply(SiteState state, EventContext at)
    {
        var complaint = state.Complaint(Complaint);
        state.SetComplaint(complaint with
        {
            Lot = Lot,
            Assessments = complaint.Assessments.And(new(Reach, Fault, Note, Lot, Hold, at.RecordedAt, at.Person, at.Seq)),
        });
        if (Hold && Lot is not null) state.AddHold(state.Get(Lot), PlacedBy.Complaint, $"{Complaint}: {complaint.What}", at);
    }
}

public sealed record ComplaintAnswered(string Complaint, string Text) : ITraceEvent
{
    public const string Type = "complaints.answered";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) =>
        state.SetComplaint(state.Complaint(Complaint) with { Answer = new(Text, at.HappenedAt, at.Person, at.Seq) });
}

public sealed record ComplaintClosed(string Complaint, string Conclusion) : ITraceEvent
{
    public const string Type = "complaints.closed";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) =>
        state.SetComplaint(state.Complaint(Complaint) with { Closed = new(Conclusion, at.RecordedAt, at.Person, at.Seq) });
}

/// <summary>From the first call to the last word: each step stays in the record, and a later one adds to it.</summary>
public static class HandlingComplaints
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<AssessComplaint>(
            "complaints", "assess", "Judges a complaint: lot, fault, how far it reaches; holds the lot if asked.",
            Roles.Office, Passages.None, ComplaintsJson.Default.AssessComplaint, Assess),
        new Operation<AnswerComplaint>(
            "complaints", "answer", "Records what whoever complained was told.",
            Roles.Office, Passages.None, ComplaintsJson.Default.AnswerComplaint, Answer),
        new Operation<CloseComplaint>(
            "complaints", "close", "Closes a complaint that was judged and answered. Its holds and actions go on.",
            Roles.Office, Passages.None, ComplaintsJson.Default.CloseComplaint, Close),
    ];

    private static Decision Assess(AssessComplaint request, Situation situation)
    {
        if (Find(situation, request.Complaint, out var complaint) is { } refused) return refused;
        var lot = request.Lot ?? complaint.Lot;
        if (lot is null && request.Hold)
            return Decision.Refuse("complaint.lot", $"Complaint {complaint.Id} has no lot yet that could be held. Name it.", "lot");
        if (lot is null && (request.Reach is ComplaintReach.Lot or ComplaintReach.Wider))
            return Decision.Refuse("complaint.lot", $"Which lot? Complaint {complaint.Id} has none yet; its page lists lots that may be it.", "lot");
        return Decision.Record(
            new ComplaintAssessed(complaint.Id, request.Reach, request.Fault, request.Note, lot, request.Hold), lot, complaint.Id);
    }

    private static Decision Answer(AnswerComplaint request, Situation situation) =>
        Find(situation, request.Complaint, out var complaint)
            ?? Decision.Record(new ComplaintAnswered(complaint.Id, request.Text), complaint.Lot, complaint.Id);

    private static Decision Close(CloseComplaint request, Situation situation)
    {
        if (Find(situation, request.Complaint, out var complaint) is { } refused) return refused;
        if (complaint.Assessed is null)
            return Decision.Refuse("complaint.open", $"Complaint {complaint.Id} was not judged yet: record complaints/assess first.", "complaint");
        if (complaint.Answer is null && complaint.Contact is not null)
        {
            return Decision.Refuse(
                "complaint.open", $"Whoever complained ({complaint.Contact}) has had no answer: record complaints/answer first, or there that they cannot be reached.", "complaint");
        }

        return Decision.Record(new ComplaintClosed(complaint.Id, request.Conclusion), complaint.Lot, complaint.Id);
    }

    private static Decision? Find(Situation situation, string id, out ComplaintCase complaint)
    {
        complaint = situation.State.FindComplaint(id)!;
        if (complaint is null) return Decision.Refuse("complaint.unknown", $"There is no complaint {id}.", "complaint");
        return complaint.Closed is { } closed
            ? Decision.Refuse("complaint.closed", $"Complaint {id} was closed at {closed.At:yyyy-MM-dd HH:mm:ss zzz}. Write down a new one if there is more.", "complaint")
            : null;
    }
}
