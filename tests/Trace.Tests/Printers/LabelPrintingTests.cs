using System.Net;
using Trace.Core.Access;
using Trace.Core.Lots;
using Trace.Tests.Web;
using Trace.Web.Printers.Ipp;
using UglyToad.PdfPig;
using Xunit;

namespace Trace.Tests.Printers;

/// <summary>Labels sent to a printer by the running program: what is shown, what is counted, and what is never sent twice.</summary>
public sealed class LabelPrintingTests
{
    [Fact]
    public async Task Labels_are_printed_once_and_what_came_out_is_what_the_printer_reports()
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        await plant.Send();
        await plant.Until(() => printer.Jobs.Count == 1);
        var job = printer.Jobs[0];
        Assert.Equal("S1 L00001 J00001", job.Name);
        using (var pdf = PdfDocument.Open(job.Document)) Assert.Equal(10, pdf.NumberOfPages);
        var wanted = printer.Requests.Last(one => one.Code == IppOperation.PrintJob).Group(IppTag.JobAttributes)!;
        var size = wanted.Collections("media-col")[0].Inner("media-size")!;
        Assert.Equal((7000, 5000), (size.Number("x-dimension"), size.Number("y-dimension")));
        Assert.Equal("none", wanted.Text("print-scaling"));

        (job.State, job.Impressions) = (5, 3);
        await plant.Until(async () => (await plant.Page()).Contains("3 of 10 came out so far", StringComparison.Ordinal));
        Assert.Contains("http-equiv=\"refresh\"", await plant.Page());
        Assert.Contains("Still under way: J00001.", (await plant.Account()).Words);

        (job.State, job.Impressions) = (9, 10);
        var ended = await plant.Ended();
        Assert.Equal((LabelJobState.Completed, 10), (ended.State, ended.Printed));
        Assert.Single(printer.Asked, IppOperation.PrintJob);
        var page = await plant.Page();
        Assert.Contains("10 of 10 came out", page);
        Assert.DoesNotContain("http-equiv=\"refresh\"", page);
        Assert.DoesNotContain("<script", page);
        Assert.Equal(
            "Printers reported 10 labels; 9 are accounted for. 1 label came out and is not accounted for: look for them.",
            await plant.Finding("labels/reconcile", $$"""{"lot":"{{plant.Lot}}","applied":3,"spoiled":1,"returned":5}"""));
    }

    [Fact]
    public async Task A_printer_out_of_labels_is_shown_and_goes_on_when_it_is_filled()
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        await plant.Send();
        await plant.Until(() => printer.Jobs.Count == 1);
        (printer.Jobs[0].State, printer.Jobs[0].Reasons, printer.Jobs[0].Impressions, printer.Reasons) = (6, ["printer-stopped"], 4, ["media-empty-error", "cover-open"]);
        await plant.Until(async () => (await plant.Page()).Contains("out of labels (media-empty)", StringComparison.Ordinal));
        var page = await plant.Page();
        Assert.Contains(">stopped<", page);
        Assert.Contains("the cover is open (cover-open)", page);
        Assert.Contains("4 of 10 came out so far", page);
        Assert.True((await plant.Job()).IsOpen);
        (printer.Jobs[0].State, printer.Jobs[0].Impressions) = (9, 10);
        Assert.Equal(10, (await plant.Ended()).Printed);
    }

    [Fact]
    public async Task A_job_that_the_printer_gave_up_counts_only_what_came_out()
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        await plant.Send();
        await plant.Until(() => printer.Jobs.Count == 1);
        (printer.Jobs[0].State, printer.Jobs[0].Reasons, printer.Jobs[0].Impressions) = (8, ["aborted-by-system"], 3);
        var ended = await plant.Ended();
        Assert.Equal((LabelJobState.Aborted, 3), (ended.State, ended.Printed));
        Assert.Contains("3 of 10 came out", await plant.Page());
        Assert.Equal((3, 3), ((await plant.Account()).Reported, (await plant.Account()).Missing));

        // Some came out: to send again, somebody must have counted.
        var script = await plant.Site.WithKey(RoleName.Packer);
        var again = await script.PostJson("/api/sites/S1/labels/send", $$"""{"lot":"{{plant.Lot}}","print":"L00001","printer":"Bench","copies":7}""");
        Assert.Contains("labels.reprint-reason", await again.Text());
        await plant.Send(more: ",\"copies\":7,\"reason\":\"three were good\"");
        await plant.Until(() => printer.Jobs.Count == 2);
        using var pdf = PdfDocument.Open(printer.Jobs[1].Document);
        Assert.Equal(7, pdf.NumberOfPages);
        (printer.Jobs[1].State, printer.Jobs[1].Impressions) = (9, 7);
        await plant.Ended("J00002");
        Assert.Equal(10, (await plant.Account()).Reported);
    }

    [Fact]
    public async Task A_job_is_cancelled_at_the_printer_and_counts_what_it_reports()
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        await plant.Send();
        await plant.Until(() => printer.Jobs.Count == 1);
        (printer.Jobs[0].State, printer.Jobs[0].Impressions) = (5, 2);
        var page = await plant.Page();
        var fields = Browsing.Filled(page, new() { ["lot"] = plant.Lot, ["job"] = "J00001" });
        var answer = await plant.Packer.Post("/sites/S1/record/labels/cancel", fields);
        Assert.Equal(HttpStatusCode.SeeOther, answer.StatusCode);
        Assert.StartsWith("/sites/S1/labels/L00001", answer.Headers.Location!.ToString(), StringComparison.Ordinal);
        var ended = await plant.Ended();
        Assert.Equal((LabelJobState.Cancelled, 2, "Pia"), (ended.State, ended.Printed, ended.CancelledBy));
        Assert.Contains(IppOperation.CancelJob, printer.Asked);
        Assert.Equal(2, (await plant.Account()).Reported);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(null)]
    public async Task Completed_without_a_count_is_unknown_and_never_taken_for_what_was_asked(int? impressions)
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        await plant.Send();
        await plant.Until(() => printer.Jobs.Count == 1);
        (printer.Jobs[0].State, printer.Jobs[0].Impressions) = (9, impressions);
        var ended = await plant.Ended();
        Assert.Equal((LabelJobState.Completed, null), (ended.State, ended.Printed));
        Assert.Contains("How many came out is unknown", await plant.Page());
        Assert.Null((await plant.Account()).Missing);
    }

    [Fact]
    public async Task A_hold_that_came_after_queueing_keeps_the_labels_back()
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        await plant.Send();
        await plant.Story.Do("holds/place", $$"""{"lot":"{{plant.Lot}}","reason":"smells odd"}""");
        if ((await plant.Job()).State == LabelJobState.Queued) await plant.Until(async () => (await plant.Job()).State != LabelJobState.Queued);
        var script = await plant.Site.WithKey(RoleName.Packer);
        var held = await script.PostJson("/api/sites/S1/labels/send", $$"""{"lot":"{{plant.Lot}}","print":"L00001","printer":"Bench"}""");
        Assert.Equal(HttpStatusCode.Conflict, held.StatusCode);
        Assert.Contains("lot.held", await held.Text());
    }

    [Fact]
    public async Task The_form_of_a_print_sends_it_and_shows_its_story()
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        var page = await plant.Page();
        Assert.Contains("Stored is not yet printed.", page);
        Assert.Contains("/api/sites/S1/labels/L00001.pdf", page);
        var answer = await plant.Packer.Post(
            "/sites/S1/record/labels/send", Browsing.Filled(page, new() { ["lot"] = plant.Lot, ["print"] = "L00001", ["printer"] = "Bench", ["copies"] = "" }));
        Assert.Equal(HttpStatusCode.SeeOther, answer.StatusCode);
        Assert.Contains("Recorded: Send labels to a printer.", await plant.Packer.Html(answer.Headers.Location!.ToString()));
        await plant.Until(() => printer.Jobs.Count == 1);
        await plant.Until(async () => (await plant.Page()).Contains("Job 41 of the printer", StringComparison.Ordinal));
    }

    [Fact]
    [Asvs("14.2.3")]
    public async Task The_page_of_printers_shows_what_they_say_as_text_and_only_asks()
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        printer.Reasons = ["media-empty-warning", "x-<script>alert(1)</script>"];
        var owner = await plant.Site.SignedIn(RoleName.Owner);
        var page = await owner.Html("/sites/S1/printers");
        Assert.Contains("out of labels (media-empty)", page);
        Assert.Contains("om_label_70x50mm", page);
        Assert.Contains("application/pdf, image/pwg-raster", page);
        Assert.Contains("Test &lt;b&gt;label&lt;/b&gt; printer", page);
        Assert.DoesNotContain("<script", page);
        Assert.All(printer.Asked, asked => Assert.Equal(IppOperation.GetPrinterAttributes, asked));
        var api = await (await plant.Site.WithKey(RoleName.Packer)).Open("/api/sites/S1/printers");
        Assert.Contains("\"mediaReady\":[\"om_label_70x50mm\"]", await api.Text());
    }
}
