using System.Net;
using System.Text.Json;
using System.Text.RegularExpressions;
using Trace.Core.Access;
using Trace.Core.Labels;
using Trace.Core.Lots;
using Xunit;

namespace Trace.Tests.Web.Edges;

public sealed class PublicCodeTests
{
    [Fact]
    [Asvs("8.2.2", "11.5.1", "15.3.7")]
    public async Task A_page_that_wants_a_code_opens_with_the_labels_alone_and_else_answers_as_for_no_lot()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var owner = await site.WithKey(RoleName.Owner);
        var story = await BenchStory.Begin(site);
        var before = await story.Packed();
        await story.Do("labels/print", $$"""{"lot":"{{before}}","copies":1}""");
        await Describe(owner, "\"unguessable\"");
        var packed = await story.Packed();
        var visitor = site.Visitor();

        // Nothing is printed yet: there is no address to know.
        Assert.Equal(HttpStatusCode.NotFound, (await visitor.Open($"/lot/S1/{packed}")).StatusCode);
        await story.Do("labels/print", $$"""{"lot":"{{packed}}","copies":1}""");
        await story.Do("labels/print", $$"""{"lot":"{{packed}}","copies":1,"reason":"torn"}""");
        var codes = Codes(site, packed);
        Assert.Equal(2, codes.Count);
        Assert.Single(codes.Distinct());
        Assert.Matches($"^https://trace\\.example\\.org/lot/S1/{packed}\\?c=[A-Za-z0-9_-]{{22}}$", codes[0]);
        var address = new Uri(codes[0]).PathAndQuery;
        Assert.Equal(HttpStatusCode.OK, (await visitor.Open(address)).StatusCode);

        foreach (var accept in new[] { "text/html", "application/json" })
        {
            var unknown = await Asked(site, "/lot/S1/P261125-999X", accept);
            foreach (var closed in new[] { $"/lot/S1/{packed}", $"/lot/S1/{packed}?c=", $"/lot/S1/{packed}?c=x", address[..^1] + "~", address + "&c=x" })
                Assert.Equal(unknown, await Asked(site, closed, accept));
        }

        // A label printed before the change still leads somewhere; forgetting the setting does not open what was closed.
        Assert.Equal(HttpStatusCode.OK, (await visitor.Open($"/lot/S1/{before}")).StatusCode);
        await Describe(owner, "null");
        Assert.Equal(HttpStatusCode.NotFound, (await visitor.Open($"/lot/S1/{packed}")).StatusCode);
        var page = await (await site.SignedIn(RoleName.Packer)).Html($"/sites/S1/lots/{packed}");
        Assert.Contains($"href=\"{address}\"", page, StringComparison.Ordinal);
        await Describe(owner, "\"open\"");
        Assert.Equal(HttpStatusCode.OK, (await visitor.Open($"/lot/S1/{packed}")).StatusCode);
        Assert.Equal(HttpStatusCode.OK, (await visitor.Open(address)).StatusCode);
        Assert.Equal(HttpStatusCode.BadRequest, (await Send(owner, "\"closed\"")).StatusCode);
    }

    [Fact]
    public async Task Codes_differ_from_lot_to_lot_and_outlive_a_new_start_from_the_journal()
    {
        var plant = await Support.Plant.Create();
        var numbers = 0;
        var around = Support.Plant.Around with { NewPublicCode = () => $"code{++numbers}" };
        await plant.Path.Run(plant.Site, Core.Areas.Find("site/describe")!, new Core.Sites.DescribeSite("Plant", "", "UTC", PublicCodes: PublicCode.Unguessable), Support.Plant.Ann, around, null);
        var lots = new[] { await plant.Pack(await plant.DryFromFresh()), await plant.Pack(await plant.DryFromFresh()) };
        foreach (var lot in lots) Assert.True((await plant.Path.Run(plant.Site, Core.Areas.Find("labels/print")!, new PrintLabels(lot, 1), Support.Plant.Ann, around, null)).IsRecorded);
        var fresh = plant.Fresh();
        Assert.Equal(["code1", "code2"], lots.Select(lot => PublicCode.Of(fresh.Find(lot)!)));

        // A snapshot, which packs each lot, keeps them too: one that lost them would open every page.
        fresh = SiteState.FromSnapshot(fresh.ToSnapshot());
        Assert.Equal(PublicCode.Unguessable, fresh.Site.PublicCodes);
        Assert.Equal(["code1", "code2"], lots.Select(lot => PublicCode.Of(fresh.Find(lot)!)));
        Assert.True(PublicCode.Opens(fresh, fresh.Find(lots[0])!, "code1"));
        Assert.False(PublicCode.Opens(fresh, fresh.Find(lots[0])!, "code2"));
        Assert.False(PublicCode.Opens(fresh, fresh.Find(lots[0])!, null));
    }

    private static List<string> Codes(RunningSite site, string lot) => [.. site.App.Journal.Read("S1").Where(entry => entry.Entry.Type == LabelsPrinted.Type && entry.Entry.Lots.Contains(lot))
        .Select(entry => JsonDocument.Parse(entry.Entry.Payload).RootElement.GetProperty("label").GetProperty("uri").GetString()!)];

    private static Task<HttpResponseMessage> Send(HttpClient owner, string codes) => owner.PostJson("/api/sites/S1/site/describe", $$"""{"name":"Test site","address":"1 Test Road","zone":"Africa/Nairobi"{{(codes == "null" ? "" : $",\"publicCodes\":{codes}")}}}""");

    private static async Task Describe(HttpClient owner, string codes)
    {
        var answer = await Send(owner, codes);
        Assert.True(answer.IsSuccessStatusCode, await answer.Text());
    }

    /// <summary>Status, headers and body; but for the time and the trace identity, which are new each time.</summary>
    private static async Task<string> Asked(RunningSite site, string path, string accept)
    {
        using var client = site.Visitor(asBrowser: false);
        using var request = new HttpRequestMessage(HttpMethod.Get, path);
        request.Headers.Add("Accept", accept);
        using var answer = await client.SendAsync(request, TestContext.Current.CancellationToken);
        var headers = string.Join('\n', answer.Headers.Concat(answer.Content.Headers).Where(header => header.Key != "Date").Select(header => $"{header.Key}: {string.Join(',', header.Value)}"));
        return $"{answer.StatusCode}\n{headers}\n{Regex.Replace(await answer.Text(), "\"traceId\":\"[^\"]*\"", "")}";
    }
}
