using Trace.Core.Lots;
using Trace.Core.Operations;

namespace Trace.Core.Recall;

/// <summary>
/// Tells consignees, each of exactly what it got. Mail goes out by the program: the two operations of its way are the program's own, so
/// that nobody can say in its place that a notice went out.
/// </summary>
public static class Notifying
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<NotifyConsignees>(
            "recalls", "notify", "Tells consignees what they got and what to do with it: by mail of the program, or as somebody did.",
            Roles.Office, Passages.None, RecallJson.Default.NotifyConsignees, Notify),
    ];

    public static Operation Begin { get; } = new Operation<BeginNotice>(
        "recalls", "begin-notice", "Notes that a notice is about to go out.", Roles.None, Passages.None, RecallJson.Default.BeginNotice, Decide);

    public static Operation End { get; } = new Operation<EndNotice>(
        "recalls", "end-notice", "Notes what became of a notice.", Roles.None, Passages.None, RecallJson.Default.EndNotice, Decide);

    private static Decision Notify(NotifyConsignees request, Situation situation)
    {
        if (Recalling.Find(situation, request.Recall, out var recall) is { } refused) return refused;
        if (recall.Kind == RecallKind.Drill)
            return Decision.Refuse("recall.drill", $"{recall.Id} is a drill: no consignee is told of a recall that is none. Test the contacts with recalls/check.", "recall");
        if (recall.Texts.Count == 0)
            return Decision.Refuse("recall.no-text", $"Nobody has said yet what the risk is and what to do with the product: record recalls/publish first. It stands in every notice of {recall.Id}.", "recall");
        var standing = RecallStanding.Of(situation.State, recall);
        var refusals = new List<Refusal>();
        var chosen = new List<ConsigneeStanding>();
        if (request.Customers is { } named)
        {
            for (var place = 0; place < named.Count; place++)
            {
                if (standing.Consignees.FirstOrDefault(one => one.Customer == named[place]) is { } one) chosen.Add(one);
                else refusals.Add(new("recall.not-consignee", $"{named[place]} got nothing of the scope of {recall.Id}.", $"customers[{place}]"));
            }
        }
        else
        {
            chosen.AddRange(standing.Consignees.Where(one => !one.IsTold
                && one.Notice?.State is not (NoticeState.Queued or NoticeState.Sending)));
            if (chosen.Count == 0)
                refusals.Add(new("recall.all-told", standing.Consignees.Count == 0 ? $"Nothing of the scope of {recall.Id} was shipped: there is nobody to tell." : $"Every consignee of {recall.Id} has been told or is being told.", "recall"));
        }

        if (request.By == NoticeChannel.Email && situation.Surroundings.SendsMail)
        {
            foreach (var one in chosen.Where(one => string.IsNullOrWhiteSpace(one.Consignee.Email)))
                refusals.Add(new("recall.no-address", $"No e-mail address is on record for {one.Customer}: record it with customers/describe, or tell them another way.", "by"));
            foreach (var one in chosen.Where(one => one.Notice?.State is NoticeState.Queued or NoticeState.Sending))
                refusals.Add(new("recall.all-told", $"A notice to {one.Customer} is on its way.", "customers"));
        }

        if (refusals.Count > 0) return Decision.Refuse(refusals);
        var number = recall.Notices.Count;
        return Decision.Record(
            new ConsigneesNotified(
                recall.Id, request.By,
                [
                    .. chosen.DistinctBy(one => one.Customer).Select(one => new NoticeGiven(
                        FormattableString.Invariant($"{recall.Id}-{++number:000}"), one.Customer,
                        recall.Notices.FirstOrDefault(before => before.Customer == one.Customer)?.Link
                            ?? situation.Surroundings.NewPublicCode(),
                        request.By == NoticeChannel.Email && situation.Surroundings.SendsMail ? one.Consignee.Email : null,
                        [.. one.Consignee.Deliveries.Select(delivery => new NoticeLine(delivery.Shipment, delivery.Lot, delivery.Packs))])),
                ]),
            id: recall.Id);
    }

    private static Decision Decide(BeginNotice request, Situation situation) =>
        situation.State.Recalls.GetValueOrDefault(request.Recall)?.Notices.FirstOrDefault(one =>
            one.Id == request.Notice) is not { State: NoticeState.Queued }
            ? Decision.Refuse("recall.all-told", $"Notice {request.Notice} does not wait to be sent.", "notice")
            : Decision.Record(new NoticeSending(request.Recall, request.Notice), id: request.Recall);

    private static Decision Decide(EndNotice request, Situation situation) =>
        situation.State.Recalls.GetValueOrDefault(request.Recall)?.Notices.FirstOrDefault(one =>
            one.Id == request.Notice) is not { State: NoticeState.Queued or NoticeState.Sending }
            ? Decision.Refuse("recall.all-told", $"Notice {request.Notice} has ended.", "notice")
            : Decision.Record(new NoticeEnded(request.Recall, request.Notice, request.End, request.Detail), id: request.Recall);
}
