using System.Net;
using System.Text.Json.Nodes;
using Trace.Core.Access;
using Xunit;

namespace Trace.Tests.Web.Pages;

/// <summary>Weighing packs and checking instruments as people do it, with what the API says of it.</summary>
public sealed class NetQuantityPageTests
{
    [Fact]
    public async Task Packs_are_weighed_on_a_form_and_the_lots_page_tells_the_verdict()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var lot = await story.Packed();
        var browser = await site.SignedIn(RoleName.Packer);
        var done = await browser.PostForm($"/sites/S1/record/packing/weigh?lot={lot}", new()
        {
            ["lot"] = lot,
            ["netGrams"] = "100,4\n88.5",
            ["balance"] = "W 1/2",
            ["happenedAt"] = Now(site),
        });
        Assert.True(done.StatusCode == HttpStatusCode.SeeOther, await done.Text());
        var page = await browser.Html(done.Headers.Location!.OriginalString);
        Assert.Contains("Short packs: 1 pack below T2 (91 g), where none may be", page, StringComparison.Ordinal);
        Assert.Contains("2 of 3 packs", page, StringComparison.Ordinal);
        var key = await site.WithKey(RoleName.Inspector);
        var summary = JsonNode.Parse(await key.Html($"/api/sites/S1/lots/{lot}"))!["summary"]!;
        Assert.Equal("broken", (string?)summary["netQuantity"]!["outcome"]);
        Assert.Contains("packing.net-quantity", summary["holds"]!.AsArray().Select(hold => (string?)hold!["rule"]));

        // The correction form starts from what was recorded.
        var correct = WebUtility.HtmlDecode(await (await site.SignedIn(RoleName.Quality)).Html($"/sites/S1/correct/{site.Head}"));
        Assert.Contains("100.4\n88.5</textarea>", correct.ReplaceLineEndings("\n"), StringComparison.Ordinal);
        Assert.Contains("value=\"W 1/2\"", correct, StringComparison.Ordinal);
    }

    [Fact]
    public async Task While_packs_are_weighed_the_page_tells_how_they_stand_and_how_many_more_an_inspector_would_take()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var lot = await story.Packed();
        var browser = await site.SignedIn(RoleName.Packer);
        var page = await Weigh("100.2");
        Assert.Contains("Net quantity passes so far: 1 of 3 packs weighed", page, StringComparison.Ordinal);
        Assert.Contains("2 more packs for the reference test; 2 more packs for the US test", page, StringComparison.Ordinal);
        Assert.Contains("Weigh more packs", page, StringComparison.Ordinal);
        Assert.Contains("What an inspector's sample would say", page, StringComparison.Ordinal);
        Assert.Contains("1 weighed, 3 wanted: not decided.", page, StringComparison.Ordinal);
        Assert.Contains("it is not the authority's test", page, StringComparison.Ordinal);
        Assert.Contains("Net quantity is short: 2 of 3 packs weighed", await Weigh("92"), StringComparison.Ordinal);
        page = await Weigh("110");
        Assert.Contains("Net quantity is short: 3 of 3 packs weighed", page, StringComparison.Ordinal);
        Assert.Contains("would fail", page, StringComparison.Ordinal);
        Assert.DoesNotContain("more packs for the", page, StringComparison.Ordinal);

        // Looked at later, without a weighing just told, the lot's page has the figures and no such notice.
        Assert.DoesNotContain("3 of 3 packs weighed", await browser.Html($"/sites/S1/lots/{lot}"), StringComparison.Ordinal);
        var script = await site.WithKey(RoleName.Inspector);
        var net = JsonNode.Parse(await script.Html($"/api/sites/S1/lots/{lot}"))!["summary"]!["netQuantity"]!;
        Assert.Equal(["fails", "fails"], net["inspectors"]!["tests"]!.AsArray().Select(test => (string?)test!["outcome"]));
        Assert.Null(JsonNode.Parse(await script.Html("/api/sites/S1/lots?kind=packed"))!["lots"]![0]!["netQuantity"]!["inspectors"]);

        async Task<string> Weigh(string grams)
        {
            var done = await browser.PostForm($"/sites/S1/record/packing/weigh?lot={lot}", new() { ["lot"] = lot, ["netGrams"] = grams, ["happenedAt"] = Now(site) });
            Assert.True(done.StatusCode == HttpStatusCode.SeeOther, await done.Text());
            site.Clock.Advance(TimeSpan.FromMinutes(1));
            return WebUtility.HtmlDecode(await browser.Html(done.Headers.Location!.OriginalString));
        }
    }

    [Theory]
    [InlineData("netGrams", "100\nabc", "line 2:")]
    [InlineData("netGrams", "ST,GS,+ 0.1002 kg\nUS,GS,+ 0.1000 kg", "line 2: the scale did not stand still")]
    [InlineData("netGrams", "100\n\nT 5.2 g\n100 oz", "line 3: the scale says that this is the tare mass; here the net mass is wanted.")]
    [InlineData("netGrams", "100\n\nT 5.2 g\n100 oz", "line 4: the unit 'oz' is not known")]
    [InlineData("grossGrams", "N 100.2 g", "line 1: the scale says that this is the net mass; here the gross mass is wanted.")]
    [InlineData("netGrams", "250", "cannot be that of a pack of 100 g")]
    [InlineData("grossGrams", "106", "need either")]
    public async Task A_weighing_that_cannot_be_is_refused_at_its_field(string field, string typed, string said)
    {
        await using var site = await RunningSite.Start();
        var lot = await (await BenchStory.Begin(site)).Packed();
        var before = site.Head;
        var browser = await site.SignedIn(RoleName.Packer);
        var refused = await browser.PostForm($"/sites/S1/record/packing/weigh?lot={lot}", new()
        {
            ["lot"] = lot,
            [field] = typed,
            ["happenedAt"] = Now(site),
        });
        Assert.NotEqual(HttpStatusCode.SeeOther, refused.StatusCode);
        Assert.Contains(said, WebUtility.HtmlDecode(await refused.Text()), StringComparison.Ordinal);
        Assert.Equal(before, site.Head);
    }

    [Fact]
    public async Task Lines_that_a_scale_types_are_weighings_like_any_other()
    {
        await using var site = await RunningSite.Start();
        var lot = await (await BenchStory.Begin(site)).Packed();
        var browser = await site.SignedIn(RoleName.Packer);
        var done = await browser.PostForm($"/sites/S1/record/packing/weigh?lot={lot}", new()
        {
            ["lot"] = lot,
            ["netGrams"] = "ST,GS,+  0.1002 kg\r\nS S     100.4 g\r\nN 99,9g\r\n",
            ["happenedAt"] = Now(site),
        });
        Assert.True(done.StatusCode == HttpStatusCode.SeeOther, await done.Text());
        var summary = JsonNode.Parse(await (await site.WithKey(RoleName.Inspector)).Html($"/api/sites/S1/lots/{lot}"))!["summary"]!;
        Assert.Equal((3, 100.167), ((int)summary["netQuantity"]!["weighed"]!, Math.Round((double)summary["netQuantity"]!["meanGrams"]!, 3)));
    }

    [Fact]
    public async Task A_check_is_entered_as_seen_and_the_instruments_page_tells_whether_it_is_good()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Operator);
        var done = await browser.PostForm("/sites/S1/record/instruments/check", new()
        {
            ["instrument"] = "K 1/2",
            ["kind"] = "ice",
            ["found"] = "0,8",
            ["happenedAt"] = "2026-11-25T08:00:00",
        });
        Assert.True(done.StatusCode == HttpStatusCode.SeeOther, await done.Text());
        var page = WebUtility.HtmlDecode(await browser.Html(done.Headers.Location!.OriginalString));
        Assert.Contains("Recorded: Check an instrument.", page, StringComparison.Ordinal);
        Assert.Contains("crushed ice; 0 ± 0.5 °C is good", page, StringComparison.Ordinal);
        Assert.Contains("failed", page, StringComparison.Ordinal);
        Assert.Contains("K 1/2", await browser.Html("/sites/S1/instruments"), StringComparison.Ordinal);
        Assert.Contains("/sites/S1/instruments", await (await site.SignedIn(RoleName.Quality)).Html("/quality"), StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.NotFound, (await browser.Open("/sites/S1/instruments/none")).StatusCode);
    }

    [Fact]
    public async Task The_API_tells_how_instruments_stand_and_which_lots_are_in_doubt()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        await story.Do("instruments/check", $$"""{"instrument":"W1","method":"test weight 100 g","expected":100,"found":100,"tolerance":0.1,"happenedAt":"{{story.Now}}"}""");
        var lot = await story.Packed();
        await story.Do("packing/weigh", $$"""{"lot":"{{lot}}","netGrams":[101],"balance":"W1","happenedAt":"{{story.Now}}"}""");
        await story.Do("instruments/check", $$"""{"instrument":"W1","kind":"test-weight","weightGrams":100,"divisionGrams":0.1,"found":99.5,"happenedAt":"{{story.Now}}"}""");
        var key = await site.WithKey(RoleName.Inspector);
        var line = Assert.Single(JsonNode.Parse(await key.Html("/api/sites/S1/instruments"))!["instruments"]!.AsArray())!;
        Assert.Equal("failed", (string?)line["instrument"]!["status"]);
        Assert.Equal(1, (int?)line["lotsInDoubt"]);
        var one = JsonNode.Parse(await key.Html("/api/sites/S1/instruments/W1"))!;
        Assert.Equal(lot, (string?)Assert.Single(one["uses"]!.AsArray())!["lot"]);
        Assert.Equal(2, one["checks"]!.AsArray().Count);
        var unknown = await key.Open("/api/sites/S1/instruments/W2");
        Assert.Contains("instrument.unknown", await unknown.Text(), StringComparison.Ordinal);
    }

    /// <summary>As a form's field has it: the time at the site.</summary>
    private static string Now(RunningSite site) =>
        site.Clock.GetUtcNow().ToOffset(TimeSpan.FromHours(3)).ToString("yyyy-MM-dd'T'HH:mm:ss", System.Globalization.CultureInfo.InvariantCulture);
}
