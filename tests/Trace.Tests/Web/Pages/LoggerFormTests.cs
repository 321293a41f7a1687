using System.Net;
using System.Text;
using System.Text.RegularExpressions;
using Trace.Core;
using Trace.Core.Access;
using Trace.Core.Steps.Sanitising;
using Trace.Web.Hosting;
using Xunit;

namespace Trace.Tests.Web.Pages;

/// <summary>A logger's file on the form: seen first, then recorded; never kept.</summary>
public sealed partial class LoggerFormTests
{
    private const string Form = "/sites/S1/record/sanitising/run";

    [Fact]
    [Asvs("5.2.2")]
    public async Task A_chosen_file_is_shown_first_and_recorded_when_it_is_sent_on()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Operator);
        var harvest = await (await BenchStory.Begin(site)).Receive();
        site.Clock.Advance(TimeSpan.FromMinutes(10));
        var end = new DateTimeOffset(2026, 11, 25, 9, 5, 0, TimeSpan.FromHours(3));
        var file = Encoding.UTF8.GetBytes("Zeit;Kern °C\r\n" + string.Concat(Enumerable.Range(0, 9).Select(step => $"{end.AddSeconds(-30 * (8 - step)):dd.MM.yyyy HH:mm:ss};75,25\r\n")));
        var before = site.Head;

        // Its name and type say something else; only what is in it counts.
        var seen = await Send(site, browser, Fields(harvest, ""), file, "picture.png", "image/png");
        var html = WebUtility.HtmlDecode(await seen.Text());
        Assert.Equal(HttpStatusCode.OK, seen.StatusCode);
        Assert.Contains("Read, not recorded yet", html, StringComparison.Ordinal);
        Assert.Contains("separated by semicolons, decimal comma", html, StringComparison.Ordinal);
        Assert.Contains("min at 70 °C at least", html, StringComparison.Ordinal);
        Assert.Contains("no proof of safety", html, StringComparison.Ordinal);
        Assert.Contains($"value=\"{end:yyyy-MM-dd'T'HH:mm:ss}\"", html, StringComparison.Ordinal);
        Assert.Equal(before, site.Head);

        var readings = Area().Match(html).Groups[1].Value;
        var done = await browser.PostForm(Form, new(Fields(harvest, readings)) { ["happenedAt"] = $"{end:yyyy-MM-dd'T'HH:mm:ss}" });
        Assert.Equal(HttpStatusCode.SeeOther, done.StatusCode);
        var run = (LarvaeSanitised)Areas.Codec.Read("sanitising.run", site.App.Journal.Get("S1", site.Head)!.Entry.Payload);
        Assert.Equal(9, run.Readings.Count);
        Assert.All(run.Readings.Index(), one => Assert.Equal((end.AddSeconds(-30 * (8 - one.Index)), 75.25), (one.Item.At, one.Item.CoreCelsius)));
    }

    [Fact]
    public async Task Lines_pasted_from_a_logger_are_shown_before_they_are_recorded()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Operator);
        var harvest = await (await BenchStory.Begin(site)).Receive();
        var before = site.Head;
        var answer = await browser.PostForm(Form, Fields(harvest, "Time,Temp °F\n2026-11-25 08:00:00,167\n2026-11-25 08:00:30,167\n"));
        var html = WebUtility.HtmlDecode(await answer.Text());
        Assert.Contains("in °F, turned into °C", html, StringComparison.Ordinal);
        Assert.Contains("2026-11-25T08:00:30+03:00;75", html, StringComparison.Ordinal);
        Assert.Equal(before, site.Head);
    }

    [Fact]
    public async Task Typed_lines_can_be_seen_too_and_stay_as_they_are()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Operator);
        var before = site.Head;
        var html = WebUtility.HtmlDecode(await (await browser.PostForm(Form, new(Fields("X", "0 75\n60 75")) { ["read"] = "yes" })).Text());
        Assert.Contains("2 lines of seconds and °C", html, StringComparison.Ordinal);
        Assert.Contains(">0 75\n60 75</textarea>", html.ReplaceLineEndings("\n"), StringComparison.Ordinal);
        Assert.Equal(before, site.Head);
    }

    [Fact]
    public async Task What_the_file_leaves_open_is_asked_at_its_field_and_the_answer_counts()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Operator);
        const string lines = "Time;Core °C\n11/10/2026 08:00:00;75\n11/10/2026 08:00:30;75\n";
        var asked = await browser.PostForm(Form, Fields("X", lines));
        var html = WebUtility.HtmlDecode(await asked.Text());
        Assert.Equal(HttpStatusCode.UnprocessableEntity, asked.StatusCode);
        Assert.Contains("id=\"f-logger-order-problem\"", html, StringComparison.Ordinal);
        Assert.Contains("<details open", html, StringComparison.Ordinal);
        Assert.Contains("can be read in two ways", html, StringComparison.Ordinal);
        var answered = await browser.PostForm(Form, new(Fields("X", lines)) { ["logger-order"] = "month-first" });
        Assert.Contains("2026-11-10T08:00:30+03:00;75", WebUtility.HtmlDecode(await answered.Text()), StringComparison.Ordinal);
    }

    [Fact]
    [Asvs("5.2.1", "5.2.2")]
    public async Task A_file_that_is_too_large_or_no_text_is_refused_and_nothing_is_recorded()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Operator);
        var before = site.Head;
        var large = await Send(site, browser, Fields("X", ""), new byte[ConnectionLimits.LargestFile + 1], "run.csv", "text/csv");
        Assert.Equal(HttpStatusCode.RequestEntityTooLarge, large.StatusCode);
        var binary = await Send(site, browser, Fields("X", ""), [0x50, 0x4B, 3, 4, 0, 0], "run.csv", "text/csv");
        Assert.Equal(HttpStatusCode.UnprocessableEntity, binary.StatusCode);
        Assert.Contains("This is no text", WebUtility.HtmlDecode(await binary.Text()), StringComparison.Ordinal);
        Assert.Equal(before, site.Head);
    }

    [Fact]
    public async Task A_form_that_takes_no_file_turns_one_away_before_reading_it()
    {
        await using var site = await RunningSite.Start();
        using var content = new MultipartFormDataContent { { new StringContent("x"), "name" } };
        using var answer = await site.Visitor().PostAsync(new Uri("/sign-in", UriKind.Relative), content, TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.UnsupportedMediaType, answer.StatusCode);
    }

    private static Dictionary<string, string> Fields(string harvest, string readings) => new()
    {
        ["inputs[0].lot"] = harvest,
        ["inputs[0].massGrams"] = "1000",
        ["method"] = "hot-water",
        ["massOutGrams"] = "1000",
        ["happenedAt"] = "2026-11-25T09:00:00",
        ["readings"] = readings,
    };

    private static async Task<HttpResponseMessage> Send(RunningSite site, HttpClient browser, Dictionary<string, string> fields, byte[] file, string name, string type)
    {
        using var content = new MultipartFormDataContent();
        foreach (var (field, value) in Browsing.Filled(await browser.Html(Form), fields)) content.Add(new StringContent(value), field);
        var part = new ByteArrayContent(file);
        part.Headers.ContentType = new(type);
        content.Add(part, "loggerFile", name);
        return await browser.PostAsync(new Uri(site.Address, Form), content, TestContext.Current.CancellationToken);
    }

    [GeneratedRegex("name=\"readings\"[^>]*>([^<]*)</textarea>")]
    private static partial Regex Area();
}
