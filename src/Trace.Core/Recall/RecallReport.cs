using Trace.Core.Lots;
using Trace.Core.Units;

namespace Trace.Core.Recall;

public sealed record RecallEvent(DateTimeOffset At, string What, string Person);

/// <summary>One step back: a supplier's lot that went into the named lots.</summary>
public sealed record RecallOrigin(string Lot, string Supplier, DateTimeOffset ReceivedAt, decimal MassGrams);

/// <summary>What a drill came to. Goals of time and of what is accounted for are private audit schemes' (common practice, no
/// source).</summary>
/// <param name="AccountedPercent">Of the product in the scope.</param>
/// <param name="ReachedPercent">Of the consignees that were called; null when none was.</param>
/// <param name="Passed">Within four hours, 99 % or more accounted for, and somebody was called and all that were called were reached.</param>
public sealed record DrillScore(
    double Hours, bool WithinFourHours, bool WithinTwoHours, double AccountedPercent, int Called, double? ReachedPercent, bool Passed)
{
    public static DrillScore Of(RecallTotals totals, RecallCase recall, double minutes)
    {
        // Whom somebody tried to call in the drill, whether or not the person answered.
        var calls = recall.Checks.GroupBy(check => check.Customer).Select(group => group.Last()).ToList();
        var accounted = Math.Round(Math.Clamp(100 - Math.Abs(totals.UnaccountedPercent), 0, 100), 3);
        double? reached = calls.Count == 0 ? null : Math.Round(calls.Count(call => call.Reached) * 100.0 / calls.Count, 1);
        return new(
            minutes / 60, minutes <= 240, minutes <= 120, accounted, calls.Count, reached,
            minutes <= 240 && accounted >= 99 && (totals.Consignees == 0 || reached is 100));
    }
}

/// <summary>Everything about a recall, withdrawal or drill as it is known now.</summary>
/// <param name="Named">The lots found suspect; the scope is all that they went into.</param>
/// <param name="Origins">What the named lots came from, one step back.</param>
/// <param name="Left">What is left to do before it can be closed, in words.</param>
public sealed record RecallReport(
    string Recall, RecallKind Kind, string Reason, IReadOnlyList<string> Named, DateTimeOffset OpenedAt, string OpenedBy,
    DateTimeOffset? ClosedAt, string? Conclusion, double ElapsedMinutes, IReadOnlyList<ScopeLot> Scope,
    IReadOnlyList<ScopeConsignee> Consignees, ScopeBalance Balance, IReadOnlyList<RecallEvent> Timeline, string Site, DateTimeOffset MadeAt,
    long JournalHead, RecallTotals Totals, IReadOnlyList<ConsigneeStanding> Standings, IReadOnlyList<RecallOrigin> Origins,
    IReadOnlyList<string> Left, RecallHealth? Health, CheckLevel Level, string? Complaint, string? RootCause, string? Despite,
    DrillScore? Score, IReadOnlyList<RecallText> Texts, IReadOnlyList<StatusReport> Reports, bool Picked)
{
    /// <summary>The scope is all that the named lots went into, as known now; the clock runs until the recall is closed.</summary>
    public static RecallReport Of(SiteState state, RecallCase recall, DateTimeOffset now)
    {
        var standing = RecallStanding.Of(state, recall);
        var minutes = ((recall.Closed?.At ?? now) - recall.RecordedAt).TotalMinutes;
        return new RecallReport(
            recall.Id, recall.Kind, recall.Reason, recall.Lots, state.Zone.Local(recall.OpenedAt), recall.OpenedBy,
            recall.Closed is { } closed ? state.Zone.Local(closed.At) : null, recall.Closed?.Conclusion, minutes, standing.Scope.Lots,
            standing.Scope.Consignees, standing.Scope.Balance, TimelineOf(state, recall, standing.Scope), state.Site.Code,
            state.Zone.Local(now), state.Head, standing.Totals, standing.Consignees, OriginsOf(state, recall),
            recall.Closed is null ? ClosingRecalls.LeftToDo(recall, standing) : [], recall.Health, recall.Level, recall.Complaint,
            recall.Closed?.RootCause, recall.Closed?.Despite,
            recall.Kind == RecallKind.Drill ? DrillScore.Of(standing.Totals, recall, minutes) : null, recall.Texts, recall.Reports,
            recall.Picked);
    }

    private static List<RecallOrigin> OriginsOf(SiteState state, RecallCase recall) =>
    [
        .. state.Graph.Reach(recall.Lots.Select(state.Find).OfType<Lot>().Select(lot => lot.Index), back: true)
            .Select(index => state.Lots[index]).Where(lot => lot.Record is HarvestRecord)
            .Select(lot => new RecallOrigin(lot.Code, ((HarvestRecord)lot.Record).Supplier, state.Zone.Local(lot.MadeAt), lot.Made.Grams)),
    ];

    private static List<RecallEvent> TimelineOf(SiteState state, RecallCase recall, Scope scope)
    {
        var events = new List<RecallEvent>();
        void Tell(DateTimeOffset at, string what, string person) => events.Add(new(state.Zone.Local(at), what, person));
        Tell(recall.OpenedAt, $"{recall.Kind} opened: {recall.Reason}", recall.OpenedBy);
        foreach (var one in recall.Widenings) Tell(one.At, $"Widened by {string.Join(", ", one.Lots)}: {one.Reason}", one.Person);
        foreach (var one in recall.Texts) Tell(one.At, $"Published ({one.Language}): {one.Risk} {one.Action}", one.Person);
        foreach (var group in recall.Notices.GroupBy(notice => (notice.Seq, notice.State)))
        {
            var (some, first) = (group.ToList(), group.First());
            var who = some.Count <= 3 ? string.Join(", ", some.Select(notice => notice.Customer)) : $"{some.Count} consignees";
            Tell(first.At, $"{(first.State == NoticeState.Told ? "Told" : $"Notice {first.State.ToString().ToLowerInvariant()}")} by {first.By.ToString().ToLowerInvariant()}: {who}", first.Person);
        }

        foreach (var one in recall.Answers)
            Tell(one.At, $"{one.Customer} answers: {one.ReceivedPacks} received, {one.HeldPacks} held, {one.SoldPacks} sold on, {one.ReturnedPacks} sent back, {one.DestroyedPacks} destroyed", one.ByLink ? one.Name ?? one.Customer : one.Person);
        foreach (var one in recall.Checks)
            Tell(one.At, $"Checked {one.Customer}: {(one.Reached ? one.Acted ? "reached, had acted" : "reached, had not acted" : "not reached")}", one.Person);
        foreach (var one in recall.Reports) Tell(one.At, $"Status report {one.Number}{(one.Note is null ? "" : ": " + one.Note)}", one.Person);
        foreach (var lot in scope.Lots.Select(line => state.Find(line.Lot)!))
        {
            foreach (var hold in lot.PlacedHolds)
            {
                Tell(hold.At, $"Hold {hold.Id} placed on {lot.Code}", hold.Person);
                if (hold.Released is { } released) Tell(released.At, $"Hold {hold.Id} on {lot.Code} released: {released.Reason}", released.Person);
            }

            foreach (var back in lot.Returns.Where(back => back.Recall == recall.Id))
                Tell(back.At, $"{back.Packs} packs of {lot.Code} {(back.IsDestroyed ? "destroyed at" : "came back from")} {back.Customer} ({back.Reference})", "");
        }

        if (recall.Closed is { } closed) Tell(closed.At, $"Closed: {closed.Conclusion}", closed.Person);
        return [.. events.OrderBy(happened => happened.At)];
    }
}
