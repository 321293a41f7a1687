using System.Text.Json;
using System.Text.Json.Serialization;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Core.Time;

namespace Trace.Core.Recall;

/// <summary>Opens and widens recalls, and says to everybody what the risk is.</summary>
public static class Recalling
{
    /// <summary>A drill on a pack starts from one shipped in so many days: an older one is likely eaten.</summary>
    private const int DrillDays = 365;

    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<OpenRecall>(
            "recalls", "open", "Opens a recall, withdrawal or drill; a real one holds the lots and everything made from them at once.",
            Roles.Office, Passages.None, RecallJson.Default.OpenRecall, Decide),
        new Operation<StartDrill>(
            "recalls", "drill", "Opens a drill on a lot that chance picks; the clock starts, and nothing is held.",
            Roles.Office, Passages.None, RecallJson.Default.StartDrill, Drill),
        new Operation<WidenRecall>(
            "recalls", "widen", "Adds suspect lots to a recall; what was decided before stays in its history.",
            Roles.Office, Passages.None, RecallJson.Default.WidenRecall, Widen),
        new Operation<PublishRecall>(
            "recalls", "publish", "Says in one language what the risk is and what to do: on buyers' pages and in notices.",
            Roles.Office, Passages.None, RecallJson.Default.PublishRecall, Publish),
    ];

    /// <summary>The open recall, or the refusal that says why there is none.</summary>
    internal static Decision? Find(Situation situation, string id, out RecallCase recall)
    {
        recall = situation.State.Recalls.GetValueOrDefault(id)!;
        if (recall is null) return Decision.Refuse("recall.unknown", $"There is no recall {id}.", "recall");
        return recall.Closed is null
            ? null
            : Decision.Refuse("recall.closed", $"Recall {recall.Id} was closed at {recall.Closed.At:yyyy-MM-dd HH:mm:ss zzz}.", "recall");
    }

    private static Decision Decide(OpenRecall request, Situation situation)
    {
        var state = situation.State;
        var lots = request.Lots.Distinct().ToList();
        var refusals = Empty(situation, lots).ToList();
        if (request.Kind != RecallKind.Drill && AlreadyIn(situation, lots) is { } refusal) refusals.Add(refusal);
        if (request.Complaint is { } complaint && state.FindComplaint(complaint) is null)
            refusals.Add(new("complaint.unknown", $"There is no complaint {complaint}.", "complaint"));
        if (refusals.Count > 0) return Decision.Refuse(refusals);
        var level = request.Level ?? CheckLevel.A;
        return Open(
            situation, new RecallOpened(
                NextId(state), request.Kind, lots, request.Reason, request.Complaint, request.Health, level,
                ShareOf(level, request.CheckShare)));
    }

    /// <summary>The shares of 21 CFR 7.42(b)(3); B is set case by case, half where nobody says.</summary>
    public static double ShareOf(CheckLevel level, double? told) => level switch
    {
        CheckLevel.A => 1,
        CheckLevel.B => told ?? 0.5,
        CheckLevel.C => 0.1,
        CheckLevel.D => 0.02,
        _ => 0,
    };

    private static Decision Open(Situation situation, RecallOpened opened) => Decision.Record(opened, opened.Lots[0], opened.Recall);

    private static string NextId(SiteState state) => FormattableString.Invariant($"R{state.Recalls.Count + 1:00}");

    private static Decision Drill(StartDrill request, Situation situation)
    {
        var state = situation.State;
        var oldest = situation.Now.AddDays(-DrillDays);
        var wanted = request.Start == DrillStart.Pack ? LotKind.Packed : LotKind.Harvest;
        var from = state.Lots.Where(lot => lot.Kind == wanted && lot.MadeAt >= oldest && lot.OnHand < lot.Made).ToList();
        var first = from.Count == 0 ? 0 : Chance(situation.Surroundings.NewPublicCode(), from.Count);
        var lot = Enumerable.Range(0, from.Count).Select(step => from[(first + step) % from.Count])
            .FirstOrDefault(lot => wanted == LotKind.Packed ? lot.Shipments.Count > 0 : state.Graph.HasOutputs(lot.Index));
        if (lot is null)
        {
            return Decision.Refuse(
                "recall.empty", request.Start == DrillStart.Pack
                    ? "No packs were shipped in the last year: there is nothing to practise on."
                    : "No supplier's lot of the last year was used: there is nothing to practise on.", "start");
        }

        var kind = request.Start == DrillStart.Pack ? "pack of lot" : "supplier's lot";
        return Open(
            situation, new RecallOpened(
                NextId(state), RecallKind.Drill, [lot.Code], $"Drill on the {kind} {lot.Code}, picked by chance.{(request.Note is null ? "" : " " + request.Note)}",
                Picked: true));
    }

    /// <summary>A number below <paramref name="count"/> out of a code drawn by chance.</summary>
    private static int Chance(string drawn, int count)
    {
        ulong number = 0;
        foreach (var character in drawn) number = unchecked((number * 131) + character);
        return (int)(number % (ulong)count);
    }

    private static Decision Widen(WidenRecall request, Situation situation)
    {
        if (Find(situation, request.Recall, out var recall) is { } refused) return refused;
        var lots = request.Lots.Distinct().ToList();
        var refusals = Empty(situation, lots).ToList();
        if (lots.FirstOrDefault(recall.Lots.Contains) is { } named)
            refusals.Add(new("recall.already", $"Recall {recall.Id} names lot {named} already.", $"lots[{lots.IndexOf(named)}]"));
        return refusals.Count > 0
            ? Decision.Refuse(refusals)
            : Decision.Record(new RecallWidened(recall.Id, lots, request.Reason), lots[0], recall.Id);
    }

    private static Decision Publish(PublishRecall request, Situation situation) =>
        Find(situation, request.Recall, out var recall)
            ?? Decision.Record(new RecallPublished(recall.Id, request.Language, request.Risk, request.Action), id: recall.Id);

    private static IEnumerable<Refusal> Empty(Situation situation, List<string> lots)
    {
        for (var place = 0; place < lots.Count; place++)
        {
            var lot = situation.Lot(lots[place]);
            if (lot.Made == Units.Mass.Zero && !lot.IsInProcess && !situation.State.Graph.HasOutputs(lot.Index))
                yield return new("recall.empty", $"Lot {lot.Code} never had anything in it: there is nothing to get back.", $"lots[{place}]");
        }
    }

    /// <summary>All named lots are in the scope of a real recall that is open: a second one would double its letters.</summary>
    private static Refusal? AlreadyIn(Situation situation, List<string> lots)
    {
        var state = situation.State;
        var wanted = lots.Select(code => situation.Lot(code).Index).ToHashSet();
        foreach (var open in state.Recalls.Values.Where(one => one.Closed is null && one.Kind != RecallKind.Drill))
        {
            var covered = state.Graph.Reach(open.Lots.Select(state.Find).OfType<Lot>().Select(lot => lot.Index), back: false);
            if (wanted.IsSubsetOf(covered))
                return new("recall.already", $"{open.Kind} {open.Id} covers {(lots.Count == 1 ? $"lot {lots[0]}" : "these lots")} already. If more is suspect, widen it.", "lots[0]");
        }

        return null;
    }
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(OpenRecall))]
[JsonSerializable(typeof(StartDrill))]
[JsonSerializable(typeof(WidenRecall))]
[JsonSerializable(typeof(PublishRecall))]
[JsonSerializable(typeof(NotifyConsignees))]
[JsonSerializable(typeof(AnswerRecall))]
[JsonSerializable(typeof(CheckConsignee))]
[JsonSerializable(typeof(ReportRecall))]
[JsonSerializable(typeof(CloseRecall))]
[JsonSerializable(typeof(BeginNotice))]
[JsonSerializable(typeof(EndNotice))]
[JsonSerializable(typeof(RecallOpened))]
[JsonSerializable(typeof(RecallWidened))]
[JsonSerializable(typeof(RecallPublished))]
[JsonSerializable(typeof(ConsigneesNotified))]
[JsonSerializable(typeof(NoticeSending))]
[JsonSerializable(typeof(NoticeEnded))]
[JsonSerializable(typeof(RecallAnswered))]
[JsonSerializable(typeof(ConsigneeChecked))]
[JsonSerializable(typeof(RecallReported))]
[JsonSerializable(typeof(RecallClosed))]
public sealed partial class RecallJson : JsonSerializerContext;
