using System.Globalization;
using System.Net;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using Trace.Core;
using Trace.Core.Access;
using Xunit;

namespace Trace.Tests.Web.Pages;

public sealed partial class CorrectPageTests
{
    [Fact]
    public async Task A_value_corrected_on_the_page_stands_struck_through_beside_the_new_one()
    {
        await using var site = await RunningSite.Start();
        var batch = await (await BenchStory.Begin(site)).WeighedOut();
        var address = $"/sites/S1/correct/{site.Head}";
        var browser = await site.SignedIn(RoleName.Quality, "Kofi");
        Assert.Contains($"href=\"{address}\"", await browser.Html($"/sites/S1/lots/{batch}"), StringComparison.Ordinal);
        var form = await browser.Html(address);
        Assert.Contains("What was recorded", form, StringComparison.Ordinal);
        Assert.Contains("<dd>300 g</dd>", form, StringComparison.Ordinal);
        Assert.Contains("value=\"300\"", form, StringComparison.Ordinal);
        Assert.Contains($"value=\"{batch}\"", form, StringComparison.Ordinal);

        var fields = WeighOut(site, batch, "280,5");
        var silent = await browser.PostForm(address, new(fields) { ["why"] = " " });
        Assert.Equal(HttpStatusCode.BadRequest, silent.StatusCode);
        Assert.Contains("id=\"f-why-problem\"", await silent.Text(), StringComparison.Ordinal);
        var done = await browser.PostForm(address, fields);
        Assert.Equal(HttpStatusCode.SeeOther, done.StatusCode);
        var page = await browser.Html(done.Headers.Location!.OriginalString);
        Assert.Contains("Corrected: Weigh out.", page, StringComparison.Ordinal);
        Assert.Contains("<del>300 g</del>", page, StringComparison.Ordinal);
        Assert.Contains("<ins>280.5 g</ins>", page, StringComparison.Ordinal);
        Assert.Contains("tray not tared", page, StringComparison.Ordinal);
        Assert.Contains("value=\"280.5\"", await browser.Html(address), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_corrected_reading_shows_what_was_shipped_while_held()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var batch = await story.Cool();
        var reading = site.Head;
        var packed = await story.Do("packing/pack", $$"""{"inputs":[{"lot":"{{batch}}","massGrams":300}],"product":"DRIED","packs":3,"netMassGrams":100,"happenedAt":"{{story.Now}}"}""");
        await story.Do("labels/print", $$"""{"lot":"{{packed}}","copies":3}""");
        await story.Do("shipping/ship", $$"""{"customer":"Example Pets Ltd","reference":"DN-1","lines":[{"lot":"{{packed}}","packs":2}],"happenedAt":"{{story.Now}}"}""");
        var browser = await site.SignedIn(RoleName.Owner);
        Assert.DoesNotContain("Shipped while held", await browser.Html($"/sites/S1/lots/{packed}"), StringComparison.Ordinal);
        var done = await browser.PostForm($"/sites/S1/correct/{reading}", new()
        {
            ["why"] = "the slip says 62",
            ["lot"] = batch,
            ["coreCelsius"] = "62",
            ["roomCelsius"] = "22",
            ["happenedAt"] = HappenedAt(site, reading),
        });
        Assert.Equal(HttpStatusCode.SeeOther, done.StatusCode);
        Assert.Contains("Shipped while held", await browser.Html($"/sites/S1/lots/{packed}"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_entry_is_voided_with_the_reason_alone_unless_its_lot_has_gone_on()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var batch = await story.InDryer();
        var browser = await site.SignedIn(RoleName.Quality, "Kofi");
        var started = Enumerable.Range(1, (int)site.Head).Last(seq => site.App.Journal.Get("S1", seq)!.Entry.Type == "drying.started");
        var before = site.Head;
        var refused = await browser.PostForm($"/sites/S1/correct/{started}", new() { ["why"] = "another dryer's", ["void"] = "yes" });
        var html = await refused.Text();
        Assert.Equal(HttpStatusCode.UnprocessableEntity, refused.StatusCode);
        Assert.Contains($"Lot {batch} is used by entry {before}", html, StringComparison.Ordinal);
        Assert.Contains("value=\"another dryer&#x27;s\"", html, StringComparison.Ordinal);
        Assert.Equal(before, site.Head);

        var done = await browser.PostForm($"/sites/S1/correct/{before}", new() { ["why"] = "typed twice", ["void"] = "yes" });
        Assert.Equal(HttpStatusCode.SeeOther, done.StatusCode);
        Assert.Contains("<ins>void</ins>", await browser.Html(done.Headers.Location!.OriginalString), StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_the_form_does_not_ask_for_stays_as_it_was_recorded()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var lot = await story.Do("receiving/receive", $$"""{"supplier":"Example Farm","massGrams":1000,"moistureFraction":0.68,"happenedAt":"{{story.Now}}"}""");
        var seq = site.Head;
        var browser = await site.SignedIn(RoleName.Quality, "Kofi");
        var done = await browser.PostForm($"/sites/S1/correct/{seq}", new()
        {
            ["why"] = "two crates",
            ["supplier"] = "Example Farm",
            ["massGrams"] = "2000",
            ["lot"] = lot,
            ["happenedAt"] = HappenedAt(site, seq),
        });
        Assert.Equal(HttpStatusCode.SeeOther, done.StatusCode);
        var kept = site.App.Journal.Get("S1", site.Head)!.Entry.Payload;
        Assert.Contains("\"moistureFraction\":0.68", kept, StringComparison.Ordinal);
        Assert.Contains("\"massMilligrams\":2000000", kept, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_form_sent_back_as_it_was_opened_says_the_same_again()
    {
        await using var site = await RunningSite.Start();
        await (await BenchStory.Begin(site)).Shipped();
        var browser = await site.SignedIn(RoleName.Quality, "Kofi");
        var entries = Enumerable.Range(1, (int)site.Head).Select(seq => site.App.Journal.Get("S1", seq)!)
            .Where(entry => Areas.Correcting(entry.Entry.Type) is not null).ToList();
        Assert.Equal(
            ["receiving.received", "sanitising.run", "drying.started", "drying.cycle", "drying.weighed-out", "cooling.read", "packing.packed", "shipping.shipped"],
            entries.Select(entry => entry.Entry.Type));
        foreach (var entry in entries)
        {
            var html = await browser.Html($"/sites/S1/correct/{entry.Seq}");
            var done = await browser.Post($"/sites/S1/correct/{entry.Seq}", Browsing.Filled(html, new(Standing(html)) { ["why"] = "looked at again" }));
            Assert.True(done.StatusCode == HttpStatusCode.SeeOther, $"{entry.Entry.Type}: {await done.Text()}");
            var correction = JsonNode.Parse(site.App.Journal.Get("S1", site.Head)!.Entry.Payload)!;
            Assert.Equal(Told(JsonNode.Parse(entry.Entry.Payload)!), Told(correction["replacement"]!));
            Assert.Equal(entry.Entry.HappenedAt, DateTimeOffset.Parse((string)correction["happenedAt"]!, CultureInfo.InvariantCulture));
        }
    }

    [Fact]
    public async Task Corrections_are_for_the_office_need_the_forms_token_and_an_entry_of_the_bench()
    {
        await using var site = await RunningSite.Start();
        var batch = await (await BenchStory.Begin(site)).WeighedOut();
        var before = site.Head;
        var address = $"/sites/S1/correct/{before}";
        var bench = await site.SignedIn(RoleName.Operator);
        Assert.DoesNotContain("/correct/", await bench.Html($"/sites/S1/lots/{batch}"), StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.Forbidden, (await bench.Open(address)).StatusCode);
        var fields = Browsing.Filled(await bench.Html("/bench"), new(WeighOut(site, batch, "280")) { ["requestKey"] = "k" });
        Assert.Equal(HttpStatusCode.Forbidden, (await bench.Post(address, fields)).StatusCode);
        var office = await site.SignedIn(RoleName.Quality, "Kofi");
        Assert.Equal(HttpStatusCode.BadRequest, (await office.Post(address, new(WeighOut(site, batch, "280")) { ["requestKey"] = "k" })).StatusCode);
        Assert.Equal(HttpStatusCode.NotFound, (await office.Open("/sites/S1/correct/99999")).StatusCode);
        Assert.Equal(HttpStatusCode.UnprocessableEntity, (await office.Open("/sites/S1/correct/1")).StatusCode);
        Assert.Equal(before, site.Head);
    }

    private static Dictionary<string, string> WeighOut(RunningSite site, string batch, string mass) => new()
    {
        ["why"] = "tray not tared",
        ["lot"] = batch,
        ["massOutGrams"] = mass,
        ["puffed"] = "yes",
        ["crumbles"] = "yes",
        ["happenedAt"] = HappenedAt(site, site.Head),
    };

    /// <summary>As the time field has it: the site is at UTC + 3 h.</summary>
    private static string HappenedAt(RunningSite site, long seq) => site.App.Journal.Get("S1", seq)!.Entry.HappenedAt
        .ToOffset(TimeSpan.FromHours(3)).ToString("yyyy-MM-dd'T'HH:mm:ss", CultureInfo.InvariantCulture);

    /// <summary>What a browser would send of the page's fields as they stand.</summary>
    private static Dictionary<string, string> Standing(string html)
    {
        var fields = new Dictionary<string, string>();
        foreach (Match tag in Input().Matches(html))
        {
            var (name, value) = (Attribute(tag.Value, "name"), Attribute(tag.Value, "value"));
            if (!tag.Value.Contains("hidden", StringComparison.Ordinal)
                && (!tag.Value.Contains("radio", StringComparison.Ordinal) || tag.Value.Contains(" checked", StringComparison.Ordinal)))
                fields[name] = value;
        }

        foreach (Match area in Area().Matches(html)) fields[area.Groups[1].Value] = WebUtility.HtmlDecode(area.Groups[2].Value);
        foreach (Match choice in Choice().Matches(html))
            fields[choice.Groups[1].Value] = Attribute(Selected().Match(choice.Value).Value, "value");
        return fields;
    }

    private static string Attribute(string tag, string name) => WebUtility.HtmlDecode(Regex.Match(tag, $" {name}=\"([^\"]*)\"").Groups[1].Value);

    /// <summary>An event without what the gate found, which is found anew; times in UTC.</summary>
    private static string Told(JsonNode payload)
    {
        payload.AsObject().Remove("evidence");
        return Moment().Replace(payload.ToJsonString(), time =>
            DateTimeOffset.Parse(time.Value.Replace("\\u002B", "+", StringComparison.Ordinal), CultureInfo.InvariantCulture).ToUniversalTime().ToString("O"));
    }

    [GeneratedRegex("<input [^>]*>")]
    private static partial Regex Input();

    [GeneratedRegex("<textarea [^>]*name=\"([^\"]+)\"[^>]*>([^<]*)</textarea>")]
    private static partial Regex Area();

    [GeneratedRegex("<select [^>]*name=\"([^\"]+)\".*?</select>", RegexOptions.Singleline)]
    private static partial Regex Choice();

    [GeneratedRegex("<option [^>]* selected[^>]*>")]
    private static partial Regex Selected();

    [GeneratedRegex(@"\d{4}-\d\d-\d\dT[0-9:.]+(Z|(\+|\\u002B)\d\d:\d\d)")]
    private static partial Regex Moment();
}
