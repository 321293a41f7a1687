using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Tests.Web;
using Trace.Web.Hosting;
using Trace.Web.Printers.Ipp;
using Xunit;

namespace Trace.Tests.Printers;

/// <summary>The program ends, or the printer does, with labels under way.</summary>
public sealed class PrinterRestartTests
{
    [Fact]
    public async Task A_job_in_flight_is_looked_up_again_by_its_number()
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        await plant.Send();
        await plant.Until(async () => (await plant.Job()).State == LabelJobState.Sent);
        await plant.Site.Restart();
        Assert.Equal((LabelJobState.Sent, 41), ((await plant.Job()).State, (await plant.Job()).Number));
        (printer.Jobs[0].State, printer.Jobs[0].Impressions) = (9, 10);
        Assert.Equal(10, (await plant.Ended()).Printed);
        Assert.Single(printer.Asked, IppOperation.PrintJob);
    }

    [Fact]
    public async Task A_send_that_was_cut_off_before_a_number_came_is_unknown_and_never_sent_again()
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With($"ipp://127.0.0.1:{BadPrinterTests.FreePort()}/ipp/print");

        // As a program that was killed leaves it: the note that labels go out is on the disk, and nothing after it.
        await plant.Story.Do("printers/describe", $$"""{"name":"Later","address":"{{printer.Address}}","widthMm":70,"heightMm":50}""");
        var (app, ledger) = (plant.Site.App, plant.Site.App.Site(TraceApp.FirstSite)!);
        var caller = new Caller("program", "printer Later", Roles.None);
        await plant.Story.Do("labels/send", $$"""{"lot":"{{plant.Lot}}","print":"L00001","printer":"Later"}""");
        await app.Path.Run(ledger, SendingLabels.Begin, new BeginJob(plant.Lot, "J00001"), caller, app.Surroundings);
        if (printer.Asked.Contains(IppOperation.PrintJob)) Assert.Skip("The courier was quicker than the test.");
        await plant.Site.Restart();
        var ended = await plant.Ended();
        Assert.Equal((LabelJobState.Unknown, null), (ended.State, ended.Printed));
        Assert.Contains("look there before you send again", ended.Detail);
        await plant.Rounds();
        Assert.DoesNotContain(IppOperation.PrintJob, printer.Asked);
    }

    [Fact]
    public async Task A_program_that_ends_while_the_printer_takes_the_labels_waits_for_the_number()
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address, PrintingPlant.Short with { Sending = TimeSpan.FromSeconds(20) });
        var isIn = new TaskCompletionSource();
        var goOn = new TaskCompletionSource();
        printer.Misbehave(IppOperation.PrintJob, async context =>
        {
            isIn.SetResult();
            await goOn.Task;
            var answer = new IppBytes().Two(0x0101).Two(0).Four((uint)FakePrinter.LastRequest(context))
                .One(2).One(0x21).Two(6).Text("job-id").Two(4).Four(77).One(3).ToArray();
            await FakePrinter.Says(answer)(context);
        });
        await plant.Send();
        await plant.Until(() => isIn.Task.IsCompleted);
        var ending = plant.Site.Restart();
        await Task.Delay(300, TestContext.Current.CancellationToken);
        Assert.False(ending.IsCompleted);
        goOn.SetResult();
        await ending;
        Assert.Equal(77, (await plant.Job()).Number);
    }

    [Fact]
    public async Task A_printer_that_was_switched_off_and_counts_anew_is_not_believed_about_another_job()
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        await plant.Send();
        await plant.Until(() => printer.Jobs.Count == 1);
        printer.Jobs[0].Impressions = 4;
        printer.Jobs[0].State = 5;
        await plant.Until(async () => (await plant.Page()).Contains("4 of 10 came out so far", StringComparison.Ordinal));

        // The same number is somebody else's job now, and completed.
        (printer.Jobs[0].Name, printer.Jobs[0].State, printer.Jobs[0].Impressions) = ("holiday pictures", 9, 10);
        var ended = await plant.Ended();
        Assert.Equal((LabelJobState.Unknown, null), (ended.State, ended.Printed));
        Assert.Contains("its number is another job's now", ended.Detail);
        Assert.Contains("At least 4 label(s) had come out.", ended.Detail);
    }

    [Fact]
    public async Task A_printer_that_dies_with_the_labels_is_asked_until_it_is_back_and_has_forgotten()
    {
        var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        var port = printer.Http.Port;
        await plant.Send();
        await plant.Until(async () => (await plant.Job()).State == LabelJobState.Sent);
        await printer.DisposeAsync();
        await plant.Until(async () => (await plant.Page()).Contains("nothing listens there", StringComparison.Ordinal));
        Assert.True((await plant.Job()).IsOpen);
        await using var again = await FakePrinter.Start(port);
        var ended = await plant.Ended();
        Assert.Equal((LabelJobState.Unknown, null), (ended.State, ended.Printed));
        Assert.Contains("The printer knows the job no more. It may have been switched off.", ended.Detail);
        Assert.DoesNotContain(IppOperation.PrintJob, again.Asked);
    }

    [Fact]
    public async Task A_printer_that_was_removed_is_called_no_more()
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        await plant.Send();
        await plant.Until(async () => (await plant.Job()).State == LabelJobState.Sent);
        await plant.Story.Do("printers/remove", """{"name":"Bench"}""");
        Assert.Equal(LabelJobState.Unknown, (await plant.Ended()).State);
        var asked = printer.Asked.Count;
        await plant.Rounds();
        Assert.Equal(asked, printer.Asked.Count);
    }

    [Fact]
    public async Task A_job_that_never_ends_is_unknown_after_a_week()
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        await plant.Send();
        await plant.Until(async () => (await plant.Job()).State == LabelJobState.Sent);
        plant.Site.Clock.Advance(TimeSpan.FromDays(7) + TimeSpan.FromSeconds(1));
        Assert.Contains("No end was heard of", (await plant.Ended()).Detail);
    }
}
