using Trace.Core.Lots;

namespace Trace.Core.Labels;

// The story of labels on their way to a printer, as far as it must outlive the program. What comes between, such as a printer out of
// labels, is asked for again and stands in no journal.

/// <summary>Somebody wants these labels printed there.</summary>
/// <param name="First">How many labels of the print stand before the first of these.</param>
public sealed record LabelsQueued(
    string Job, string Lot, string Print, int Copies, string Printer, string Address, string? Reason, IReadOnlyList<Evidence>? Evidence,
    int First = 0) : ITraceEvent
{
    public const string Type = "labels.queued";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at) => state.AddJob(
        state.Get(Lot), new LabelJob(Job, Print, Copies, state.Shared(Printer), state.Shared(Address), at.RecordedAt, at.Person, at.Seq,
            Reason)
        { First = First });
}

/// <summary>On the disk before the first byte goes out: whoever finds it without a number knows that nobody can know.</summary>
public sealed record LabelsSending(string Job, string Lot) : ITraceEvent
{
    public const string Type = "labels.sending";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at) =>
        state.ChangeJob(state.Get(Lot), Job, job => job with { State = LabelJobState.Sending });
}

/// <summary>The printer took the labels and gave the job a number.</summary>
public sealed record LabelsAccepted(string Job, string Lot, int Number) : ITraceEvent
{
    public const string Type = "labels.accepted";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at) =>
        state.ChangeJob(state.Get(Lot), Job, job => job with { State = LabelJobState.Sent, Number = Number });
}

/// <summary>Somebody wants it cancelled; whether it is, the printer says.</summary>
public sealed record CancelAsked(string Job, string Lot) : ITraceEvent
{
    public const string Type = "labels.cancel-asked";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at) =>
        state.ChangeJob(state.Get(Lot), Job, job => job with { CancelledBy = at.Person });
}

/// <summary>How it ended.</summary>
/// <param name="Printed">Labels that came out by the printer's word; null: not known.</param>
public sealed record LabelJobEnded(string Job, string Lot, LabelJobState End, int? Printed, string? Detail) : ITraceEvent
{
    public const string Type = "labels.job-ended";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at) => state.ChangeJob(
        state.Get(Lot), Job, job => job with { State = End, Printed = Printed, Detail = Detail, EndedAt = at.RecordedAt });
}
