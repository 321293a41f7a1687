using System.Net;
using System.Text.Json.Nodes;
using Trace.Core.Access;
using Trace.Core.Labels;
using Trace.Web.Scans;
using Xunit;

namespace Trace.Tests.Web.Edges;

/// <summary>The page of one pack, and what the quality officer sees of who asks for numbers.</summary>
public sealed class PackPageTests
{
    [Fact]
    public async Task A_number_that_was_issued_opens_the_lots_page_with_the_packs_number()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var (_, lot, numbers) = await Printed(site);
        var visitor = site.Visitor();
        foreach (var number in numbers)
        {
            var page = await visitor.Html($"/lot/S1/{lot}/21/{number}");
            Assert.Contains($"Pack <strong><bdi>{number}</bdi></strong>", page, StringComparison.Ordinal);
            Assert.Contains("Dried insect larvae", page, StringComparison.Ordinal);
        }

        // Typed in small letters it is the same pack; scripts get JSON; the lot's own page knows no pack.
        Assert.Contains(numbers[0], await visitor.Html($"/lot/S1/{lot}/21/{numbers[0].ToLowerInvariant()}"), StringComparison.Ordinal);
        var json = JsonNode.Parse(await (await Script(site).Open($"/lot/S1/{lot}/21/{numbers[1]}")).Text())!;
        Assert.Equal((lot, numbers[1], "released"), ((string?)json["lot"], (string?)json["pack"], (string?)json["status"]));
        Assert.DoesNotContain("Pack <strong>", await visitor.Html($"/lot/S1/{lot}"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_number_that_was_never_issued_is_told_so_and_shows_nothing_of_the_lot()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var (_, lot, numbers) = await Printed(site);
        var plain = await new BenchStory(site, await site.WithKey(RoleName.Quality)).Packed();
        var invented = Invented(numbers[0]);
        foreach (var path in new[] { $"/lot/S1/{lot}/21/{invented}", $"/lot/S1/{plain}/21/{numbers[0]}", $"/lot/S1/P261125-999X/21/{invented}", $"/lot/S9/{lot}/21/{numbers[0]}", $"/01/09520123456788/10/{lot}/21/{numbers[0]}" })
        {
            var answer = await site.Visitor().Open(path);
            var page = await answer.Text();
            Assert.Equal(HttpStatusCode.NotFound, answer.StatusCode);
            Assert.Contains("This pack number was never issued", page, StringComparison.Ordinal);
            Assert.DoesNotContain("Dried insect larvae", page, StringComparison.Ordinal);
            Assert.DoesNotContain(lot, page, StringComparison.Ordinal);
            var problem = await Script(site).Open(path);
            Assert.Equal(HttpStatusCode.NotFound, problem.StatusCode);
            Assert.Equal("pack.unknown", (string?)JsonNode.Parse(await problem.Text())!["code"]);
        }

        Assert.Contains("A character of the number is wrong", await (await site.Visitor().Open($"/lot/S1/{lot}/21/{numbers[0][..^1]}")).Text(), StringComparison.Ordinal);
        Assert.Contains("may not be genuine", await (await site.Visitor().Open($"/lot/S1/{lot}/21/{invented}")).Text(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Where_pages_want_a_code_a_packs_number_is_code_enough()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var owner = await site.WithKey(RoleName.Owner);
        var answer = await owner.PostJson("/api/sites/S1/site/describe", """{"name":"Test site","address":"1 Test Road","zone":"Africa/Nairobi","publicCodes":"unguessable"}""");
        Assert.True(answer.IsSuccessStatusCode, await answer.Text());
        var (_, lot, numbers) = await Printed(site);
        Assert.DoesNotContain("?c=", PrintedUri(site), StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.NotFound, (await site.Visitor().Open($"/lot/S1/{lot}")).StatusCode);
        Assert.Equal(HttpStatusCode.OK, (await site.Visitor().Open($"/lot/S1/{lot}/21/{numbers[0]}")).StatusCode);
        Assert.Equal(HttpStatusCode.NotFound, (await site.Visitor().Open($"/lot/S1/{lot}/21/{Invented(numbers[0])}")).StatusCode);
    }

    [Fact]
    public async Task Numbers_that_never_were_and_packs_asked_for_day_after_day_are_shown_to_quality_and_nobody_else()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var (_, lot, numbers) = await Printed(site);
        var quality = await site.SignedIn(RoleName.Quality);
        await site.Visitor().Open($"/lot/S1/{lot}/21/{numbers[0]}");
        await site.Visitor().Open($"/lot/S1/{lot}/21/{numbers[0][..^1]}");
        Assert.Contains("Nothing suspicious.", await quality.Html("/sites/S1/scans"), StringComparison.Ordinal);
        Assert.DoesNotContain("suspicious</span>", await quality.Html("/quality"), StringComparison.Ordinal);

        var head = site.Head;
        await site.Visitor().Open($"/lot/S1/{lot}/21/{Invented(numbers[0])}");
        var page = await quality.Html("/sites/S1/scans");
        Assert.Contains(lot, page, StringComparison.Ordinal);
        Assert.Contains("once on one day", page, StringComparison.Ordinal);
        Assert.DoesNotContain(numbers[0], page, StringComparison.Ordinal);
        Assert.Contains("1 lot suspicious", await quality.Html("/quality"), StringComparison.Ordinal);
        Assert.Equal(head, site.Head);

        for (var day = 0; day <= Tally.UsualDays; day++)
        {
            site.Clock.Advance(TimeSpan.FromDays(1));
            await site.Visitor().Open($"/lot/S1/{lot}/21/{numbers[2]}");
        }

        page = await (await site.SignedIn(RoleName.Quality)).Html($"/sites/S1/lots/{lot}");
        Assert.Contains($"{numbers[2]}</bdi></strong>, label 3 of the lot: 11 times on 11 days", page, StringComparison.Ordinal);
        Assert.DoesNotContain($"{numbers[0]}</bdi></strong>, label", page, StringComparison.Ordinal);
        var packer = await site.SignedIn(RoleName.Packer);
        Assert.DoesNotContain("Scans of packs", await packer.Html($"/sites/S1/lots/{lot}"), StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.Forbidden, (await packer.Open("/sites/S1/scans")).StatusCode);

        // What was counted outlives a clean end of the program.
        await site.Restart();
        Assert.Contains("11 times on 11 days", await (await site.SignedIn(RoleName.Quality)).Html("/sites/S1/scans"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task One_label_of_a_print_is_given_out_alone_and_the_pages_offer_the_first_and_the_last()
    {
        await using var site = await RunningSite.Start();
        var (_, lot, numbers) = await Printed(site);
        var packer = await site.SignedIn(RoleName.Packer);
        foreach (var label in new[] { 1, 3 })
        {
            using var pdf = UglyToad.PdfPig.PdfDocument.Open(await (await packer.Open($"/api/sites/S1/labels/L00001.pdf?label={label}")).Content.ReadAsByteArrayAsync(TestContext.Current.CancellationToken));
            Assert.Equal(1, pdf.NumberOfPages);
            Assert.Contains(numbers[label - 1], pdf.GetPage(1).Text, StringComparison.Ordinal);
        }

        foreach (var wrong in new[] { "0", "4", "x" })
            Assert.Equal(HttpStatusCode.BadRequest, (await packer.Open($"/api/sites/S1/labels/L00001.pdf?label={wrong}")).StatusCode);
        await packer.PostForm($"/sites/S1/record/labels/reconcile?lot={lot}", new() { ["lot"] = lot, ["applied"] = "1", ["spoiled"] = "0", ["returned"] = "0", ["samples"] = "2", ["firstKept"] = "yes", ["lastKept"] = "yes" });
        foreach (var page in new[] { $"/sites/S1/lots/{lot}", "/sites/S1/labels/L00001" })
        {
            var html = await packer.Html(page);
            Assert.Contains("L00001.pdf?label=3\">last label</a>", html, StringComparison.Ordinal);
            Assert.Contains("The first and the last label are kept.", html, StringComparison.Ordinal);
            Assert.Contains("pack numbers 1 to 3 of the lot", html, StringComparison.Ordinal);
        }
    }

    private static HttpClient Script(RunningSite site)
    {
        var script = site.Visitor(asBrowser: false);
        script.DefaultRequestHeaders.Add("Accept", "application/json");
        return script;
    }

    /// <summary>A number with a good check character that was never issued.</summary>
    private static string Invented(string issued)
    {
        for (var at = 0; ; at++)
        {
            var body = $"{issued[..^2]}{PackSerials.Characters[at]}";
            var number = body + Core.Lots.LotCode.CheckCharacter(body);
            if (number != issued && PackSerials.IsWellFormed(number)) return number;
        }
    }

    private static string PrintedUri(RunningSite site) => PrintedLabel(site).Label.Uri;

    private static LabelsPrinted PrintedLabel(RunningSite site)
    {
        var entry = site.App.Journal.Read("S1").Last(one => one.Entry.Type == LabelsPrinted.Type).Entry;
        return (LabelsPrinted)Core.Areas.Codec.Read(entry.Type, entry.Payload);
    }

    private static async Task<(BenchStory Story, string Lot, string[] Numbers)> Printed(RunningSite site)
    {
        var story = await BenchStory.Begin(site);
        await story.Do("products/specify", """{"product":"DRIED","name":"Dried insect larvae","label":{"serialPacks":true}}""");
        await story.Do("products/approve", """{"product":"DRIED","version":2}""");
        var lot = await story.Packed();
        await story.Do("labels/print", $$"""{"lot":"{{lot}}","copies":3}""");
        var printed = PrintedLabel(site);
        return (story, lot, [.. Enumerable.Range(0, 3).Select(place => PackSerials.At(printed.SerialSeed!, lot, place))]);
    }
}
