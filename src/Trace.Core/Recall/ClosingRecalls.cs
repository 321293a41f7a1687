using Trace.Core.Lots;
using Trace.Core.Operations;

namespace Trace.Core.Recall;

/// <summary>What comes back from consignees, how it stands, and the end.</summary>
public static class ClosingRecalls
{
    /// <summary>So often a consignee may change its answer through its own address: whoever has it must not fill the journal.</summary>
    public const int MostAnswersByLink = 50;

    /// <summary>What a consignee answers through its own address is the same operation, recorded for nobody of the plant.</summary>
    public static Operation Answering { get; } = new Operation<AnswerRecall>(
        "recalls", "answer", "Records what a consignee says became of the packs that it got.",
        Roles.Office, Passages.None, RecallJson.Default.AnswerRecall, Answer);

    public static IReadOnlyList<Operation> Operations { get; } =
    [
        Answering,
        new Operation<CheckConsignee>(
            "recalls", "check", "Records whether a consignee was reached and had acted; in a drill, whether anybody can be reached.",
            Roles.Office, Passages.None, RecallJson.Default.CheckConsignee, Check),
        new Operation<ReportRecall>(
            "recalls", "report", "Freezes the figures of now as a numbered status report.",
            Roles.Office, Passages.None, RecallJson.Default.ReportRecall, Report),
        new Operation<CloseRecall>(
            "recalls", "close", "Closes a recall: by somebody else than who opened it, with its root cause. Its holds stay until each is released.",
            Roles.Office, Passages.None, RecallJson.Default.CloseRecall, Close),
    ];

    /// <summary>What is left to do before it can be closed, in words.</summary>
    internal static IReadOnlyList<string> LeftToDo(RecallCase recall, RecallStanding standing)
    {
        if (recall.Kind == RecallKind.Drill) return [];
        var (totals, left) = (standing.Totals, new List<string>());
        if (totals.Told < totals.Consignees) left.Add($"{totals.Consignees - totals.Told} of {totals.Consignees} consignees were not told of all that they got");
        if (totals.Answered < totals.Consignees) left.Add($"{totals.Consignees - totals.Answered} of {totals.Consignees} consignees have not answered");
        if (totals.ChecksEffective < totals.ChecksWanted) left.Add($"{totals.ChecksEffective} of {totals.ChecksWanted} checks found a consignee that had acted");
        if (totals.ReturnedGrams > 0) left.Add(FormattableString.Invariant($"{totals.ReturnedGrams:0.###} g that came back are not destroyed"));
        if (totals.HeldPacks > 0) left.Add($"{totals.HeldPacks} packs stand with consignees, by what they say");
        return left;
    }

    private static Decision Answer(AnswerRecall request, Situation situation)
    {
        if (FindConsignee(situation, request.Recall, request.Customer, out var recall, out var consignee) is { } refused) return refused;
        if (recall.Kind == RecallKind.Drill) return Decision.Refuse("recall.drill", $"{recall.Id} is a drill: nobody was told, so nobody answers.", "recall");
        if (situation.Caller.Role == Roles.None
            && recall.Answers.Count(one => one.ByLink && one.Customer == request.Customer) >= MostAnswersByLink)
            return Decision.Refuse("complaint.too-many", "This answer was changed very often. Please call the producer.", "recall");
        if (request.ReceivedPacks > consignee.DeliveredPacks)
        {
            return Decision.Refuse(
                "recall.answer", $"{request.ReceivedPacks} packs received are more than the {consignee.DeliveredPacks} of the deliveries. If there were more, please say so in the note, and count here those of the deliveries.", "receivedPacks");
        }

        var told = (long)request.HeldPacks + request.SoldPacks + request.ReturnedPacks + request.DestroyedPacks;
        if (told > request.ReceivedPacks)
        {
            return Decision.Refuse(
                "recall.answer", $"Held, sold, sent back and destroyed are {told} packs together, and {request.ReceivedPacks} were received. Each pack counts once, where it is now.", "heldPacks");
        }

        return Decision.Record(
            new RecallAnswered(
                recall.Id, request.Customer, request.ReceivedPacks, request.HeldPacks, request.SoldPacks, request.ReturnedPacks,
                request.DestroyedPacks, request.Name, request.Note, situation.Caller.Role == Roles.None),
            id: recall.Id);
    }

    private static Decision Check(CheckConsignee request, Situation situation)
    {
        if (FindConsignee(situation, request.Recall, request.Customer, out var recall, out _) is { } refused) return refused;
        if (request.Acted && !request.Reached)
            return Decision.Refuse("recall.answer", "Somebody who was not reached cannot say that they acted.", "acted");
        return Decision.Record(
            new ConsigneeChecked(recall.Id, request.Customer, request.By, request.Reached, request.Acted, request.Note), id: recall.Id);
    }

    private static Decision Report(ReportRecall request, Situation situation) =>
        Recalling.Find(situation, request.Recall, out var recall)
            ?? Decision.Record(
                new RecallReported(recall.Id, recall.Reports.Count + 1, request.Note, RecallStanding.Of(situation.State, recall).Totals),
                id: recall.Id);

    private static Decision Close(CloseRecall request, Situation situation)
    {
        if (Recalling.Find(situation, request.Recall, out var recall) is { } refused) return refused;
        if (recall.Kind != RecallKind.Drill)
        {
            if (recall.OpenedBy == situation.Caller.Person)
                return Decision.Refuse("recall.second-person", $"{recall.OpenedBy} opened {recall.Id}: somebody else has to look at it and close it.", "recall");
            if (string.IsNullOrWhiteSpace(request.RootCause))
                return Decision.Refuse("recall.left", "Say why it happened, or that it could not be found out.", "rootCause");
            var left = LeftToDo(recall, RecallStanding.Of(situation.State, recall));
            if (left.Count > 0 && string.IsNullOrWhiteSpace(request.Despite))
            {
                return Decision.Refuse(
                    "recall.left", $"Left to do: {string.Join("; ", left)}. Do it, or say in 'despite' why {recall.Id} is closed all the same.", "despite");
            }
        }

        return Decision.Record(new RecallClosed(recall.Id, request.Conclusion, request.RootCause, request.Despite), id: recall.Id);
    }

    private static Decision? FindConsignee(
        Situation situation, string id, string customer, out RecallCase recall, out ConsigneeStanding consignee)
    {
        consignee = null!;
        if (Recalling.Find(situation, id, out recall) is { } refused) return refused;
        consignee = RecallStanding.Of(situation.State, recall).Consignees.FirstOrDefault(one => one.Customer == customer)!;
        return consignee is null
            ? Decision.Refuse("recall.not-consignee", $"{customer} got nothing of the scope of {recall.Id}.", "customer")
            : null;
    }
}
