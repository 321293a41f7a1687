using System.Net;
using System.Text.RegularExpressions;
using Trace.Core.Access;
using Xunit;

namespace Trace.Tests.Web.Pages;

/// <summary>A complaint from the telephone to the recall, as the quality officer does it on the pages.</summary>
public sealed class CasePagesTests
{
    [Fact]
    public async Task From_half_a_code_to_an_open_recall_in_a_few_steps()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var lot = await story.Shipped("North shop");
        var quality = await site.SignedIn(RoleName.Quality);
        var told = await quality.PostForm("/sites/S1/record/complaints/open", new()
        {
            ["channel"] = "phone",
            ["what"] = "Smells of smoke",
            ["labelText"] = lot[3..11],
            ["customer"] = "North shop",
            ["contact"] = "+000 555 0100",
            ["happenedAt"] = Local(site),
        });
        Assert.Equal("/sites/S1/complaints/K0001", told.Headers.Location!.OriginalString.Split('?')[0]);
        var page = WebUtility.HtmlDecode(await quality.Html("/sites/S1/complaints/K0001"));
        Assert.Contains("is a part of its code", page, StringComparison.Ordinal);
        Assert.Contains($"/sites/S1/record/complaints/assess?complaint=K0001&lot={lot}", page, StringComparison.Ordinal);

        // "It is this one" opens the form with both filled in.
        var form = $"/sites/S1/record/complaints/assess?complaint=K0001&lot={lot}";
        Assert.Matches($"name=\"lot\"[^>]*value=\"{lot}\"", await quality.Html(form));
        var judged = await quality.PostForm(form, new()
        {
            ["complaint"] = "K0001",
            ["lot"] = lot,
            ["fault"] = "smell",
            ["reach"] = "lot",
            ["note"] = "Kept sample smells too.",
            ["hold"] = "yes",
        });
        Assert.Equal(HttpStatusCode.SeeOther, judged.StatusCode);
        page = WebUtility.HtmlDecode(await quality.Html("/sites/S1/complaints/K0001"));
        Assert.Contains($"/sites/S1/lots/{lot}/scopes?complaint=K0001", page, StringComparison.Ordinal);

        // The scopes side by side; one is taken with its form filled in, and one more tap opens it.
        var scopes = WebUtility.HtmlDecode(await quality.Html($"/sites/S1/lots/{lot}/scopes?complaint=K0001"));
        Assert.Contains("This lot", scopes, StringComparison.Ordinal);
        Assert.Contains("The shared cause", scopes, StringComparison.Ordinal);
        var choose = Regex.Match(scopes, "href=\"(/sites/S1/record/recalls/open[^\"]+)\"").Groups[1].Value;
        var opened = await quality.PostForm(choose, new() { ["lots"] = lot, ["kind"] = "recall", ["reason"] = "Smells of smoke", ["complaint"] = "K0001" });
        Assert.StartsWith("/sites/S1/recalls/R01", opened.Headers.Location!.OriginalString, StringComparison.Ordinal);
        var recall = WebUtility.HtmlDecode(await quality.Html("/sites/S1/recalls/R01"));
        foreach (var wanted in new[] { "complaint <", "K0001", "Left to do", "1 of 1 consignees were not told", "North shop", "Tell consignees" })
            Assert.Contains(wanted.Replace(" <", "", StringComparison.Ordinal), recall, StringComparison.Ordinal);

        // Telling, answering and closing from the same page.
        await quality.PostForm("/sites/S1/record/recalls/publish", new() { ["recall"] = "R01", ["language"] = "en", ["risk"] = "It smells of smoke.", ["action"] = "Send it back." });
        await quality.PostForm("/sites/S1/record/recalls/notify", new() { ["recall"] = "R01", ["by"] = "letter", ["happenedAt"] = Local(site) });
        await quality.PostForm("/sites/S1/record/recalls/answer", new()
        {
            ["recall"] = "R01",
            ["customer"] = "North shop",
            ["receivedPacks"] = "2",
            ["heldPacks"] = "0",
            ["soldPacks"] = "0",
            ["returnedPacks"] = "2",
            ["destroyedPacks"] = "0",
            ["happenedAt"] = Local(site),
        });
        await quality.PostForm("/sites/S1/record/returns/receive", new()
        {
            ["customer"] = "North shop",
            ["reference"] = "RN-1",
            ["lines[0].lot"] = lot,
            ["lines[0].packs"] = "2",
            ["reason"] = "recall",
            ["recall"] = "R01",
            ["happenedAt"] = Local(site),
        });
        await quality.PostForm("/sites/S1/record/returns/destroy", new() { ["lot"] = lot, ["packs"] = "2", ["proof"] = "certificate 7", ["recall"] = "R01", ["happenedAt"] = Local(site) });
        await quality.PostForm("/sites/S1/record/recalls/check", new()
        {
            ["recall"] = "R01",
            ["customer"] = "North shop",
            ["by"] = "phone",
            ["reached"] = "yes",
            ["acted"] = "yes",
            ["happenedAt"] = Local(site),
        });
        var owner = await site.SignedIn(RoleName.Owner);
        var closed = await owner.PostForm("/sites/S1/record/recalls/close", new() { ["recall"] = "R01", ["conclusion"] = "All back.", ["rootCause"] = "Smoke from the yard." });
        Assert.Equal(HttpStatusCode.SeeOther, closed.StatusCode);
        Assert.Contains("Smoke from the yard.", await owner.Html("/sites/S1/recalls/R01"), StringComparison.Ordinal);
        Assert.Equal(200m, await site.App.Site("S1")!.ReadAsync(state => state.Find(lot)!.Disposed.Grams));
    }

    [Fact]
    public async Task The_desk_shows_what_is_due_and_what_repeats()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var lot = await story.Shipped("North shop");
        var quality = await site.SignedIn(RoleName.Quality);
        Assert.Contains("drill due", await quality.Html("/quality"), StringComparison.Ordinal);
        for (var time = 0; time < 2; time++)
            await story.Do("complaints/open", $$"""{"channel":"phone","what":"mould","lot":"{{lot}}","happenedAt":"{{story.Now}}"}""");
        await story.Do("actions/plan", $$"""{"about":"K0001","kind":"corrective","what":"New seal","owner":"Asha","dueOn":"2026-11-25"}""");
        await story.Do("recalls/drill", """{"start":"pack"}""");
        var running = await quality.Html("/quality");
        Assert.Contains("1 drills running", running, StringComparison.Ordinal);
        Assert.DoesNotContain("1 recalls open", running, StringComparison.Ordinal);
        await story.Do("recalls/close", """{"recall":"R01","conclusion":"found"}""");
        var desk = await quality.Html("/quality");
        foreach (var wanted in new[] { "two alike", "New seal", "not judged yet" }) Assert.Contains(wanted, desk, StringComparison.Ordinal);
        Assert.DoesNotContain("drill due", desk, StringComparison.Ordinal);
        var list = await quality.Html("/sites/S1/complaints");
        Assert.Contains("Two alike on one lot", list, StringComparison.Ordinal);
        Assert.Contains("K0002", list, StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.NotFound, (await quality.Open("/sites/S1/complaints/K0099")).StatusCode);
        Assert.Equal(HttpStatusCode.Forbidden, (await (await site.SignedIn(RoleName.Packer)).Open("/sites/S1/complaints")).StatusCode);
    }

    private static string Local(RunningSite site) => Trace.Web.Validation.LocalTimeText.Format(SiteZoneOf(), site.Clock.GetUtcNow());

    private static Core.Time.SiteZone SiteZoneOf() => Core.Time.SiteZone.TryFind(RunningSite.Zone, out var zone) ? zone : Core.Time.SiteZone.Utc;
}
