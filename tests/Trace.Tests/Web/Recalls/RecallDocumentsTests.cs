using System.Net;
using System.Text.Json;
using Trace.Core.Access;
using Trace.Web.Wording;
using UglyToad.PdfPig;
using Xunit;

namespace Trace.Tests.Web.Recalls;

/// <summary>What goes out in a recall, held against the lists that the rules publish.</summary>
public sealed class RecallDocumentsTests
{
    [Fact]
    public async Task A_letter_has_all_that_a_recall_notice_must_have_and_exactly_the_consignees_own_deliveries()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var (office, lot, other) = await Told(site);
        var letter = Words(await Pdf(office, "/api/sites/S1/recalls/R01/notices/R01-001.pdf"));
        var text = await (await office.Open("/api/sites/S1/recalls/R01/notices/R01-001.txt")).Text();
        foreach (var notice in new[] { letter, text.ReplaceLineEndings(" ") })
        {
            // 21 CFR 7.49(c)(1), read for this project: (i) identify the product, size and lot; (ii) the reason and the hazard; (iii) stop distribution and use;
            // (iv) pass on to own customers; (v) what to do with the product. 7.49(b): marked as a recall, and urgent. (d): a way to answer.
            foreach (var wanted in new[] { "URGENT", "RECALL", "Dried insect larvae", lot, "100", "May break a tooth.", "Stop selling and using it now.", "If you passed it on, tell those who have it", "Keep it until we call.", "/recall/S1/", "DN-1", "2" })
                Assert.Contains(wanted, notice, StringComparison.Ordinal);
            Assert.Contains("North shop", notice, StringComparison.Ordinal);
            Assert.DoesNotContain("South shop", notice, StringComparison.Ordinal);
            Assert.DoesNotContain(other, notice, StringComparison.Ordinal);
        }

        // The other one is written to in its own language.
        var french = Words(await Pdf(office, "/api/sites/S1/recalls/R01/notices/R01-002.pdf"));
        Assert.Contains(PageWords.Find("fr")!["notice.stop"], french, StringComparison.Ordinal);
        Assert.Contains("Peut casser une dent.", french, StringComparison.Ordinal);
        var all = await Pdf(office, "/api/sites/S1/recalls/R01/notices.pdf");
        using var document = PdfDocument.Open(all);
        Assert.Equal(2, document.NumberOfPages);

        // A packer may see the report, but not the secret addresses.
        var packer = await site.WithKey(RoleName.Packer);
        Assert.Equal(HttpStatusCode.Forbidden, (await packer.Open("/api/sites/S1/recalls/R01/notices/R01-001.pdf")).StatusCode);
        var link = await site.App.Site("S1")!.ReadAsync(state => state.Recalls["R01"].Notices[0].Link);
        Assert.DoesNotContain(link, await (await packer.Open("/api/sites/S1/recalls/R01")).Text(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_draft_for_the_authority_has_what_an_authority_asks_for()
    {
        await using var site = await RunningSite.Start();
        var (office, lot, _) = await Told(site);
        var draft = Words(await Pdf(office, "/api/sites/S1/recalls/R01/authority.pdf"));

        // Regulation (EU) 2019/1715, Arts 15 and 16, and 21 CFR 7.46(a), both as the project's notes have them: product, codes explained, firm and contacts, reason and
        // date found, hazard, volume made, distributed and held, distribution by country, tracing data, measures, fraud suspected, strategy.
        foreach (var wanted in new[]
        {
            "Dried insect larvae", lot, "Lot codes: a letter for the kind of lot", "Test site", "Contact person", "stones", "Found on", "Analysis and result", "Made", "With customers", "On hand, held",
            "Distribution by country", "KE", "not on record", "Where it came from", "Example Farm", "Consignees told 2 of 2", "Is fraud suspected", "Effectiveness checks", "May break a tooth.",
        }) Assert.Contains(wanted, draft, StringComparison.Ordinal);
        var notice = Words(await Pdf(office, "/api/sites/S1/recalls/R01/public.pdf"));

        // Common practice, no source: product, pack size, lot and date, risk, what to do, contact.
        foreach (var wanted in new[] { "RECALL", "Dried insect larvae", "100", lot, "Best before", "May break a tooth.", "Keep it until we call.", "Contact" })
            Assert.Contains(wanted, notice, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_status_report_has_what_the_rules_list_and_does_not_change()
    {
        await using var site = await RunningSite.Start();
        var (office, lot, _) = await Told(site);
        await office.Record("recalls/report", """{"recall":"R01","note":"first"}""");
        var before = Words(await Pdf(office, "/api/sites/S1/recalls/R01/status/1.pdf"));

        // 21 CFR 7.53(b), from the project's notes: consignees notified and how, number that answered, silent ones, quantities returned or accounted for, effectiveness checks.
        foreach (var wanted in new[] { "Told 2 of 2", "Answered 0 of 2", "Silent 2", "Came back here 0", "Destroyed with proof 0", "Effectiveness checks 0 done, 0 effective, 2 wanted", "Delivered 4" })
            Assert.Contains(wanted, before, StringComparison.Ordinal);
        await office.Record("recalls/answer", $$"""{"recall":"R01","customer":"North shop","receivedPacks":2,"heldPacks":0,"soldPacks":2,"returnedPacks":0,"destroyedPacks":0,"happenedAt":"{{Now(site)}}"}""");
        Assert.Equal(before, Words(await Pdf(office, "/api/sites/S1/recalls/R01/status/1.pdf")));
        Assert.Equal(HttpStatusCode.NotFound, (await office.Open("/api/sites/S1/recalls/R01/status/2.pdf")).StatusCode);
        Assert.Equal(HttpStatusCode.NotFound, (await office.Open("/api/sites/S1/recalls/R09/authority.pdf")).StatusCode);
    }

    /// <summary>Impl. Reg. (EU) 931/2011, Art 3 (read for this project): what must be known of each consignment.</summary>
    [Fact]
    public async Task Deliveries_carry_what_the_law_of_animal_products_lists()
    {
        await using var site = await RunningSite.Start();
        var (office, lot, _) = await Told(site);
        var csv = (await (await office.Open("/api/sites/S1/tracking.csv")).Text()).Split("\r\n");
        var row = csv.Single(line => line.StartsWith("shipping,", StringComparison.Ordinal) && line.Contains(lot, StringComparison.Ordinal));

        // (a) description, (b) quantity, (c) dispatching operator, (e) receiving operator, (g) reference of the lot, (h) date. Owners are the same persons here: (d), (f).
        foreach (var wanted in new[] { "Dried insect larvae", ",2,packs,", "Test site, 1 Test Road, Example Town", "North shop, 1 North Street, KE", lot, "2026-11-25", "DN-1" })
            Assert.Contains(wanted, row, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Buyers_pages_of_every_lot_in_the_scope_say_the_risk_and_what_to_do_in_their_language()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var (_, lot, other) = await Told(site);
        var visitor = site.Visitor();
        foreach (var recalled in new[] { lot, other })
        {
            Assert.Contains("May break a tooth.", await visitor.Html($"/lot/S1/{recalled}"), StringComparison.Ordinal);
            Assert.Contains("Peut casser une dent.", await visitor.Html($"/lot/S1/{recalled}?lang=fr"), StringComparison.Ordinal);
        }

        var json = await (await site.Visitor(asBrowser: false).GetAsync(new Uri($"/lot/S1/{lot}", UriKind.Relative), TestContext.Current.CancellationToken)).Text();
        Assert.DoesNotContain("North shop", json, StringComparison.Ordinal);
    }

    /// <summary>Two lots to two shops, recalled by the supplier's lot, published in two languages, told by letter.</summary>
    private static async Task<(HttpClient Office, string Lot, string Other)> Told(RunningSite site)
    {
        var story = await BenchStory.Begin(site);
        var office = await site.WithKey(RoleName.Owner);
        await office.Record("customers/describe", """{"customer":"North shop","address":"1 North Street","country":"KE","email":"north@example.org"}""");
        await office.Record("customers/describe", """{"customer":"South shop","language":"fr"}""");
        var lot = await story.Shipped("North shop");
        var other = await story.Shipped("South shop");
        await office.Record("recalls/open", $$"""{"lots":["{{lot}}","{{other}}"],"kind":"recall","reason":"stones"}""");
        await office.Record("recalls/publish", """{"recall":"R01","language":"en","risk":"May break a tooth.","action":"Keep it until we call."}""");
        await office.Record("recalls/publish", """{"recall":"R01","language":"fr","risk":"Peut casser une dent.","action":"Gardez-le."}""");
        await office.Record("recalls/notify", $$"""{"recall":"R01","by":"letter","happenedAt":"{{Now(site)}}"}""");
        return (office, lot, other);
    }

    internal static string Now(RunningSite site) => site.Clock.GetUtcNow().ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", System.Globalization.CultureInfo.InvariantCulture);

    internal static async Task<byte[]> Pdf(HttpClient client, string address)
    {
        var answer = await client.Open(address);
        Assert.True(answer.IsSuccessStatusCode, $"{address}: {answer.StatusCode}");
        Assert.Equal("application/pdf", answer.Content.Headers.ContentType!.MediaType);
        return await answer.Content.ReadAsByteArrayAsync();
    }

    internal static string Words(byte[] pdf)
    {
        using var document = PdfDocument.Open(pdf);

        // The font draws "ffi" as one shape; read, it is three letters again.
        return new[] { ("ﬁ", "fi"), ("ﬂ", "fl"), ("ﬀ", "ff"), ("ﬃ", "ffi"), ("ﬄ", "ffl") }.Aggregate(
            string.Join(' ', document.GetPages().SelectMany(page => page.GetWords()).Select(word => word.Text)),
            (text, shape) => text.Replace(shape.Item1, shape.Item2, StringComparison.Ordinal));
    }
}

internal static class Recording
{
    /// <summary>Runs what must be recorded, and gives the answer's id.</summary>
    internal static async Task<string?> Record(this HttpClient client, string operation, string json)
    {
        var answer = await client.PostJson($"/api/sites/S1/{operation}", json);
        var text = await answer.Text();
        Assert.True(answer.IsSuccessStatusCode, $"{operation}: {text}");
        using var document = JsonDocument.Parse(text);
        return document.RootElement.TryGetProperty("id", out var id) ? id.GetString() : null;
    }
}
