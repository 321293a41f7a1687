using System.Net;
using System.Text.Json;
using System.Text.RegularExpressions;
using Trace.Core.Access;
using Trace.Core.Complaints;
using Trace.Web.Wording;
using Xunit;

namespace Trace.Tests.Web.Buyers;

/// <summary>A stranger tells the producer what is wrong.</summary>
public sealed partial class ComplaintPageTests
{
    private static readonly Dictionary<string, string> Told = new()
    {
        ["what"] = "Smells of smoke.\nTwo of three packs.",
        ["packs"] = "2",
        ["storage"] = "dry",
        ["harm.animal"] = "on",
        ["contact"] = "me@example.org",
    };

    [Fact]
    public async Task What_is_sent_stands_in_the_journal_under_the_reference_that_was_given()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var lot = await (await BenchStory.Begin(site)).Packed();
        var visitor = site.Visitor();
        var address = $"/lot/S1/{lot}/complaint?lang=es";
        Assert.Contains($"href=\"/lot/S1/{lot}/complaint?lang=es\"", await visitor.Html($"/lot/S1/{lot}?lang=es"), StringComparison.Ordinal);
        var form = Browsing.Filled(await visitor.Html(address), Told);
        var head = site.Head;
        var page = WebUtility.HtmlDecode(await (await visitor.Post(address, form)).Text());
        var reference = Reference().Match(page).Groups[1].Value;
        Assert.Equal("K0001", reference);
        Assert.Contains(PageWords.Find("es")!["complaint.doctor"], page, StringComparison.Ordinal);

        // The same form sent twice is one complaint.
        Assert.Contains("K0001", await (await visitor.Post(address, form)).Text(), StringComparison.Ordinal);
        Assert.Equal(head + 1, site.Head);
        var entry = site.App.Journal.Get("S1", site.Head)!.Entry;
        using var payload = JsonDocument.Parse(entry.Payload);
        Assert.Equal((ComplaintOpened.Type, "buyers' page"), (entry.Type, entry.Device));
        Assert.Equal(("buyers-page", 2, "Smells of smoke.\nTwo of three packs."), (
            payload.RootElement.GetProperty("channel").GetString(), payload.RootElement.GetProperty("packs").GetInt32(),
            payload.RootElement.GetProperty("what").GetString()!.ReplaceLineEndings("\n")));
        Assert.Equal("animal", payload.RootElement.GetProperty("harm")[0].GetString());

        // The quality officer has it in front of him, with who it hurt and how to reach who sent it.
        var desk = WebUtility.HtmlDecode(await (await site.SignedIn(RoleName.Quality)).Html("/quality"));
        foreach (var text in new[] { "K0001", ">animal<", "Smells of smoke.", "holds nothing by itself", "me@example.org", $"href=\"/sites/S1/lots/{lot}\"" })
            Assert.Contains(text, desk, StringComparison.Ordinal);

        // A stranger's word holds nothing by itself, or anybody with a label could stop the plant.
        Assert.Contains("status released", await visitor.Html($"/lot/S1/{lot}"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_is_wrong_with_the_form_is_told_and_nothing_typed_is_lost()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var lot = await (await BenchStory.Begin(site)).Packed();
        var visitor = site.Visitor();
        var address = $"/lot/S1/{lot}/complaint";
        var head = site.Head;
        var words = PageWords.All[0];
        foreach (var (field, value, problem) in new[]
        {
            ("what", " ", words["complaint.what.missing"]), ("packs", "two", words["complaint.packs.wrong"]), ("packs", "0", words["complaint.packs.wrong"]),
            ("packs", "-1", words["complaint.packs.wrong"]), ("what", new string('x', 2001), words["complaint.too-long"]),
            ("storage", "a\u0007b", words["complaint.too-long"]),
        })
        {
            var answer = await visitor.Post(address, Browsing.Filled(await visitor.Html(address), new(Told) { ["contact"] = "me <b>&</b>", [field] = value }));
            var page = await answer.Text();
            Assert.Equal(HttpStatusCode.UnprocessableEntity, answer.StatusCode);
            Assert.Contains(problem, WebUtility.HtmlDecode(page), StringComparison.Ordinal);
            Assert.Contains("value=\"me &lt;b&gt;&amp;&lt;/b&gt;\"", page, StringComparison.Ordinal);
            Assert.Matches("name=\"harm.animal\" checked", page);
        }

        Assert.Equal(head, site.Head);
        Assert.Equal(HttpStatusCode.NotFound, (await visitor.Open("/lot/S1/P261125-999X/complaint")).StatusCode);
        var keyless = Browsing.Filled(await visitor.Html(address), Told).Where(field => field.Key != "requestKey").ToDictionary();
        Assert.Equal(HttpStatusCode.NotFound, (await visitor.Post("/lot/S9/X/complaint", keyless)).StatusCode);
        Assert.Equal(HttpStatusCode.UnprocessableEntity, (await visitor.Post(address, keyless)).StatusCode);
    }

    [Fact]
    public async Task No_more_are_taken_in_a_day_than_anybody_reads()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var story = await BenchStory.Begin(site);
        var (lot, other) = (await story.Packed(), await story.Packed());
        var visitor = site.Visitor();
        async Task<HttpStatusCode> Send(string to) =>
            (await visitor.Post($"/lot/S1/{to}/complaint", Browsing.Filled(await visitor.Html($"/lot/S1/{to}/complaint"), Told))).StatusCode;
        for (var i = 0; i < Complaining.MostOfLotInDay; i++) Assert.Equal(HttpStatusCode.OK, await Send(lot));
        var head = site.Head;
        Assert.Equal(HttpStatusCode.UnprocessableEntity, await Send(lot));
        Assert.Equal(head, site.Head);
        Assert.Equal(HttpStatusCode.OK, await Send(other));
        site.Clock.Advance(TimeSpan.FromHours(25));
        Assert.Equal(HttpStatusCode.OK, await Send(lot));

        // Whoever works here is not kept from writing down what he is told.
        var answer = await (await site.WithKey(RoleName.Packer)).PostJson("/api/sites/S1/complaints/open", $$"""{"channel":"phone","what":"Mould","lot":"{{lot}}","happenedAt":"{{story.Now}}"}""");
        Assert.True(answer.IsSuccessStatusCode, await answer.Text());
    }

    [Fact]
    public async Task Where_lots_want_a_code_so_does_the_form()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var owner = await site.WithKey(RoleName.Owner);
        var described = await owner.PostJson("/api/sites/S1/site/describe", """{"name":"Test site","address":"1 Test Road","zone":"Africa/Nairobi","publicCodes":"unguessable"}""");
        Assert.True(described.IsSuccessStatusCode, await described.Text());
        var story = await BenchStory.Begin(site);
        var lot = await story.Packed();
        await story.Do("labels/print", $$"""{"lot":"{{lot}}","copies":1}""");
        var visitor = site.Visitor();
        Assert.Equal(HttpStatusCode.NotFound, (await visitor.Open($"/lot/S1/{lot}/complaint")).StatusCode);
        var code = await site.App.Site("S1")!.ReadAsync(state => Core.Labels.PublicCode.Of(state.Find(lot)!));
        var page = await visitor.Html($"/lot/S1/{lot}?c={code}");
        var link = ComplaintLink().Match(page).Groups[1].Value.Replace("&amp;", "&", StringComparison.Ordinal);
        Assert.Equal($"/lot/S1/{lot}/complaint?c={code}&lang=en", link);
        var form = Browsing.Filled(await visitor.Html(link), Told);
        Assert.Contains("K0001", await (await visitor.Post(link, form)).Text(), StringComparison.Ordinal);
        Assert.Contains($"href=\"/lot/S1/{lot}?c={code}&amp;lang=fr\"", page, StringComparison.Ordinal);
    }

    [GeneratedRegex("<strong><bdi>(K[0-9]+)</bdi></strong>")]
    private static partial Regex Reference();

    [GeneratedRegex("href=\"([^\"]*complaint[^\"]*)\"")]
    private static partial Regex ComplaintLink();
}
