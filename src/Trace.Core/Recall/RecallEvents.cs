using Trace.Core.Lots;
using Trace.Core.Operations;

namespace Trace.Core.Recall;

/// <param name="Picked">Chance picked the lot, for a drill.</param>
public sealed record RecallOpened(
    string Recall, RecallKind Kind, IReadOnlyList<string> Lots, string Reason, string? Complaint = null, RecallHealth? Health = null,
    CheckLevel Level = CheckLevel.A, double CheckShare = 1, bool Picked = false) : ITraceEvent
{
    public const string Type = "recalls.opened";

    IEnumerable<string> ITraceEvent.Lots => Lots;

    public void Apply(SiteState state, EventContext at)
    {
        state.SetRecall(new RecallCase(
            Recall, Kind, Lots, Reason, at.HappenedAt, at.RecordedAt, at.Person, at.Seq, Complaint, Health, Level, CheckShare, Picked));
        RecallWidened.Hold(state, Recall, Kind, Lots, Reason, at);
    }
}

public sealed record RecallWidened(string Recall, IReadOnlyList<string> Lots, string Reason) : ITraceEvent
{
    public const string Type = "recalls.widened";

    IEnumerable<string> ITraceEvent.Lots => Lots;

    public void Apply(SiteState state, EventContext at)
    {
        var recall = state.Recalls[Recall];
        state.SetRecall(recall with
        {
            Lots = [.. recall.Lots, .. Lots],
            Widenings = recall.Widenings.And(new(Lots, Reason, at.RecordedAt, at.Person, at.Seq)),
        });
        Hold(state, Recall, recall.Kind, Lots, Reason, at);
    }

    /// <summary>A drill must never hold real stock.</summary>
    internal static void Hold(SiteState state, string recall, RecallKind kind, IReadOnlyList<string> lots, string reason, EventContext at)
    {
        if (kind == RecallKind.Drill) return;
        foreach (var lot in lots) state.AddHold(state.Get(lot), PlacedBy.Recall, $"{recall}: {reason}", at);
    }
}

public sealed record RecallPublished(string Recall, string Language, string Risk, string Action) : ITraceEvent
{
    public const string Type = "recalls.published";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at)
    {
        var recall = state.Recalls[Recall];
        state.SetRecall(recall with
        {
            Texts = [.. recall.Texts.Where(one => one.Language != Language), new(Language, Risk, Action, at.RecordedAt, at.Person, at.Seq)],
        });
    }
}

/// <param name="Notices">One for each consignee, with exactly what it got.</param>
public sealed record ConsigneesNotified(string Recall, NoticeChannel By, IReadOnlyList<NoticeGiven> Notices) : ITraceEvent
{
    public const string Type = "recalls.notified";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at)
    {
        var recall = state.Recalls[Recall];
        state.SetRecall(recall with
        {
            Notices =
            [
                .. recall.Notices,
                .. Notices.Select(given => new ConsigneeNotice(
                    given.Notice, given.Customer, By, given.Link, given.Address, given.Lines, at.HappenedAt, at.Person, at.Seq,
                    given.Address is null ? NoticeState.Told : NoticeState.Queued)),
            ],
        });
    }
}

/// <param name="Address">Where the program sends it; null: a person told them.</param>
public sealed record NoticeGiven(string Notice, string Customer, string Link, string? Address, IReadOnlyList<NoticeLine> Lines);

public sealed record NoticeSending(string Recall, string Notice) : ITraceEvent
{
    public const string Type = "recalls.notice-sending";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) =>
        NoticeEnded.Set(state, Recall, Notice, one => one with { State = NoticeState.Sending });
}

/// <param name="End"><see cref="NoticeState.Queued"/>: it was not taken now, and waits again.</param>
public sealed record NoticeEnded(string Recall, string Notice, NoticeState End, string? Detail) : ITraceEvent
{
    public const string Type = "recalls.notice-ended";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) =>
        Set(state, Recall, Notice, one => one with { State = End, Detail = Detail, EndedAt = at.RecordedAt });

    internal static void Set(SiteState state, string id, string notice, Func<ConsigneeNotice, ConsigneeNotice> change)
    {
        var recall = state.Recalls[id];
        state.SetRecall(recall with { Notices = [.. recall.Notices.Select(one => one.Id == notice ? change(one) : one)] });
    }
}

public sealed record RecallAnswered(
    string Recall, string Customer, int ReceivedPacks, int HeldPacks, int SoldPacks, int ReturnedPacks, int DestroyedPacks, string? Name,
    string? Note, bool ByLink) : ITraceEvent
{
    public const string Type = "recalls.answered";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at)
    {
        var recall = state.Recalls[Recall];
        state.SetRecall(recall with
        {
            Answers = recall.Answers.And(new(
                Customer, ReceivedPacks, HeldPacks, SoldPacks, ReturnedPacks, DestroyedPacks, Name, Note, at.HappenedAt, at.Person, at.Seq,
                ByLink)),
        });
    }
}

public sealed record ConsigneeChecked(
    string Recall, string Customer, NoticeChannel By, bool Reached, bool Acted, string? Note) : ITraceEvent
{
    public const string Type = "recalls.checked";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at)
    {
        var recall = state.Recalls[Recall];
        state.SetRecall(recall with
        {
            Checks = recall.Checks.And(new(Customer, By, Reached, Acted, Note, at.HappenedAt, at.Person, at.Seq)),
        });
    }
}

/// <summary>The figures stand in the entry: what was reported stays as it was reported.</summary>
public sealed record RecallReported(string Recall, int Number, string? Note, RecallTotals Totals) : ITraceEvent
{
    public const string Type = "recalls.reported";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at)
    {
        var recall = state.Recalls[Recall];
        state.SetRecall(recall with { Reports = recall.Reports.And(new(Number, Note, Totals, at.RecordedAt, at.Person, at.Seq)) });
    }
}

/// <summary>Holds of the recall stay until the quality officer releases each.</summary>
public sealed record RecallClosed(string Recall, string Conclusion, string? RootCause = null, string? Despite = null) : ITraceEvent
{
    public const string Type = "recalls.closed";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) => state.SetRecall(
        state.Recalls[Recall] with { Closed = new RecallClosure(Conclusion, at.RecordedAt, at.Person, at.Seq, RootCause, Despite) });
}
