using System.Net;
using System.Net.Sockets;
using System.Text;
using Microsoft.AspNetCore.Http;
using Trace.Core.Access;
using Trace.Core.Lots;
using Trace.Tests.Web;
using Trace.Web.Printers.Ipp;
using Xunit;

namespace Trace.Tests.Printers;

/// <summary>
/// Printers that refuse, break or talk nonsense. What was surely not taken is failed with nothing printed; what may have been taken is
/// unknown; and in no case is anything sent a second time.
/// </summary>
public sealed class BadPrinterTests
{
    private static readonly (string Misdeed, string Words)[] Answers =
    [
        ("nonsense", "its answer is no IPP: version 72.101 is not 1.x or 2.x (byte 0)"),
        ("truncated", "its answer is no IPP: the length 27 of a name goes beyond the end (byte 38)"),
        ("behind", "its answer is no IPP: something stands behind its end (byte 9)"),
        ("other", "its answer is no IPP: it answers request 99999, not"),
        ("oversized", "its answer is larger than 512 KiB"),
        ("slow", "it did not answer within 1 s"),
        ("trickling", "it did not answer within 1 s"),
        ("page", "its answer is not of the type application/ipp: no printer listens there"),
        ("broken", "the connection broke"),
        ("error", "it answered with HTTP 500"),
        ("no-number", "it took the labels and gave the job no number"),
    ];

    [Fact]
    public async Task A_useless_answer_to_the_labels_leaves_the_job_unknown_and_unsent_again()
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        foreach (var (place, (misdeed, words)) in Answers.Index())
        {
            printer.Misbehave(IppOperation.PrintJob, Misdeed(misdeed));
            await plant.Send(more: ",\"reason\":\"looked there\"");
            var ended = await plant.Ended(Id(place));
            Assert.Equal((misdeed, LabelJobState.Unknown, null), (misdeed, ended.State, ended.Printed));
            Assert.Contains(words, ended.Detail);
            Assert.Equal(place + 1, printer.Asked.Count(asked => asked == IppOperation.PrintJob));
        }

        await plant.Rounds();
        await plant.Site.Restart();
        await plant.Rounds();
        Assert.Equal(Answers.Length, printer.Asked.Count(asked => asked == IppOperation.PrintJob));
        Assert.Equal(Answers.Length, (await plant.Account()).Unknown.Count);
    }

    [Fact]
    public async Task A_useless_answer_before_the_labels_go_out_ends_the_job_with_nothing_sent()
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        foreach (var (place, (misdeed, words)) in Answers[..^1].Index())
        {
            printer.Misbehave(IppOperation.GetPrinterAttributes, Misdeed(misdeed));
            await plant.Send();
            var ended = await plant.Ended(Id(place));
            Assert.Equal((misdeed, LabelJobState.Failed, 0), (misdeed, ended.State, ended.Printed));
            Assert.StartsWith("Nothing was sent: " + words, ended.Detail, StringComparison.Ordinal);
            var page = await plant.Packer.Html("/sites/S1/printers");
            Assert.Contains("No answer:", page);
            Assert.DoesNotContain("secret of the house", page);
        }

        Assert.DoesNotContain(IppOperation.PrintJob, printer.Asked);
        Assert.Equal(0, (await plant.Account()).Missing);
    }

    [Fact]
    public async Task A_useless_answer_about_a_job_is_asked_again_until_a_good_one_comes()
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        await plant.Send();
        await plant.Until(() => printer.Jobs.Count == 1);
        foreach (var (misdeed, words) in Answers[..^1])
        {
            printer.Misbehave(IppOperation.GetJobAttributes, Misdeed(misdeed));
            await plant.Until(async () => (await plant.Page()).Contains("The printer does not answer now: " + words, StringComparison.Ordinal));
            Assert.True((await plant.Job()).IsOpen);
        }

        (printer.Jobs[0].State, printer.Jobs[0].Impressions) = (9, 10);
        printer.Misbehave(IppOperation.GetJobAttributes, null);
        Assert.Equal(10, (await plant.Ended()).Printed);
        Assert.Single(printer.Asked, IppOperation.PrintJob);
    }

    [Theory]
    [InlineData(IppOperation.ValidateJob, "Nothing was sent: it refused: it does not support a wanted attribute or value")]
    [InlineData(IppOperation.PrintJob, "The printer took nothing: it refused: it does not support a wanted attribute or value")]
    public async Task A_refusal_is_failed_with_nothing_printed_and_may_be_sent_again_without_a_reason(ushort operation, string words)
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        printer.Refuses[operation] = 0x040b;
        await plant.Send();
        var ended = await plant.Ended();
        Assert.Equal((LabelJobState.Failed, 0), (ended.State, ended.Printed));
        Assert.StartsWith(words, ended.Detail, StringComparison.Ordinal);
        Assert.Equal(0, (await plant.Account()).Missing);
        printer.Refuses.Clear();
        await plant.Send();
        await plant.Until(() => printer.Jobs.Count == 1);
    }

    [Fact]
    public async Task What_a_printer_cannot_do_is_seen_before_anything_is_sent()
    {
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        printer.Sizes = [(6000, 4000), (10000, 15000)];
        await plant.Send();
        Assert.Equal("Nothing was sent: it takes no labels of 70 x 50 mm.", (await plant.Ended()).Detail);
        printer.Sizes = [];
        printer.Formats = ["image/pwg-raster"];
        await plant.Send();
        Assert.Equal("Nothing was sent: it does not take PDF; it takes image/pwg-raster.", (await plant.Ended("J00002")).Detail);
        (printer.Formats, printer.Accepts) = ([], false);
        await plant.Send();
        Assert.Equal("Nothing was sent: it accepts no jobs now.", (await plant.Ended("J00003")).Detail);
        Assert.DoesNotContain(IppOperation.PrintJob, printer.Asked);
    }

    [Fact]
    [Asvs("15.3.2", "1.3.6")]
    public async Task A_redirect_is_not_followed()
    {
        await using var elsewhere = await FakePrinter.Start();
        await using var printer = await FakePrinter.Start();
        await using var plant = await PrintingPlant.With(printer.Address);
        printer.Misbehave(IppOperation.GetPrinterAttributes, context =>
        {
            context.Response.StatusCode = 307;
            context.Response.Headers.Location = elsewhere.Http + "ipp/print";
            return Task.CompletedTask;
        });
        await plant.Send();
        Assert.Contains("it sends on to another address (HTTP 307), which is not followed", (await plant.Ended()).Detail);
        Assert.Empty(elsewhere.Asked);
    }

    [Fact]
    public async Task Nothing_that_listens_is_nothing_sent()
    {
        await using var plant = await PrintingPlant.With($"ipp://127.0.0.1:{FreePort()}/ipp/print");
        await plant.Send();
        var ended = await plant.Ended();
        Assert.Equal((LabelJobState.Failed, 0), (ended.State, ended.Printed));
        Assert.Equal("Nothing was sent: it cannot be reached: nothing listens there.", ended.Detail);
    }

    /// <summary>Only these two lists of roles may enter an address, and labels go to no other.</summary>
    [Theory]
    [Asvs("1.3.6", "13.2.4")]
    [InlineData(RoleName.Operator, false)]
    [InlineData(RoleName.Packer, false)]
    [InlineData(RoleName.Inspector, false)]
    [InlineData(RoleName.Quality, true)]
    [InlineData(RoleName.Owner, true)]
    public async Task Only_quality_and_owner_enter_addresses(RoleName role, bool may)
    {
        await using var site = await RunningSite.Start();
        var script = await site.WithKey(role);
        var answer = await script.PostJson("/api/sites/S1/printers/describe", """{"name":"Bench","address":"ipp://192.0.2.30/ipp/print","widthMm":70,"heightMm":50}""");
        Assert.Equal(may ? HttpStatusCode.Created : HttpStatusCode.Forbidden, answer.StatusCode);
    }

    private static string Id(int place) => FormattableString.Invariant($"J{place + 1:00000}");

    internal static int FreePort()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }

    private static Func<HttpContext, Task> Misdeed(string name) => name switch
    {
        "nonsense" => FakePrinter.Says(Encoding.ASCII.GetBytes("Hello, here is the secret of the house")),
        "truncated" => FakePrinter.Says(IppBytes.Begin(0, 1).ToArray()[..64]),
        "behind" => FakePrinter.Says(new IppBytes().Two(0x0101).Two(0).Four(1).One(3).One(3).ToArray()),
        "other" => FakePrinter.Says(new IppBytes().Two(0x0101).Two(0).Four(99_999).One(3).ToArray()),
        "oversized" => FakePrinter.Says(new byte[600 * 1024]),
        "slow" => context => Task.Delay(TimeSpan.FromSeconds(20), context.RequestAborted),
        "trickling" => Trickle,
        "page" => FakePrinter.Says(Encoding.ASCII.GetBytes("<h1>the secret of the house</h1>"), "text/html"),
        "broken" => context =>
        {
            context.Abort();
            return Task.CompletedTask;
        }
        ,
        "error" => FakePrinter.Says([], status: 500),
        _ => NoNumber,
    };

    private static async Task Trickle(HttpContext context)
    {
        context.Response.ContentType = "application/ipp";
        for (var piece = 0; piece < 100 && !context.RequestAborted.IsCancellationRequested; piece++)
        {
            await context.Response.Body.WriteAsync(new byte[] { 1 });
            await context.Response.Body.FlushAsync();
            await Task.Delay(200, context.RequestAborted);
        }
    }

    /// <summary>A success with the right request's number and nothing in it.</summary>
    private static Task NoNumber(HttpContext context)
    {
        var number = (uint)FakePrinter.LastRequest(context);
        return FakePrinter.Says(new IppBytes().Two(0x0101).Two(0).Four(number).One(3).ToArray())(context);
    }
}
