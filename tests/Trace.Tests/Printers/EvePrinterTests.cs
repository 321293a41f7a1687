using Trace.Core.Lots;
using UglyToad.PdfPig;
using Xunit;

namespace Trace.Tests.Printers;

/// <summary>
/// Against a printer that somebody else wrote: <c>ippeveprinter</c> 2.4 of Debian. They stand in one class, hence run one after
/// the other: there can be one avahi only.
/// Skipped, with the reason, where it cannot be started.
/// </summary>
public sealed class EvePrinterTests
{
    private static readonly Trace.Web.Printers.PrinterLimits Patient = new();

    [Fact]
    public async Task A_real_job_is_printed_and_counted_as_the_printer_reports()
    {
        await using var eve = await EvePrinter.Start(
            """
            echo "ATTR: job-impressions-completed=4" >&2
            echo "STATE: +media-empty-error" >&2
            while [ ! -e "$(dirname "$0")/refilled" ]; do sleep 0.2; done
            echo "STATE: -media-empty-error" >&2
            cp "$1" "$(dirname "$0")/printed.pdf"
            echo "ATTR: job-impressions-completed=10" >&2
            """);
        await using var plant = await PrintingPlant.With(eve.Address, Patient);
        await plant.Send();
        await plant.Until(async () => (await plant.Page()).Contains("out of labels (media-empty)", StringComparison.Ordinal));
        var page = await plant.Page();
        Assert.Contains("4 of 10 came out so far", page);
        Assert.Contains("Job 1 of the printer", page);
        Assert.Contains("om_label_70x50mm", await plant.Packer.GetStringAsync(new Uri("/sites/S1/printers", UriKind.Relative), TestContext.Current.CancellationToken));
        await File.WriteAllTextAsync(Path.Combine(eve.Folder.FullName, "refilled"), "", TestContext.Current.CancellationToken);
        var ended = await plant.Ended();
        Assert.Equal((LabelJobState.Completed, 10), (ended.State, ended.Printed));
        using var pdf = PdfDocument.Open(Path.Combine(eve.Folder.FullName, "printed.pdf"));
        Assert.Equal(10, pdf.NumberOfPages);
        Assert.True((await plant.Account()).IsKnown);
    }

    /// <summary>Without a command it says completed and 0 impressions: it does not count.</summary>
    [Fact]
    public async Task A_real_job_without_a_count_is_completed_with_an_unknown_number_of_labels()
    {
        await using var eve = await EvePrinter.Start(null);
        await using var plant = await PrintingPlant.With(eve.Address, Patient);
        await plant.Send();
        var ended = await plant.Ended();
        Assert.Equal((LabelJobState.Completed, null), (ended.State, ended.Printed));
        Assert.Equal(["J00001"], (await plant.Account()).Unknown);
    }

    [Fact]
    public async Task A_printer_killed_in_the_middle_leaves_the_job_unknown_and_gets_nothing_again()
    {
        await using var eve = await EvePrinter.Start("echo \"ATTR: job-impressions-completed=2\" >&2\necho x >> \"$(dirname \"$0\")/runs\"\nsleep 120");
        await using var plant = await PrintingPlant.With(eve.Address, Patient);
        await plant.Send();
        await plant.Until(async () => (await plant.Page()).Contains("2 of 10 came out so far", StringComparison.Ordinal));
        eve.Kill();
        await plant.Until(async () => (await plant.Page()).Contains("The printer does not answer now", StringComparison.Ordinal));
        Assert.True((await plant.Job()).IsOpen);
        await plant.Site.Restart();
        await plant.Rounds();
        Assert.True((await plant.Job()).IsOpen);
        await eve.SwitchOn();
        var ended = await plant.Ended();
        Assert.Equal((LabelJobState.Unknown, null), (ended.State, ended.Printed));
        await plant.Rounds();
        Assert.Single(await File.ReadAllLinesAsync(Path.Combine(eve.Folder.FullName, "runs"), TestContext.Current.CancellationToken));
    }
}
