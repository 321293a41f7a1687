using System.Net;
using System.Text.Json;
using Trace.Core.Access;
using Xunit;

namespace Trace.Tests.Web.Pages;

public sealed class ChartsPageTests
{
    private const string Nasty = "<b>M&1</b>";

    /// <summary>Batches of one delivery, an hour apart, in the dryer given.</summary>
    private static async Task<List<string>> Batches(RunningSite site, BenchStory story, params (double Yield, string Dryer)[] told)
    {
        var run = await story.Sanitise(await story.Receive());
        var lots = new List<string>();
        foreach (var (yield, dryer) in told)
        {
            var lot = await story.Do("drying/start", $$"""{"inputs":[{"lot":"{{run}}","massGrams":35}],"dryer":"{{JsonEncodedText.Encode(dryer)}}","powerWatts":2000,"happenedAt":"{{story.Now}}"}""");
            site.Clock.Advance(TimeSpan.FromMinutes(5));
            await story.Do("drying/cycle", $$"""{"lot":"{{lot}}","seconds":240,"happenedAt":"{{story.Now}}"}""");
            await story.Do("drying/weigh-out", FormattableString.Invariant($$"""{"lot":"{{lot}}","massOutGrams":{{yield * 0.35:0.###}},"puffed":true,"crumbles":true,"happenedAt":"{{story.Now}}"}"""));
            lots.Add(lot);
        }

        return lots;
    }

    [Fact]
    public async Task The_chart_as_JSON_has_points_limits_and_signals_in_words()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var lots = await Batches(site, story, (30, "M1"), (31, "M1"), (30, "M1"), (31, "M1"), (30, "M1"), (30, "M2"));
        var key = await site.WithKey(RoleName.Inspector);
        using var chart = JsonDocument.Parse(await (await key.Open("/api/sites/S1/charts?measure=yield&by=dryer&key=M1")).Text());
        var root = chart.RootElement;
        Assert.Equal(lots[..5], root.GetProperty("points").EnumerateArray().Select(point => point.GetProperty("lot").GetString()));
        Assert.True(root.GetProperty("provisional").GetBoolean());
        Assert.Equal(30.4, root.GetProperty("limits")[0].GetProperty("center").GetDouble(), 1e-9);
        Assert.Contains("not specification limits", root.GetProperty("caution").GetString());
        Assert.Empty(root.GetProperty("signals").EnumerateArray());
        using var base2 = JsonDocument.Parse(await (await key.Open("/api/sites/S1/charts")).Text());
        Assert.Equal("M2", base2.RootElement.GetProperty("key").GetString());
        Assert.Contains("fewer than two", base2.RootElement.GetProperty("limits")[0].GetProperty("problem").GetString());
    }

    [Fact]
    public async Task What_no_chart_can_be_made_of_is_refused_by_name()
    {
        (string Query, string Field)[] wrong =
        [
            ("measure=weight", "measure"), ("measure=Yield", "measure"), ("measure=0", "measure"), ("by=moon", "by"), ("chart=pie", "chart"),
            ("rules=mine", "rules"), ("from=2026-02-30", "from"), ("from=2026-03-02&to=2026-03-01", "from"), ("baseFrom=2026-03-02", "baseTo"),
            ("baseTo=2026-03-02", "baseFrom"), ("baseFrom=2026-03-02&baseTo=2026-03-01", "baseFrom"), ("dryer=" + new string('x', 201), "dryer"),
        ];
        await using var site = await RunningSite.Start();
        var (script, browser) = (await site.WithKey(RoleName.Quality), await site.SignedIn(RoleName.Owner));
        foreach (var (query, field) in wrong)
        {
            var answer = await script.Open("/api/sites/S1/charts?" + query);
            Assert.Equal((query, HttpStatusCode.BadRequest), (query, answer.StatusCode));
            using var problem = JsonDocument.Parse(await answer.Text());
            Assert.Equal(
                ("request.invalid", field),
                (problem.RootElement.GetProperty("code").GetString(), problem.RootElement.GetProperty("field").GetString()));
            Assert.Equal(HttpStatusCode.BadRequest, (await browser.Open("/sites/S1/charts?" + query)).StatusCode);
        }

        Assert.Equal(HttpStatusCode.NotFound, (await script.Open("/api/sites/S9/charts")).StatusCode);
        Assert.Equal(HttpStatusCode.OK, (await browser.Open("/sites/S1/charts?measure=&dryer=&to=&baseFrom=&baseTo=")).StatusCode);
    }

    [Fact]
    public async Task The_page_says_what_limits_are_not_and_shows_drawing_table_and_signals()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var quiet = Enumerable.Range(0, 25).Select(i => (30 + i % 2 * 0.5, Nasty));
        var lots = await Batches(site, story, [.. quiet, (34, Nasty)]);
        var browser = await site.SignedIn(RoleName.Quality);
        Assert.Contains("href=\"/sites/S1/charts\"", await browser.Html("/quality"), StringComparison.Ordinal);
        var html = await browser.Html("/sites/S1/charts?group=" + Uri.EscapeDataString("dryer:" + Nasty));
        Assert.Contains("Control limits are not specification limits.", html, StringComparison.Ordinal);
        Assert.Contains("never releases a lot", html, StringComparison.Ordinal);
        Assert.DoesNotContain(Nasty, html, StringComparison.Ordinal);
        Assert.Contains("<svg class=\"chart narrow\"", html, StringComparison.Ordinal);
        Assert.Contains("<svg class=\"chart wide\"", html, StringComparison.Ordinal);
        Assert.Contains("26 values from 30.00 to 34.00", html, StringComparison.Ordinal);
        Assert.Matches($"WE1</span>\\s*<a href=\"/sites/S1/lots/{lots[^1]}\">", html);
        Assert.All(lots, lot => Assert.Contains($"<th scope=\"row\"><a href=\"/sites/S1/lots/{lot}\">", html, StringComparison.Ordinal));
        Assert.DoesNotContain("Provisional limits", html, StringComparison.Ordinal);
        var early = await browser.Html("/sites/S1/charts?baseFrom=2026-11-25&baseTo=2026-11-25&chart=ewma");
        Assert.Contains("weighted mean", early, StringComparison.Ordinal);
        Assert.Contains("No weighed-out batch", await browser.Html("/sites/S1/charts?to=2020-01-01&from=2019-01-01"), StringComparison.Ordinal);
    }
}
