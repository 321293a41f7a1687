using System.Net;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using Trace.Core.Access;
using Xunit;

namespace Trace.Tests.Web.Pages;

public sealed partial class PagesTests
{
    private const string Nasty = "<script>alert(1)</script> & \"Co\"";

    [Fact]
    [Asvs("1.1.2", "1.2.1", "3.2.2", "14.3.3")]
    public async Task Every_page_answers_whole_with_title_language_labels_and_no_script()
    {
        await using var site = await RunningSite.Start(Nasty);
        var story = await BenchStory.Begin(site);
        await story.Receive(Nasty);
        var waiting = await story.InDryer();
        var packed = await story.Shipped(Nasty);
        await story.Do("instruments/check", $$"""{"instrument":"W1","method":"<script>alert(3)</script>","expected":1,"found":2,"tolerance":0.1,"happenedAt":"{{story.Now}}"}""");
        await story.Do("packing/weigh", $$"""{"lot":"{{packed}}","netGrams":[90],"balance":"W1","happenedAt":"{{story.Now}}"}""");
        await story.Do("holds/place", $$"""{"lot":"{{packed}}","reason":"<script>alert(2)</script>"}""");
        await story.Do("recalls/open", $$"""{"lots":["{{packed}}"],"kind":"recall","reason":"smell"}""");
        var browser = await site.SignedIn(RoleName.Owner, "<b>Ama</b>");
        var pages = new List<string>
        {
            "/bench", "/bench?site=S1", $"/sites/S1/lots/{packed}", $"/sites/S1/lots/{waiting}", "/quality", "/sites/S1/charts", "/sites/S1/charts?chart=cusum&group=operator%3AQuality%20script", "/sites/S1/recalls/R01", "/people", "/tablets", "/my-sign-ins", "/sign-in",
            "/sites/S1/record", "/sites/S1/instruments", "/sites/S1/instruments/W1", "/sites/S1/keeping", "/sites/S1/exposure", $"/lot/S1/{packed}", "/problems/lot.held",
        };
        pages.AddRange(Trace.Web.Pages.Forms.BenchForms.All.Where(form => (form.Operation.Roles & Core.Operations.Roles.Owner) != 0)
            .Select(form => $"/sites/S1/record/{form.Operation.Name}?lot={packed}"));
        foreach (var page in pages)
        {
            var html = await browser.Html(page);
            Assert.DoesNotContain("<script", html, StringComparison.OrdinalIgnoreCase);
            Assert.DoesNotContain("<b>Ama", html, StringComparison.Ordinal);
            Assert.DoesNotContain(" style=", html, StringComparison.Ordinal);
            CheckWhole(page, html);
        }
    }

    [Fact]
    public async Task The_style_sheet_is_served_whole_from_any_working_directory()
    {
        await using var site = await RunningSite.Start();
        var style = await site.Visitor().Html("/app.css");
        Assert.Contains(".recall-word", style, StringComparison.Ordinal);
        Assert.DoesNotContain("url(", style, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_bench_shows_what_stands_where_what_holds_it_and_the_next_step()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var harvest = await story.Receive();
        var drying = await story.InDryer();
        var hot = await story.WeighedOut();
        var packed = await story.Packed();
        var html = await (await site.SignedIn(RoleName.Packer)).Html("/bench?site=S1");
        AssertLink(html, "Sanitise", $"/sites/S1/record/sanitising/run?lot={harvest}");
        AssertLink(html, "Weigh out", $"/sites/S1/record/drying/weigh-out?lot={drying}");
        AssertLink(html, "Cooling reading", $"/sites/S1/record/cooling/reading?lot={hot}");
        AssertLink(html, "Print labels", $"/sites/S1/record/labels/print?lot={packed}");
        Assert.Contains("Not cold yet", html, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_held_lot_names_what_holds_it_and_only_quality_gets_the_release()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var packed = await story.Shipped();
        await story.Do("holds/place", $$"""{"lot":"{{packed}}","reason":"odd smell"}""");
        var packer = await (await site.SignedIn(RoleName.Packer)).Html($"/sites/S1/lots/{packed}");
        var quality = await site.SignedIn(RoleName.Quality, "Kofi");
        var page = await quality.Html($"/sites/S1/lots/{packed}");
        Assert.Contains("Shipped while held", packer, StringComparison.Ordinal);
        Assert.Contains("odd smell", packer, StringComparison.Ordinal);
        Assert.Contains("Example Pets Ltd", packer, StringComparison.Ordinal);
        Assert.DoesNotContain("holds/release", packer, StringComparison.Ordinal);
        Assert.Contains($"/sites/S1/record/holds/release?lot={packed}&amp;hold=Q0001", page, StringComparison.Ordinal);
        Assert.Contains(packed, await quality.Html("/quality"), StringComparison.Ordinal);
        var released = await quality.PostForm(
            $"/sites/S1/record/holds/release?lot={packed}&hold=Q0001", new() { ["lot"] = packed, ["hold"] = "Q0001", ["reason"] = "smelled again: fine" });
        Assert.Equal(HttpStatusCode.SeeOther, released.StatusCode);
        Assert.DoesNotContain("Shipped while held", await quality.Html(released.Headers.Location!.OriginalString), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_corrected_entry_keeps_the_old_value_beside_the_new_one()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var batch = await story.WeighedOut();
        var seq = site.Head;
        await story.Do("journal/correct", $$$"""
            {"seq":{{{seq}}},"reason":"tray not tared","replacement":{"lot":"{{{batch}}}","massOutGrams":280,"puffed":true,"crumbles":true,"happenedAt":"{{{story.Now}}}"}}
            """);
        var html = await (await site.SignedIn(RoleName.Operator)).Html($"/sites/S1/lots/{batch}");
        Assert.Contains("<del>300 g</del>", html, StringComparison.Ordinal);
        Assert.Contains("<ins>280 g</ins>", html, StringComparison.Ordinal);
        Assert.Contains("corrected", html, StringComparison.Ordinal);
        Assert.Contains("tray not tared", html, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_late_entry_says_so_and_times_are_the_sites()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var lot = await story.Do("receiving/receive", """{"supplier":"Example Farm","massGrams":10,"happenedAt":"2026-11-25T03:15:00Z"}""");
        var html = await (await site.SignedIn(RoleName.Operator)).Html($"/sites/S1/lots/{lot}");
        Assert.Contains("recorded late", html, StringComparison.Ordinal);
        Assert.Contains("2026-11-25 06:15", html, StringComparison.Ordinal);
    }

    [Fact]
    [Asvs("8.2.3", "15.3.1")]
    public async Task A_buyer_sees_the_lot_without_signing_in_and_nothing_private()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        await site.AddPerson("Private Person", RoleName.Packer);
        var packed = await story.Shipped("Secret Customer Ltd");
        var answer = await site.Visitor().Open($"/lot/S1/{packed}");
        var html = await answer.Text();
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        Assert.Contains("Released", html, StringComparison.Ordinal);
        Assert.Contains("25 November 2026", html, StringComparison.Ordinal);
        Assert.Contains("allergic to crustaceans", html, StringComparison.Ordinal);
        Assert.DoesNotContain("Secret Customer", html, StringComparison.Ordinal);
        Assert.DoesNotContain("script", html, StringComparison.Ordinal);
        Assert.DoesNotContain("Example Farm", html, StringComparison.Ordinal);
        Assert.True(html.Length < 50_000);
        CheckWhole("public", html);
    }

    [Fact]
    public async Task A_recall_cannot_be_overlooked_on_the_buyers_page()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var packed = await story.Shipped();
        await story.Do("recalls/open", $$"""{"lots":["{{packed}}"],"kind":"recall","reason":"internal reason"}""");
        var html = await site.Visitor().Html($"/lot/S1/{packed}");
        Assert.Contains("<p class=\"recall-word\">RECALL</p>", html, StringComparison.Ordinal);
        Assert.Contains("<title>RECALL: ", html, StringComparison.Ordinal);
        Assert.DoesNotContain("Released", html, StringComparison.Ordinal);
        Assert.DoesNotContain("internal reason", html, StringComparison.Ordinal);
        var quality = await site.SignedIn(RoleName.Quality, "Kofi");
        var report = await quality.Html("/sites/S1/recalls/R01");
        Assert.Contains("Example Pets Ltd", report, StringComparison.Ordinal);
        Assert.Contains("/api/sites/S1/recalls/R01/report.pdf", report, StringComparison.Ordinal);
        var closed = await quality.PostForm(
            "/sites/S1/record/recalls/close?recall=R01",
            new() { ["recall"] = "R01", ["conclusion"] = "all back", ["rootCause"] = "not found", ["despite"] = "a test" });
        Assert.Equal("/sites/S1/recalls/R01", closed.Headers.Location!.OriginalString.Split('?')[0]);
    }

    [Fact]
    public async Task What_is_not_there_or_not_allowed_is_said_on_a_page_to_people_and_as_a_problem_to_scripts()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Inspector);
        var missing = await browser.Open("/sites/S1/lots/NOPE");
        Assert.Equal(HttpStatusCode.NotFound, missing.StatusCode);
        Assert.Contains("There is no such lot", await missing.Text(), StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.NotFound, (await browser.Open("/sites/XX/record")).StatusCode);
        Assert.Equal(HttpStatusCode.Forbidden, (await browser.Open("/people")).StatusCode);
        Assert.Equal("text/html", (await browser.Open("/people")).Content.Headers.ContentType!.MediaType);
        Assert.Equal(HttpStatusCode.OK, (await browser.Open("/quality")).StatusCode);
        var script = await site.WithKey(RoleName.Operator);
        Assert.Equal("application/problem+json", (await script.Open("/nowhere")).Content.Headers.ContentType!.MediaType);
    }

    /// <summary>
    /// The page reads as one tree: our markup closes what it opens, so that a strict reader takes it after void tags are closed.
    /// </summary>
    private static void CheckWhole(string page, string html)
    {
        Assert.Contains("<html lang=\"en\"", html, StringComparison.Ordinal);
        Assert.Matches("<title>[^<]+</title>", html);
        var xml = Void().Replace(html.Replace("<!DOCTYPE html>", "", StringComparison.Ordinal), match => match.Value.TrimEnd('>').TrimEnd('/') + "/>");
        xml = Bare().Replace(xml, " $1=\"\"");
        xml = Comment().Replace(WebUtility.HtmlDecode("") + xml.Replace("&nbsp;", " ", StringComparison.Ordinal), "");
        XDocument tree;
        try
        {
            tree = XDocument.Parse(xml);
        }
        catch (System.Xml.XmlException wrong)
        {
            Assert.Fail($"{page}: {wrong.Message}\n{xml}");
            throw;
        }

        var ids = tree.Descendants().Attributes("id").Select(id => id.Value).ToList();
        Assert.Equal(ids.Distinct(), ids);
        Assert.Single(tree.Descendants("h1"));
        Assert.Single(tree.Descendants("main"));
        var labelled = tree.Descendants("label").Attributes("for").Select(label => label.Value).ToHashSet();
        foreach (var input in tree.Descendants().Where(element => element.Name.LocalName is "input" or "select" or "textarea"))
        {
            if (input.Attribute("type")?.Value == "hidden") continue;
            Assert.True(labelled.Contains(input.Attribute("id")?.Value ?? "") || input.Ancestors("label").Any(), $"{page}: {input} has no label");
        }

        foreach (var target in tree.Descendants().Attributes().Where(attribute => attribute.Name.LocalName is "aria-describedby" or "aria-labelledby" or "list"))
            Assert.All(target.Value.Split(' '), id => Assert.True(ids.Contains(id), $"{page}: {target} points nowhere"));
    }

    private static void AssertLink(string html, string text, string address) =>
        Assert.Matches($"<a class=\"button\" href=\"{Regex.Escape(address)}\">{text}<", html);

    [GeneratedRegex("<(meta|link|input|br|hr|img)\\b[^>]*>")]
    private static partial Regex Void();

    [GeneratedRegex("\\s(required|checked|selected|open|novalidate|value)(?=[\\s/>])")]
    private static partial Regex Bare();

    [GeneratedRegex("<!--.*?-->", RegexOptions.Singleline)]
    private static partial Regex Comment();
}
