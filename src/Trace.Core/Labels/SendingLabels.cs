using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;

namespace Trace.Core.Labels;

/// <summary>Sends the labels of a print to a printer; refused while any hold stands.</summary>
/// <param name="Print">The lot's newest print, such as <c>L00001</c>.</param>
/// <param name="Copies">So many labels of the print; all by default. Numbered labels go on after those that came out.</param>
/// <param name="Reason">Needed when labels of the print may have come out before.</param>
public sealed record SendLabels(string Lot, string Print, string Printer, int? Copies = null, string? Reason = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [new(Lot, "lot")];
}

/// <summary>Wants a job cancelled.</summary>
/// <param name="Job">Such as <c>J00001</c>.</param>
public sealed record CancelJob(string Lot, string Job) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [new(Lot, "lot")];
}

/// <summary>The program is about to send the job.</summary>
public sealed record BeginJob(string Lot, string Job) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [new(Lot, "lot")];
}

/// <summary>The printer took the job.</summary>
public sealed record AcceptJob(string Lot, string Job, int Number) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [new(Lot, "lot")];
}

/// <summary>The job has ended.</summary>
public sealed record EndJob(string Lot, string Job, LabelJobState End, int? Printed, string? Detail) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [new(Lot, "lot")];
}

/// <summary>
/// Labels on their way to a printer. What people want has routes; what the printer says has none, so that nobody can say it in its
/// place: those three operations are the program's own.
/// </summary>
public static class SendingLabels
{
    /// <summary>Passes the gate a second time: a hold that came since the labels were queued stops them.</summary>
    public static Operation Begin { get; } = new Operation<BeginJob>(
        "labels", "begin", "Notes that labels are about to go out.", Roles.None, Passages.Labelling, LabelsJson.Default.BeginJob, Decide);

    public static Operation Accept { get; } = new Operation<AcceptJob>(
        "labels", "accept", "Notes the number that the printer gave.", Roles.None, Passages.None, LabelsJson.Default.AcceptJob, Decide);

    public static Operation End { get; } = new Operation<EndJob>(
        "labels", "end", "Notes how a job ended.", Roles.None, Passages.None, LabelsJson.Default.EndJob, Decide);

    internal static Decision Decide(SendLabels request, Situation situation)
    {
        var lot = situation.Lot(request.Lot);
        if (lot.Prints.FirstOrDefault(one => one.Id == request.Print) is not { } print)
            return Decision.Refuse("print.unknown", $"Lot {lot.Code} has no print {request.Print}.", "print");
        if (lot.NewestLike(print) is var newest && newest != print)
            return Decision.Refuse("labels.superseded", $"{newest.Id} is newer than {print.Id}.", "print");
        if (!situation.State.Printers.TryGetValue(request.Printer, out var printer))
            return Decision.Refuse("printer.unknown", $"There is no printer of that name. Printers: {string.Join(", ", situation.State.Printers.Keys.Order(StringComparer.Ordinal))}.", "printer");
        if (request.Copies > print.Copies)
            return Decision.Refuse("labels.content", $"Print {print.Id} has {print.Copies} labels. For more, print anew with a reason.", "copies");
        if (TemplateChoice.For(print.Template, situation.State.Templates, situation.Surroundings.Templates)?.Layout is not { } template)
            return Decision.Refuse("labels.template", $"The template {print.Template} of this print is gone. Print anew, with a reason.", "print");
        if (print.For == TemplateKind.Hold || template.Sheet is not null)
        {
            return Decision.Refuse(
                "labels.by-hand", template.Sheet is not null
                    ? $"{print.Template} is on sheets, and printers count sheets, not labels. Print the PDF of {print.Id} by hand."
                    : $"Printers are sent nothing of a held lot. Print the PDF of {print.Id} by hand.", "print");
        }

        if (Math.Abs(template.WidthMm - printer.WidthMm) > 0.5 || Math.Abs(template.HeightMm - printer.HeightMm) > 0.5)
        {
            return Decision.Refuse(
                "printer.media", FormattableString.Invariant($"The labels are {template.WidthMm} x {template.HeightMm} mm; {printer.Name} is described with {printer.WidthMm} x {printer.HeightMm} mm."), "printer");
        }

        if (Outdated(situation, lot, print) is { } outdated) return Decision.Refuse(outdated);
        var jobs = lot.Jobs.Where(job => job.Print == print.Id).ToList();
        if (jobs.FirstOrDefault(job => job.IsOpen) is { } open)
            return Decision.Refuse("labels.under-way", $"Job {open.Id} of {print.Id} has not ended.", "print");
        if (jobs.FirstOrDefault(job => job.Printed != 0) is { } before && string.IsNullOrWhiteSpace(request.Reason))
        {
            return Decision.Refuse(
                "labels.reprint-reason", $"Of job {before.Id} {(before.Printed is { } some ? $"{some} label(s) came out" : "it is unknown how many labels came out")}. Count them and give 'reason'.", "reason");
        }

        var first = FirstUnsent(print, jobs);
        if ((request.Copies ?? 1) > print.Copies - first)
        {
            return Decision.Refuse(
                "labels.sent", $"Of the {print.Copies} numbered labels of {print.Id}, {print.Copies - first} have not gone to a printer. No number goes out twice: for more, print anew with a reason.", "copies");
        }

        var id = FormattableString.Invariant($"J{situation.State.JobCount + 1:00000}");
        return Decision.Record(
            new LabelsQueued(id, lot.Code, print.Id, request.Copies ?? print.Copies - first, printer.Name, printer.Address,
                request.Reason, situation.Evidence, first),
            lot.Code, id);
    }

    /// <summary>
    /// Which label of the print is the next to go out. Labels that are all the same begin anew each time. A pack's own number goes to a
    /// printer once: what came out, or may have, is past.
    /// </summary>
    private static int FirstUnsent(LabelPrint print, List<LabelJob> jobs) =>
        print.SerialSeed is null ? 0 : jobs.Select(job => job.First + (job.Printed ?? job.Copies)).DefaultIfEmpty(0).Max();

    internal static Decision Decide(CancelJob request, Situation situation)
    {
        if (Find(situation, request.Lot, request.Job, out var job) is { } refused) return refused;
        return Decision.Record(
            job.State == LabelJobState.Queued
                ? new LabelJobEnded(job.Id, request.Lot, LabelJobState.Cancelled, 0, "Cancelled before anything was sent.")
                : new CancelAsked(job.Id, request.Lot),
            request.Lot, job.Id);
    }

    private static Decision Decide(BeginJob request, Situation situation)
    {
        if (Find(situation, request.Lot, request.Job, out var job) is { } refused) return refused;
        if (job.State != LabelJobState.Queued) return Decision.Refuse("labels.under-way", $"Job {job.Id} was sent before.");
        var lot = situation.Lot(request.Lot);
        return Outdated(situation, lot, lot.Prints.Single(print => print.Id == job.Print)) is { } outdated
            ? Decision.Refuse(outdated)
            : Decision.Record(new LabelsSending(job.Id, lot.Code), lot.Code, job.Id);
    }

    private static Decision Decide(AcceptJob request, Situation situation) =>
        Find(situation, request.Lot, request.Job, out var job)
            ?? Decision.Record(new LabelsAccepted(job.Id, request.Lot, request.Number), request.Lot, job.Id);

    private static Decision Decide(EndJob request, Situation situation) =>
        Find(situation, request.Lot, request.Job, out var job)
            ?? Decision.Record(
                new LabelJobEnded(job.Id, request.Lot, request.End, request.Printed, request.Detail), request.Lot, job.Id);

    private static Decision? Find(Situation situation, string lot, string id, out LabelJob job)
    {
        job = situation.Lot(lot).Jobs.FirstOrDefault(one => one.Id == id)!;
        if (job is null) return Decision.Refuse("job.unknown", $"Lot {lot} has no job {id}.", "job");
        return job.IsOpen ? null : Decision.Refuse("labels.job-ended", $"Job {id} has ended: {job.Detail}", "job");
    }

    /// <summary>A print whose date has become too late must not come out of a printer.</summary>
    private static Refusal? Outdated(Situation situation, Lot lot, LabelPrint print) =>
        BestBefore.Of(situation.State, lot) is { } date && print.BestBefore > date
            ? new Refusal("labels.outdated", $"The labels {print.Id} say best before {print.BestBefore:yyyy-MM-dd}; it is {date:yyyy-MM-dd} by what is known now. Print anew with a reason.", "print")
            : null;
}
