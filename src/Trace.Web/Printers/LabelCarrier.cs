using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Web.Endpoints;
using Trace.Web.Hosting;

namespace Trace.Web.Printers;

/// <summary>
/// Does the next thing for each open job of a printer: sends it, asks how it stands, cancels it. A job is sent at most once, whatever
/// happens: that it is about to be sent is on the disk before, and whoever finds it so without a number calls it unknown.
/// </summary>
internal sealed class LabelCarrier(TraceApp app, JobBoard board)
{
    private const string Lost = "The program ended while the labels went out, or could not note what became of them. Whether the printer has them is unknown: look there before you send again.";

    private readonly PrinterDesk desk = new(app.Settings.Printers);

    /// <summary>One round; never two at a time for the same printer.</summary>
    public async Task Carry(SiteLedger ledger, string printerName, CancellationToken stop)
    {
        var jobs = await ledger.ReadAsync(state => state.OpenJobs.Where(one => one.Job.Printer == printerName).Select(one => new Errand(
            ledger, one.Lot.Code, one.Job, state.Printers.GetValueOrDefault(printerName),
            one.Lot.Prints.Single(print => print.Id == one.Job.Print).Seq)).ToList());
        foreach (var errand in jobs)
        {
            stop.ThrowIfCancellationRequested();
            await (errand.Job.State switch
            {
                LabelJobState.Queued => Send(errand, stop),
                LabelJobState.Sent => Follow(errand, stop),
                _ => End(errand, LabelJobState.Unknown, null, Lost),
            });
        }
    }

    /// <summary>By which people find it in the printer's own list, and we know it again.</summary>
    internal static string NameOf(string site, LabelJob job) => $"{site} {job.Print} {job.Id}";

    private async Task Send(Errand errand, CancellationToken stop)
    {
        var (job, name) = (errand.Job, NameOf(errand.Site.Code, errand.Job));
        if (errand.Printer is not { } printer || printer.Address != job.Address)
        {
            await NotSent(errand, "the printer was removed or described anew since. Send the labels again");
            return;
        }

        await using var pdf = await DocumentEndpoints.Draw(app, errand.Site.Code, errand.PrintSeq, job.First, job.Copies);
        if (pdf is null)
        {
            await NotSent(errand, "the template of the print is gone or has changed since. Print anew, with a reason");
            return;
        }

        PrinterStatus status;
        try
        {
            status = await desk.Status(printer, stop);
            if (status.Objection(printer) is { } objection)
            {
                await NotSent(errand, objection);
                return;
            }

            await desk.Validate(printer, status, name, stop);
        }
        catch (PrinterCallException broken)
        {
            await NotSent(errand, broken.Message);
            return;
        }

        var begun = await Record(errand, SendingLabels.Begin, new BeginJob(errand.Lot, job.Id));
        if (!begun.IsRecorded)
        {
            await NotSent(errand, begun.Refusals[0].Detail);
            return;
        }

        await Print(errand, printer, status, name, pdf);
    }

    /// <summary>From here on the program's end does not stop it: the printer's answer is worth waiting for.</summary>
    private async Task Print(Errand errand, Printer printer, PrinterStatus status, string name, Stream pdf)
    {
        try
        {
            var number = await desk.Print(printer, status, name, pdf, CancellationToken.None);
            await Record(errand, SendingLabels.Accept, new AcceptJob(errand.Lot, errand.Job.Id, number));
        }
        catch (PrinterCallException broken) when (broken.Failure == CallFailure.NotTaken)
        {
            await End(errand, LabelJobState.Failed, 0, $"The printer took nothing: {broken.Message}.");
        }
        catch (PrinterCallException broken)
        {
            await End(errand, LabelJobState.Unknown, null, $"Whether the printer has the labels is unknown: {broken.Message}. Look there before you send again.");
        }
    }

    private async Task Follow(Errand errand, CancellationToken stop)
    {
        var (site, job, now) = (errand.Site.Code, errand.Job, app.Clock.GetUtcNow());
        if (errand.Printer is not { } described)
        {
            await End(errand, LabelJobState.Unknown, null, "The printer was removed while it had the labels; it is asked no more." + SoFar(site, job));
            return;
        }

        if (now - job.At > app.Settings.Printers.LongestJob)
        {
            await End(errand, LabelJobState.Unknown, null, "No end was heard of in all the time that a job is followed." + SoFar(site, job));
            return;
        }

        if (!board.IsDue(site, job.Id, now)) return;

        // The number means something where it was given, even if the printer has been described anew since.
        var printer = described with { Address = job.Address };
        try
        {
            var status = await desk.Job(printer, job.Number!.Value, stop);
            if (status is null || (status.Name is { } name && name != NameOf(site, job)))
            {
                await End(errand, LabelJobState.Unknown, null, $"The printer knows the job no more{(status is null ? "" : ": its number is another job's now")}. It may have been switched off." + SoFar(site, job));
                return;
            }

            if (JobEnding.Of(job, status) is { } ending)
            {
                await End(errand, ending.End, ending.Printed, ending.Words);
                return;
            }

            var reasons = status.Reasons.Concat((await desk.Status(printer, stop)).Reasons).Distinct().ToList();
            board.Saw(site, job.Id, new JobSight(PrinterWords.Of(status.State), reasons, status.Printed, app.Clock.GetUtcNow()));
            if (job.CancelledBy is not null) await desk.Cancel(printer, job.Number.Value, stop);
        }
        catch (PrinterCallException broken)
        {
            board.Missed(site, job.Id, broken.Message, app.Clock.GetUtcNow());
        }
    }

    private string SoFar(string site, LabelJob job) =>
        board.SightOf(site, job.Id) is { Printed: > 0 and var some } ? $" At least {some} label(s) had come out." : "";

    private Task NotSent(Errand errand, string why) => End(errand, LabelJobState.Failed, 0, $"Nothing was sent: {why}{(why.EndsWith('.') ? "" : ".")}");

    private async Task End(Errand errand, LabelJobState end, int? printed, string words)
    {
        // It may have been cancelled in this moment: then that is how it ended.
        await Record(errand, SendingLabels.End, new EndJob(errand.Lot, errand.Job.Id, end, printed, words));
        board.Clear(errand.Site.Code, errand.Job.Id);
    }

    private Task<Outcome> Record(Errand errand, Operation operation, IRequest request) => app.Path.Run(
        errand.Site, operation, request, new Caller("program", $"printer {errand.Job.Printer}", Roles.None), app.Surroundings);

    private sealed record Errand(SiteLedger Site, string Lot, LabelJob Job, Printer? Printer, long PrintSeq);
}
