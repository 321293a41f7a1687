using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Printers;
using Trace.Core.Steps.Drying;
using Trace.Tests.Support;
using Xunit;
using Outcome = Trace.Core.Operations.Outcome;

namespace Trace.Tests.Printers;

/// <summary>Label jobs in the journal: who may move them on, what counts as printed, and which labels may be on packs.</summary>
public sealed class LabelJobTests
{
    [Fact]
    public async Task A_job_goes_from_step_to_step_and_no_step_twice()
    {
        var (plant, lot) = await Printed();
        await plant.Do("labels/send", new SendLabels(lot, "L00001", "Bench"));
        var job = plant.Lot(lot).Jobs[0];
        Assert.Equal(("J00001", LabelJobState.Queued, 2, "ipp://192.0.2.30/ipp/print"), (job.Id, job.State, job.Copies, job.Address));
        await plant.Refused("labels.under-way", "labels/send", new SendLabels(lot, "L00001", "Bench"));
        Assert.True((await Run(plant, SendingLabels.Begin, new BeginJob(lot, "J00001"))).IsRecorded);
        Assert.Equal("labels.under-way", (await Run(plant, SendingLabels.Begin, new BeginJob(lot, "J00001"))).Refusals[0].Code);
        Assert.True((await Run(plant, SendingLabels.Accept, new AcceptJob(lot, "J00001", 7))).IsRecorded);
        Assert.Single(plant.State.OpenJobs);
        Assert.True((await Run(plant, SendingLabels.End, new EndJob(lot, "J00001", LabelJobState.Completed, 2, "done"))).IsRecorded);
        Assert.Empty(plant.State.OpenJobs);
        Assert.Equal("labels.job-ended", (await Run(plant, SendingLabels.End, new EndJob(lot, "J00001", LabelJobState.Aborted, 0, ""))).Refusals[0].Code);
        await plant.Refused("labels.job-ended", "labels/cancel", new CancelJob(lot, "J00001"));
        Assert.Equal(2, plant.Lot(lot).Jobs[0].Printed);
    }

    [Fact]
    public async Task Cancelled_before_it_was_sent_it_ends_at_once_and_cannot_begin()
    {
        var (plant, lot) = await Printed();
        await plant.Do("labels/send", new SendLabels(lot, "L00001", "Bench"));
        await plant.Do("labels/cancel", new CancelJob(lot, "J00001"));
        Assert.Equal((LabelJobState.Cancelled, 0), (plant.Lot(lot).Jobs[0].State, plant.Lot(lot).Jobs[0].Printed));
        Assert.Equal("labels.job-ended", (await Run(plant, SendingLabels.Begin, new BeginJob(lot, "J00001"))).Refusals[0].Code);

        // Nothing came out, so it may be sent again without a reason.
        await plant.Do("labels/send", new SendLabels(lot, "L00001", "Bench"));
        await plant.Do("labels/cancel", new CancelJob(lot, "J00002"));
        Assert.True(LabelAccount.IsNothingPrinted(plant.Lot(lot)));
    }

    [Fact]
    public async Task A_hold_since_queueing_stops_a_job_at_the_gate()
    {
        var (plant, lot) = await Printed();
        await plant.Do("labels/send", new SendLabels(lot, "L00001", "Bench"));
        await plant.PlaceHold(lot);
        Assert.Equal("lot.held", (await Run(plant, SendingLabels.Begin, new BeginJob(lot, "J00001"))).Refusals[0].Code);
        Assert.Equal(LabelJobState.Queued, plant.Lot(lot).Jobs[0].State);
        Assert.True((await Run(plant, SendingLabels.End, new EndJob(lot, "J00001", LabelJobState.Failed, 0, "held"))).IsRecorded);
        await plant.Held("labels/send", new SendLabels(lot, "L00001", "Bench"));
    }

    [Fact]
    public async Task What_does_not_fit_is_refused()
    {
        var (plant, lot) = await Printed();
        await plant.Do("printers/describe", new DescribePrinter("Small", "ipp://192.0.2.31/", 60, 40));
        await plant.Refused("printer.media", "labels/send", new SendLabels(lot, "L00001", "Small"));
        await plant.Refused("printer.unknown", "labels/send", new SendLabels(lot, "L00001", "Nowhere"));
        await plant.Refused("print.unknown", "labels/send", new SendLabels(lot, "L00009", "Bench"));
        await plant.Refused("labels.content", "labels/send", new SendLabels(lot, "L00001", "Bench", 3));
        await plant.Refused("job.unknown", "labels/cancel", new CancelJob(lot, "J00009"));
        await plant.Refused("printer.unknown", "printers/remove", new RemovePrinter("Nowhere"));
        await plant.Print(lot, reason: "smudged");
        await plant.Refused("labels.superseded", "labels/send", new SendLabels(lot, "L00001", "Bench"));
        await plant.Do("printers/remove", new RemovePrinter("Bench"));
        await plant.Refused("printer.unknown", "labels/send", new SendLabels(lot, "L00002", "Bench"));
    }

    [Theory]
    [InlineData(LabelJobState.Completed, 2, false)]
    [InlineData(LabelJobState.Aborted, 1, false)]
    [InlineData(LabelJobState.Unknown, null, false)]
    [InlineData(LabelJobState.Failed, 0, true)]
    [InlineData(LabelJobState.Cancelled, 0, true)]
    public async Task Sending_again_needs_a_reason_unless_nothing_came_out(LabelJobState end, int? printed, bool isFree)
    {
        var (plant, lot) = await Printed();
        await Through(plant, lot, "J00001", end, printed);
        if (isFree) await plant.Do("labels/send", new SendLabels(lot, "L00001", "Bench"));
        else await plant.Refused("labels.reprint-reason", "labels/send", new SendLabels(lot, "L00001", "Bench"));
        if (!isFree) await plant.Do("labels/send", new SendLabels(lot, "L00001", "Bench", Reason: "counted"));
    }

    [Fact]
    public async Task A_failed_job_counts_nothing_and_an_unknown_one_is_said_to_be_unknown()
    {
        var (plant, lot) = await Printed();
        Assert.Equal(["L00001"], LabelAccount.Of(plant.Lot(lot))!.ByHand);
        await Through(plant, lot, "J00001", LabelJobState.Failed, 0);
        var none = await plant.Do("labels/reconcile", new ReconcileLabels(lot, 0, 0, 0));
        Assert.Equal("Printers reported 0 labels; 0 are accounted for.", none.Finding);
        await Through(plant, lot, "J00002", LabelJobState.Completed, 2);
        Assert.Equal(2, LabelAccount.Of(plant.Lot(lot))!.Missing);
        var more = await plant.Do("labels/reconcile", new ReconcileLabels(lot, 2, 1, 0));
        Assert.Equal("Printers reported 2 labels; 3 are accounted for. 1 label more than came out: count again.", more.Finding);
        await Through(plant, lot, "J00003", LabelJobState.Unknown, null, "again");
        var unknown = await plant.Do("labels/reconcile", new ReconcileLabels(lot, 0, 0, 0));
        Assert.Equal("Printers reported 2 labels; 3 are accounted for. How many came out of J00003 is unknown: count them at the printer.", unknown.Finding);
    }

    /// <summary>
    /// The packs carry L00001 with a date that has become too late. A newer print helps only when its labels came out: before, the mere
    /// record of it let the packs leave with the old date.
    /// </summary>
    [Theory]
    [InlineData(LabelJobState.Failed, 0, false)]
    [InlineData(LabelJobState.Cancelled, 0, false)]
    [InlineData(LabelJobState.Unknown, null, false)]
    [InlineData(LabelJobState.Aborted, 1, false)]
    [InlineData(LabelJobState.Completed, 2, true)]
    public async Task Packs_with_an_outdated_label_leave_only_when_the_new_labels_came_out(LabelJobState end, int? printed, bool mayLeave)
    {
        var plant = await Plant.Create();
        await plant.Do("printers/describe", new DescribePrinter("Bench", "ipp://192.0.2.30/ipp/print", 70, 50));
        var sanitised = await plant.Sanitise(await plant.Receive());
        var before = plant.Later();
        plant.Later(60 * 24 * 10);
        var batch = await plant.Dry(sanitised);
        var lot = await plant.Pack(await plant.Fill("B1", batch));
        await plant.Print(lot);
        await Through(plant, lot, "J00001", LabelJobState.Completed, 2);
        await plant.Ship(lot);
        await plant.Correct(plant.Lot(batch).MadeBySeq, new StartDrying([new(sanitised, 250)], "M1", 900, before));
        await plant.Refused("labels.outdated", "labels/send", new SendLabels(lot, "L00001", "Bench", Reason: "again"));
        await plant.Print(lot, reason: "earlier date");
        await Through(plant, lot, "J00002", end, printed, print: "L00002");
        if (mayLeave) await plant.Ship(lot);
        else await plant.Refused("labels.outdated", "shipping/ship", plant.Shipment(lot));
    }

    [Fact]
    public async Task Printers_and_jobs_come_back_from_a_snapshot_and_from_the_journal()
    {
        var (plant, lot) = await Printed();
        await Through(plant, lot, "J00001", LabelJobState.Aborted, 1);
        await plant.Do("labels/send", new SendLabels(lot, "L00001", "Bench", 1, "the second"));
        await Run(plant, SendingLabels.Begin, new BeginJob(lot, "J00002"));
        await plant.Do("labels/cancel", new CancelJob(lot, "J00002"));
        var expected = StateText.Of(plant.State);
        Assert.Equal(expected, StateText.Of(plant.Fresh()));
        var back = SiteState.FromSnapshot(plant.State.ToSnapshot());
        Assert.Equal(expected, StateText.Of(back));
        Assert.Equal("J00002", Assert.Single(back.OpenJobs).Job.Id);
        Assert.Equal((2, "Ann"), (back.JobCount, back.OpenJobs.Single().Job.CancelledBy));
    }

    private static async Task<(Plant Plant, string Lot)> Printed()
    {
        var plant = await Plant.Create();
        var lot = await plant.Pack(await plant.DryFromFresh());
        await plant.Print(lot);
        await plant.Do("printers/describe", new DescribePrinter("Bench", "ipp://192.0.2.30/ipp/print", 70, 50));
        return (plant, lot);
    }

    private static async Task Through(Plant plant, string lot, string job, LabelJobState end, int? printed, string? reason = null, string print = "L00001")
    {
        await plant.Do("labels/send", new SendLabels(lot, print, "Bench", Reason: reason));
        if (end != LabelJobState.Failed) Assert.True((await Run(plant, SendingLabels.Begin, new BeginJob(lot, job))).IsRecorded);
        Assert.True((await Run(plant, SendingLabels.End, new EndJob(lot, job, end, printed, "so"))).IsRecorded);
    }

    private static Task<Outcome> Run(Plant plant, Operation operation, IRequest request) =>
        plant.Path.Run(plant.Site, operation, request, new Caller("program", "printer Bench", Roles.None), Plant.Around);
}
