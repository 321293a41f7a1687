using System.Net;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using Trace.Core.Access;
using Trace.Tests.Approved;
using Trace.Web.Wording;
using Xunit;

namespace Trace.Tests.Web.Buyers;

/// <summary>What a stranger with a phone and ten seconds sees.</summary>
public sealed partial class BuyersPageTests
{
    [Fact]
    public async Task The_page_speaks_the_readers_language_and_leads_to_the_others()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var lot = await (await BenchStory.Begin(site)).Packed();
        foreach (var words in PageWords.All)
        {
            var visitor = site.Visitor();
            visitor.DefaultRequestHeaders.AcceptLanguage.ParseAdd(words.Language);
            var answer = await visitor.Open($"/lot/S1/{lot}");
            var page = WebUtility.HtmlDecode(await answer.Text());
            Assert.Contains($"<html lang=\"{words.Language}\">", page, StringComparison.Ordinal);
            Assert.Contains(words["buyer.released.text"], page, StringComparison.Ordinal);
            Assert.Contains(words["buyer.step.cooled.what"], page, StringComparison.Ordinal);
            Assert.Contains(words.With("buyer.figure.core", words.Number(22), words.Number(27)), page, StringComparison.Ordinal);
            Assert.Contains(words.Date(new DateOnly(2026, 11, 25)), page, StringComparison.Ordinal);
            Assert.Equal(!words.IsReviewed, page.Contains(words["buyer.unreviewed"], StringComparison.Ordinal));
            Assert.Equal(["Accept, Accept-Language"], answer.Headers.Vary.Count > 1 ? [string.Join(", ", answer.Headers.Vary)] : answer.Headers.Vary);
            foreach (var other in PageWords.All) Assert.Contains($"href=\"/lot/S1/{lot}?lang={other.Language}\"", page, StringComparison.Ordinal);

            // What was chosen on the page goes before what the browser says.
            Assert.Contains("<html lang=\"sw\">", await visitor.Html($"/lot/S1/{lot}?lang=sw"), StringComparison.Ordinal);
            Assert.Contains($"<html lang=\"{words.Language}\">", await (await visitor.Open("/lot/S1/P261125-999X")).Text(), StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task What_the_producer_wrote_stands_in_the_languages_that_he_wrote_it_in()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var story = await BenchStory.Begin(site);
        await Specify(site);
        var lot = await story.Packed();
        var visitor = site.Visitor();
        var french = WebUtility.HtmlDecode(await visitor.Html($"/lot/S1/{lot}?lang=fr"));
        Assert.Contains("<h1 lang=\"fr\">Larves séchées</h1>", french, StringComparison.Ordinal);
        Assert.Contains("<dd lang=\"fr\">Peut provoquer des réactions chez les personnes allergiques aux crustacés.</dd>", french, StringComparison.Ordinal);
        var spanish = WebUtility.HtmlDecode(await visitor.Html($"/lot/S1/{lot}?lang=es"));
        Assert.Contains("<h1 lang=\"en\">Dried larvae</h1>", spanish, StringComparison.Ordinal);
        Assert.Contains("Alérgenos", spanish, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Heat_is_told_at_the_temperature_of_the_specification_and_never_better_than_it_was()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var story = await BenchStory.Begin(site);
        var usual = await story.Packed();
        Assert.Matches(@"Heat worth \d+(\.\d)? min at 70 °C; at least 2 min wanted", WebUtility.HtmlDecode(await site.Visitor().Html($"/lot/S1/{usual}")));
        var quality = await site.WithKey(RoleName.Quality);
        await quality.PostJson("/api/sites/S1/products/specify", """{"product":"DRIED","name":"Dried larvae","sanitising":{"referenceCelsius":72,"lethalityMinutes":1.25}}""");
        await quality.PostJson("/api/sites/S1/products/approve", """{"product":"DRIED","version":2}""");
        var lot = await story.Packed();
        var told = Assert.Single(JsonNode.Parse(await Get(site, lot, "application/json"))!["verified"]!.AsArray(), step => (string?)step!["step"] == "sanitised")!["figures"]![0]!;
        Assert.Equal((72m, 1.25m), ((decimal)told["atCelsius"]!, (decimal)told["limit"]!));
        var exact = await site.App.Site("S1")!.ReadAsync(state => Core.Holds.HoldRules.Judge(state, state.Lots.Last(one => one.Kind == Core.Specifications.LotKind.Sanitised), site.Clock.GetUtcNow())
            .Single(judged => judged.Rule.Code == "sanitising.lethality").Verdict.Value!.Value);
        Assert.InRange(exact - (double)(decimal)told["value"]!, 0, 0.1);
        Assert.Contains("min at 72 °C; at least 1.25 min wanted", WebUtility.HtmlDecode(await site.Visitor().Html($"/lot/S1/{lot}")), StringComparison.Ordinal);
    }

    [Fact]
    public async Task It_is_small_has_no_script_and_tells_nothing_of_persons_customers_and_masses_of_others()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var story = await BenchStory.Begin(site);
        var lot = await story.Shipped("Very Private Customer Ltd");
        await story.Do("holds/place", $$"""{"lot":"{{lot}}","reason":"a secret reason"}""");
        var visitor = site.Visitor();
        var page = await visitor.Html($"/lot/S1/{lot}");
        var style = await visitor.Html("/app.css");
        Assert.InRange(page.Length + style.Length, 1000, 50_000);
        Assert.DoesNotContain("<script", page, StringComparison.OrdinalIgnoreCase);
        Assert.All(OtherFiles().Matches(page).Select(match => match.Groups[1].Value), file => Assert.True(
            file is "/app.css" or "data:," || file.StartsWith($"/lot/S1/{lot}", StringComparison.Ordinal) || file.StartsWith('#'), file));
        foreach (var answer in new[] { page, await Get(site, lot, "application/json"), await Get(site, lot, "application/ld+json") })
        {
            foreach (var secret in new[] { "Private Customer", "secret reason", "Quality script", "Example Farm", "\"massGrams", "1000" })
                Assert.DoesNotContain(secret, answer, StringComparison.OrdinalIgnoreCase);
        }
    }

    [Fact]
    public async Task A_recall_is_the_first_thing_on_the_page_in_every_language()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var story = await BenchStory.Begin(site);
        var lot = await story.Shipped();
        await story.Do("recalls/open", $$"""{"lots":["{{lot}}"],"kind":"recall","reason":"test"}""");
        foreach (var words in PageWords.All)
        {
            var page = WebUtility.HtmlDecode(await site.Visitor().Html($"/lot/S1/{lot}?lang={words.Language}"));
            var main = page[page.IndexOf("<main", StringComparison.Ordinal)..];
            Assert.StartsWith("RECALL|" + words["buyer.recall"], "RECALL|" + Texts().Replace(main, " ").Trim(), StringComparison.Ordinal);
            Assert.Contains($"<title>{words["buyer.recall"]}:", page, StringComparison.Ordinal);
            Assert.DoesNotContain(words["buyer.released.text"], page, StringComparison.Ordinal);
        }
    }

    /// <summary>Terms: GS1 Web Vocabulary 1.17 as served by the package @vocabulary/gs1 1.2.0 (<c>npm ci</c> in <c>tests/gs1</c>).</summary>
    [Fact]
    public async Task Machines_get_linked_data_whose_every_term_the_published_vocabulary_has()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var story = await BenchStory.Begin(site);
        await Specify(site);
        var lot = await story.Packed();
        Assert.Contains($"<link rel=\"alternate\" type=\"application/ld+json\" href=\"/lot/S1/{lot}\"", WebUtility.HtmlDecode(await site.Visitor().Html($"/lot/S1/{lot}")), StringComparison.Ordinal);
        var data = JsonNode.Parse(await Get(site, lot, "application/ld+json"))!;
        Assert.Equal((lot, "09520123456788", "2026-11-25"), ((string?)data["gs1:hasBatchLotNumber"], (string?)data["gs1:gtin"], (string?)data["gs1:productionDate"]!["@value"]));
        Assert.Equal("Larves séchées", (string?)data["gs1:productName"]!.AsArray().Single(name => (string?)name!["@language"] == "fr")!["@value"]);
        Assert.Equal($"https://trace.example.org/lot/S1/{lot}", (string?)data["@id"]);
        var vocabulary = await File.ReadAllTextAsync(Path.Combine(Repository.Folder, "tests/gs1/node_modules/@vocabulary/gs1/gs1.nq"), TestContext.Current.CancellationToken);
        var terms = Terms().Matches(data.ToJsonString()).Select(match => match.Groups[1].Value).Distinct().ToList();
        Assert.True(terms.Count >= 12, string.Join(' ', terms));
        Assert.All(terms, term => Assert.Matches($"(?m)^<https://(ref\\.)?gs1\\.org/voc/{term}> ", vocabulary));
        Assert.DoesNotMatch("(?m)^<https://(ref\\.)?gs1\\.org/voc/noSuchTerm> ", vocabulary);
    }

    private static async Task Specify(RunningSite site)
    {
        var quality = await site.WithKey(RoleName.Quality);
        var specification = """
            {"product":"DRIED","name":"Dried larvae","label":{"gtin":"09520123456788","language":"en","allergens":"May cause reactions in people allergic to crustaceans.",
            "cautions":["Not for infants."],"translations":[{"language":"fr","name":"Larves séchées","purpose":"Matière première.","storage":"Garder au sec.",
            "cautions":["Pas pour les nourrissons."],"allergens":"Peut provoquer des réactions chez les personnes allergiques aux crustacés."}]}}
            """;
        var written = await quality.PostJson("/api/sites/S1/products/specify", specification);
        Assert.True(written.IsSuccessStatusCode, await written.Text());
        var approved = await quality.PostJson("/api/sites/S1/products/approve", """{"product":"DRIED","version":2}""");
        Assert.True(approved.IsSuccessStatusCode, await approved.Text());
    }

    private static async Task<string> Get(RunningSite site, string lot, string accept)
    {
        var client = site.Visitor(asBrowser: false);
        client.DefaultRequestHeaders.Add("Accept", accept);
        var answer = await client.Open($"/lot/S1/{lot}");
        Assert.Equal((HttpStatusCode.OK, accept), (answer.StatusCode, answer.Content.Headers.ContentType!.MediaType));
        return await answer.Text();
    }

    [GeneratedRegex("(?:src|href)=\"([^\"]*)\"")]
    private static partial Regex OtherFiles();

    [GeneratedRegex("<[^>]*>")]
    private static partial Regex Texts();

    [GeneratedRegex("\"gs1:([A-Za-z]+)\"")]
    private static partial Regex Terms();
}
