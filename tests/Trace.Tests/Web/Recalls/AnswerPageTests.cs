using System.Net;
using Trace.Core.Access;
using Trace.Core.Recall;
using Xunit;

namespace Trace.Tests.Web.Recalls;

/// <summary>A consignee answers at its own address, without an account.</summary>
public sealed class AnswerPageTests
{
    [Fact]
    public async Task It_shows_its_own_deliveries_takes_the_answer_once_and_lets_it_be_changed()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var (address, lot, other, office) = await Told(site);
        var shop = site.Visitor();
        var html = await shop.Html(address);
        Assert.Contains(lot, html, StringComparison.Ordinal);
        Assert.DoesNotContain(other, html, StringComparison.Ordinal);
        Assert.DoesNotContain("South shop", html, StringComparison.Ordinal);
        var form = Browsing.Filled(html, new() { ["received"] = "2", ["sold"] = "1", ["returned"] = "1", ["name"] = "Asha" });
        var head = site.Head;
        Assert.Contains("Your answer has arrived", await (await shop.Post(address, form)).Text(), StringComparison.Ordinal);
        Assert.Contains("Your answer has arrived", await (await shop.Post(address, form)).Text(), StringComparison.Ordinal);
        Assert.Equal(head + 1, site.Head);
        var entry = site.App.Journal.Get("S1", site.Head)!.Entry;
        Assert.Equal((RecallAnswered.Type, "North shop", "recall answer"), (entry.Type, entry.Person, entry.Device));
        var report = await (await office.Open("/api/sites/S1/recalls/R01")).Text();
        Assert.Contains("\"byLink\":true", report, StringComparison.Ordinal);

        Assert.Contains("Your last answer", await shop.Html(address), StringComparison.Ordinal);
        await shop.Post(address, Browsing.Filled(await shop.Html(address), new() { ["received"] = "2", ["destroyed"] = "2" }));
        Assert.Equal(2, await site.App.Site("S1")!.ReadAsync(state => state.Recalls["R01"].AnswerOf("North shop")!.DestroyedPacks));
    }

    [Theory]
    [InlineData("3", "", "", "More packs than were delivered: 2.")]
    [InlineData("2", "2", "1", "Together that is 3 packs, and 2 were received.")]
    [InlineData("two", "", "", "Whole numbers are wanted.")]
    [InlineData("-1", "", "", "Whole numbers are wanted.")]
    [InlineData("99999999999", "", "", "Whole numbers are wanted.")]
    public async Task What_contradicts_itself_is_told_and_nothing_is_recorded(string received, string held, string sold, string said)
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var (address, _, _, _) = await Told(site);
        var shop = site.Visitor();
        var head = site.Head;
        var answer = await shop.PostForm(address, new() { ["received"] = received, ["held"] = held, ["sold"] = sold, ["note"] = "kept what I typed" });
        Assert.Equal(HttpStatusCode.UnprocessableEntity, answer.StatusCode);
        var html = WebUtility.HtmlDecode(await answer.Text());
        Assert.Contains(said, html, StringComparison.Ordinal);
        Assert.Contains("kept what I typed", html, StringComparison.Ordinal);
        Assert.Equal(head, site.Head);
    }

    [Fact]
    public async Task Another_address_opens_nothing_and_a_closed_recall_takes_no_answer()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var (address, _, _, office) = await Told(site);
        var shop = site.Visitor();
        Assert.Equal(HttpStatusCode.NotFound, (await shop.Open(address[..^1] + "x")).StatusCode);
        Assert.Equal(HttpStatusCode.NotFound, (await shop.Open("/recall/S9/secret")).StatusCode);
        var form = Browsing.Filled(await shop.Html(address), new() { ["received"] = "2", ["sold"] = "2" });
        var second = await site.WithKey(RoleName.Quality);
        await second.Record("recalls/close", """{"recall":"R01","conclusion":"over","rootCause":"unknown","despite":"the shop closed"}""");
        Assert.Contains("This recall has ended.", await (await shop.Post(address, form)).Text(), StringComparison.Ordinal);
        Assert.DoesNotContain("<form", await shop.Html(address), StringComparison.Ordinal);
        Assert.NotNull(office);
    }

    internal static async Task<(string Address, string Lot, string Other, HttpClient Office)> Told(RunningSite site)
    {
        var story = await BenchStory.Begin(site);
        var office = await site.WithKey(RoleName.Owner);
        var lot = await story.Shipped("North shop");
        var other = await story.Shipped("South shop");
        await office.Record("recalls/open", $$"""{"lots":["{{lot}}","{{other}}"],"kind":"recall","reason":"stones"}""");
        await office.Record("recalls/publish", """{"recall":"R01","language":"en","risk":"May break a tooth.","action":"Keep it until we call."}""");
        await office.Record("recalls/notify", $$"""{"recall":"R01","by":"phone","happenedAt":"{{RecallDocumentsTests.Now(site)}}"}""");
        var link = await site.App.Site("S1")!.ReadAsync(state => state.Recalls["R01"].Notices.Single(notice => notice.Customer == "North shop").Link);
        return ($"/recall/S1/{link}", lot, other, office);
    }
}
