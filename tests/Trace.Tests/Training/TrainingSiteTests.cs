using System.Globalization;
using System.Net;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using Trace.Core.Access;
using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Core.Training;
using Trace.Tests.Web;
using Trace.Web.Wording;
using UglyToad.PdfPig;
using Xunit;

namespace Trace.Tests.Training;

/// <summary>One click makes a place to practise; what is done there is seen, and can be taken for real nowhere.</summary>
public sealed partial class TrainingSiteTests
{
    [Fact]
    public async Task One_click_makes_a_site_with_lots_in_the_middle_of_their_way_and_nothing_done_yet()
    {
        await using var site = await RunningSite.Start();
        var trainee = await site.SignedIn(RoleName.Operator);
        var made = await trainee.PostForm("/training", []);
        Assert.Equal((HttpStatusCode.SeeOther, "/training?site=TRAIN1"), (made.StatusCode, made.Headers.Location!.ToString()));
        Assert.Equal("TRAIN2", (await trainee.PostForm("/training", [])).Headers.Location!.ToString().Split('=')[1]);
        var page = await trainee.Html("/training?site=TRAIN1");
        Assert.Contains("0 of 4 done", page, StringComparison.Ordinal);
        Assert.Equal(Exercises.All.Sum(exercise => exercise.Tasks.Count), ToDo().Count(page));
        await site.App.Site("TRAIN1")!.ReadAsync(state =>
        {
            Assert.All(Exercises.All, exercise => Assert.NotEmpty(exercise.LotsIn(state)));
            Assert.Equal(state.Lots.Count, Exercises.All.Sum(exercise => exercise.LotsIn(state).Count));
            return 0;
        });

        // Nothing of it is late, or the lists would be full of it.
        Assert.All(site.App.Journal.Read("TRAIN1"), entry => Assert.InRange(entry.Entry.RecordedAt - entry.Entry.HappenedAt, TimeSpan.Zero, TimeSpan.FromHours(1)));
        var inspector = await site.SignedIn(RoleName.Inspector);
        Assert.Equal(HttpStatusCode.Forbidden, (await inspector.PostForm("/my-sign-ins", [], "/training")).StatusCode);
        Assert.Equal(HttpStatusCode.NotFound, (await trainee.Open("/training?site=S1")).StatusCode);
    }

    [Fact]
    public async Task Every_page_label_and_paper_of_it_says_so()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var owner = await site.SignedIn(RoleName.Owner);
        await owner.PostForm("/training", []);
        var (packed, print) = await site.App.Site("TRAIN1")!.ReadAsync(state =>
            (state.Lots.First(lot => lot.Kind == LotKind.Packed).Code, state.Lots.First(lot => lot.Prints.Count > 0).Prints[0].Id));
        foreach (var page in new[] { "/bench?site=TRAIN1", $"/sites/TRAIN1/lots/{packed}", "/quality?site=TRAIN1", "/sites/TRAIN1/record", "/sites/TRAIN1/record/packing/pack", $"/sites/TRAIN1/labels/{print}" })
            Assert.Contains("<strong>TRAINING.</strong>", await owner.Html(page), StringComparison.Ordinal);
        Assert.DoesNotContain("<strong>TRAINING.</strong>", await owner.Html("/bench?site=S1"), StringComparison.Ordinal);
        foreach (var words in PageWords.All)
            Assert.Contains(words["buyer.training.text"], WebUtility.HtmlDecode(await site.Visitor().Html($"/lot/TRAIN1/{packed}?lang={words.Language}")), StringComparison.Ordinal);

        var file = await (await owner.Open($"/api/sites/TRAIN1/labels/{print}.pdf")).Content.ReadAsByteArrayAsync(TestContext.Current.CancellationToken);
        using var pdf = PdfDocument.Open(file);
        Assert.Contains("NOT FOR SALE", pdf.GetPage(1).Text, StringComparison.Ordinal);
        Assert.DoesNotContain("Feed material", pdf.GetPage(1).Text, StringComparison.Ordinal);

        var script = await site.WithKey(RoleName.Quality);
        await script.PostJson("/api/sites/TRAIN1/recalls/open", $$"""{"lots":["{{packed}}"],"kind":"drill","reason":"practice"}""");
        using var report = PdfDocument.Open(await (await script.Open("/api/sites/TRAIN1/recalls/R01/report.pdf")).Content.ReadAsByteArrayAsync(TestContext.Current.CancellationToken));
        Assert.Contains("TRAINING", report.GetPage(1).Text, StringComparison.Ordinal);

        // It is never the site that is meant, and an address of GS1 never leads there.
        Assert.Contains("<strong>S1</strong>", await owner.Html("/bench"), StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.NotFound, (await site.Visitor().Open($"/01/09520123456788/10/{packed}")).StatusCode);
    }

    /// <summary>Lots of both sites get the same codes: an address without the site would show a buyer the real lot for a practice label.</summary>
    [Fact]
    public async Task Its_labels_never_lead_to_a_real_lot_of_the_same_code()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var owner = await site.SignedIn(RoleName.Owner);
        await owner.PostForm("/training", []);
        var quality = await site.WithKey(RoleName.Quality);
        foreach (var (area, body) in new[] { ("specify", """{"product":"DRIED","name":"Dried larvae","label":{"gtin":"09520123456788"}}"""), ("approve", """{"product":"DRIED","version":2}""") })
        {
            foreach (var code in new[] { "S1", "TRAIN1" })
                Assert.Equal(HttpStatusCode.Created, (await quality.PostJson($"/api/sites/{code}/products/{area}", body)).StatusCode);
        }

        var batch = await site.App.Site("TRAIN1")!.ReadAsync(state => Exercises.All[2].LotsIn(state).First(lot => lot.Kind == LotKind.Dried).Code);
        var packed = JsonNode.Parse(await (await quality.PostJson("/api/sites/TRAIN1/packing/pack", $$"""{"inputs":[{"lot":"{{batch}}","massGrams":1}],"product":"DRIED","packs":1,"netMassGrams":1,"happenedAt":"2026-11-25T06:00:00Z"}""")).Text())!;
        var lot = (string)packed["lot"]!;
        Assert.True((await quality.PostJson("/api/sites/TRAIN1/labels/print", $$"""{"lot":"{{lot}}","copies":1}""")).IsSuccessStatusCode);
        var label = site.App.Journal.Read("TRAIN1").Last(entry => entry.Entry.Type == "labels.printed").Entry.Payload;
        Assert.Equal($"https://trace.example.org/lot/TRAIN1/{lot}", (string?)JsonNode.Parse(label)!["label"]!["uri"]);
        Assert.Null(JsonNode.Parse(label)!["label"]!["gtin"]);
    }

    [Fact]
    public async Task Each_exercise_is_done_when_it_was_done_and_not_before()
    {
        await using var site = await RunningSite.Start();
        var owner = await site.SignedIn(RoleName.Owner);
        await owner.PostForm("/training", []);
        var script = await site.WithKey(RoleName.Quality);
        string Now() => site.Clock.GetUtcNow().ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture);
        async Task<JsonNode> Do(string operation, string json, HttpStatusCode expected = HttpStatusCode.Created)
        {
            site.Clock.Advance(TimeSpan.FromMinutes(1));
            var answer = await script.PostJson($"/api/sites/TRAIN1/{operation}", json.Replace("NOW", Now(), StringComparison.Ordinal));
            var text = await answer.Text();
            Assert.True(answer.StatusCode == expected, $"{operation}: {answer.StatusCode} {text}");
            return JsonNode.Parse(text)!;
        }

        async Task<string> Lot(int exercise, LotKind kind) => await site.App.Site("TRAIN1")!.ReadAsync(state => Exercises.All[exercise - 1].LotsIn(state).First(lot => lot.Kind == kind).Code);
        async Task<string> Done() => string.Join(' ', await site.App.Site("TRAIN1")!.ReadAsync(state => Exercises.All.Select(exercise =>
            string.Concat(exercise.Tasks.Select(task => task.IsDone(new ExerciseSight(state, exercise.LotsIn(state), site.Clock.GetUtcNow())) ? '1' : '0'))).ToList()));

        Assert.Equal("00 00 00 00", await Done());
        var wet = await Lot(1, LotKind.Dried);
        site.Clock.Advance(TimeSpan.FromMinutes(6));
        await Do("drying/cycle", $$"""{"lot":"{{wet}}","seconds":300,"happenedAt":"NOW"}""");
        Assert.Equal("10 00 00 00", await Done());
        await Do("drying/weigh-out", $$"""{"lot":"{{wet}}","massOutGrams":420,"puffed":true,"crumbles":true,"happenedAt":"NOW"}""");
        Assert.Equal("10 00 00 00", await Done());
        await Do("drying/cycle", $$"""{"lot":"{{wet}}","seconds":60,"happenedAt":"NOW"}""");
        await Do("drying/weigh-out", $$"""{"lot":"{{wet}}","massOutGrams":320,"puffed":true,"crumbles":true,"happenedAt":"NOW"}""");
        Assert.Equal("11 00 00 00", await Done());

        var hot = await Lot(2, LotKind.Dried);
        var pack = $$"""{"inputs":[{"lot":"{{hot}}","massGrams":300}],"product":"DRIED","packs":3,"netMassGrams":100,"happenedAt":"NOW"}""";
        Assert.Equal("lot.held", (string?)(await Do("packing/pack", pack, HttpStatusCode.Conflict))["code"]);
        await Do("cooling/reading", $$"""{"lot":"{{hot}}","coreCelsius":40,"roomCelsius":22,"happenedAt":"NOW"}""");
        Assert.Equal("11 00 00 00", await Done());
        await Do("cooling/reading", $$"""{"lot":"{{hot}}","coreCelsius":23,"roomCelsius":22,"happenedAt":"NOW"}""");
        await Do("packing/pack", pack);
        Assert.Equal("11 11 00 00", await Done());

        var smeared = await Lot(3, LotKind.Packed);
        await Do("labels/print", $$"""{"lot":"{{smeared}}","copies":4,"reason":"smeared"}""");
        await Do("labels/reconcile", $$"""{"lot":"{{smeared}}","applied":4,"spoiled":2,"returned":0}""");
        Assert.Equal("11 11 10 00", await Done());
        await Do("labels/reconcile", $$"""{"lot":"{{smeared}}","applied":0,"spoiled":2,"returned":0}""");
        Assert.Equal("11 11 11 00", await Done());

        var batches = await site.App.Site("TRAIN1")!.ReadAsync(state => Exercises.All[3].LotsIn(state).ToList());
        await Do("recalls/open", $$"""{"lots":["{{batches.First(lot => lot.Kind == LotKind.Packed).Code}}"],"kind":"drill","reason":"stone"}""");
        await Do("recalls/close", """{"recall":"R01","conclusion":"5 packs"}""");
        Assert.Equal("11 11 11 00", await Done());
        await Do("recalls/open", $$"""{"lots":["{{batches.First(lot => lot.Kind == LotKind.Dried).Code}}"],"kind":"drill","reason":"stone"}""");
        Assert.Equal("11 11 11 10", await Done());
        await Do("recalls/close", """{"recall":"R02","conclusion":"It was 1, 2, 3, 4 or 5 packs."}""");
        Assert.Equal("11 11 11 10", await Done());
        await Do("recalls/open", $$"""{"lots":["{{batches.First(lot => lot.Kind == LotKind.Dried).Code}}"],"kind":"drill","reason":"stone"}""");
        await Do("recalls/close", """{"recall":"R03","conclusion":"5 packs are at customers."}""");
        Assert.Equal("11 11 11 11", await Done());
        Assert.Contains("4 of 4 done", await owner.Html("/training?site=TRAIN1"), StringComparison.Ordinal);
    }

    [GeneratedRegex(">to do<")]
    private static partial Regex ToDo();
}
