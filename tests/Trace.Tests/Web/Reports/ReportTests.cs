using System.Diagnostics;
using System.IO.Compression;
using System.Net;
using System.Text.Json;
using MiniExcelLibs;
using Trace.Core.Access;
using Trace.Tests.Web.Recalls;
using Xunit;

namespace Trace.Tests.Web.Reports;

public sealed class ReportTests
{
    /// <summary>What auditors ask for on the spot (common practice, no source), each with what shows that it is there.</summary>
    [Fact]
    public async Task A_batch_record_has_all_that_an_auditor_asks_for()
    {
        await using var site = await RunningSite.Start();
        var office = await site.WithKey(RoleName.Owner);
        var story = await BenchStory.Begin(site);
        await office.Record("instruments/check", $$"""{"instrument":"TH-9","kind":"ice","found":0.2,"happenedAt":"{{RecallDocumentsTests.Now(site)}}"}""");
        var lot = await story.Shipped("North shop");
        var hold = await office.Record("holds/place", $$"""{"lot":"{{lot}}","reason":"second look"}""");
        await (await site.WithKey(RoleName.Quality)).Record("holds/release", $$"""{"lot":"{{lot}}","hold":"{{hold}}","reason":"looked at, good"}""");
        var words = RecallDocumentsTests.Words(await RecallDocumentsTests.Pdf(office, $"/api/sites/S1/lots/{lot}/record.pdf"));
        (string Asked, string Shown)[] list =
        [
            ("inputs", "What it came from"), ("inputs", "Example Farm"), ("critical readings", "Sanitised"), ("critical readings", "core"), ("verdicts with limits", "sanitising.lethality"),
            ("verdicts with limits", "cooling.temperature"), ("operator", "Persons"), ("operator", "Quality script"), ("calibration", "Instruments and their checks"),
            ("label as printed", "Labels as printed"), ("label as printed", $"L {lot}"), ("label as printed", "best before"), ("weights", "Mass made 300 g"), ("release", "looked at, good"),
            ("customers", "North shop"), ("customers", "DN-1"), ("who changed what", "Corrections"), ("approval of the specification", "specification version"), ("no proof", "no proof of safety"),
        ];
        foreach (var (asked, shown) in list) Assert.True(words.Contains(shown, StringComparison.Ordinal), $"{asked}: '{shown}' is not in the record.");
        Assert.Equal(HttpStatusCode.NotFound, (await office.Open("/api/sites/S1/lots/P261125-999X/record.pdf")).StatusCode);
        var trace = RecallDocumentsTests.Words(await RecallDocumentsTests.Pdf(office, $"/api/sites/S1/lots/{lot}/trace.pdf"));
        foreach (var wanted in new[] { "Example Farm", "North shop", "Masses that passed", "1000" }) Assert.Contains(wanted, trace, StringComparison.Ordinal);
    }

    /// <summary>Key data elements of 21 CFR 1 Subpart S (read for this project): receiving § 1.1345(a), transformation § 1.1350(a), shipping § 1.1340(a).</summary>
    [Fact]
    public async Task The_tracking_table_has_every_key_data_element_and_explains_itself()
    {
        await using var site = await RunningSite.Start();
        var office = await site.WithKey(RoleName.Owner);
        await office.Record("customers/describe", """{"customer":"=North shop","address":"1 North Street","country":"KE","phone":"+000 555 0100"}""");
        var lot = await (await BenchStory.Begin(site)).Shipped("=North shop");
        var answer = await office.Open("/api/sites/S1/tracking.xlsx?from=2026-11-25&to=2026-11-25");
        var bytes = await answer.Content.ReadAsByteArrayAsync(TestContext.Current.CancellationToken);
        using var stream = new MemoryStream(bytes);
        var sheets = MiniExcel.GetSheetNames(stream);
        Assert.Equal(["All", "Receiving", "Transformation", "Shipping", "Glossary"], sheets);
        List<IDictionary<string, object?>> Rows(string sheet) => [.. MiniExcel.Query(stream, useHeaderRow: true, sheetName: sheet).Cast<IDictionary<string, object?>>()];

        void Has(string sheet, IDictionary<string, object?> row, params string[] elements)
        {
            foreach (var element in elements) Assert.False(string.IsNullOrWhiteSpace(row[element]?.ToString()), $"{sheet}: {element}");
        }

        // Receiving: lot code, quantity and unit, product, immediate previous source, location, date, lot code source, reference document.
        foreach (var row in Rows("Receiving"))
            Has("Receiving", row, "traceability_lot_code", "quantity", "unit_of_measure", "product_description", "immediate_previous_source_or_next_recipient", "location_description", "date", "traceability_lot_code_source", "reference_document_type", "reference_document_number");

        // Transformation: of each input its lot code and the quantity used; of the new lot its code, source, product, quantity, unit, date completed, reference.
        var made = Rows("Transformation");
        Assert.Equal(3, made.Count);
        foreach (var row in made)
            Has("Transformation", row, "input_lot_code", "input_quantity_g", "traceability_lot_code", "traceability_lot_code_source", "product_description", "quantity", "unit_of_measure", "location_description", "date", "reference_document_type", "reference_document_number");

        // Shipping: the same of what went out, with the next recipient and where it left from.
        var shipped = Assert.Single(Rows("Shipping"));
        Has("Shipping", shipped, "traceability_lot_code", "quantity", "unit_of_measure", "product_description", "immediate_previous_source_or_next_recipient", "location_description", "date", "traceability_lot_code_source", "reference_document_type", "reference_document_number");
        Assert.Equal((lot, 2.0), (shipped["traceability_lot_code"], shipped["quantity"]));

        var glossary = Rows("Glossary").Select(row => row["word"]!.ToString()).ToList();
        foreach (var column in Rows("All")[0].Keys) Assert.Contains(column, glossary);

        // A sheet holds no formula, and a name that looks like one stays a text; in CSV it is made harmless.
        using (var zip = new ZipArchive(new MemoryStream(bytes)))
            foreach (var entry in zip.Entries.Where(entry => entry.FullName.StartsWith("xl/worksheets/", StringComparison.Ordinal)))
                Assert.DoesNotContain("<x:f", await new StreamReader(entry.Open()).ReadToEndAsync(TestContext.Current.CancellationToken), StringComparison.Ordinal);
        Assert.Contains("\"'=North shop, 1 North Street, KE, +000 555 0100\"", await (await office.Open("/api/sites/S1/tracking.csv")).Text(), StringComparison.Ordinal);
        foreach (var wrong in new[] { "from=yesterday", "from=2026-11-26&to=2026-11-25", "from=2020-01-01&to=2026-01-01" })
            Assert.Equal(HttpStatusCode.BadRequest, (await office.Open("/api/sites/S1/tracking.csv?" + wrong)).StatusCode);
    }

    [Fact]
    public async Task A_bundle_proves_itself_to_common_tools_and_a_changed_one_is_found_out()
    {
        await using var site = await RunningSite.Start();
        var office = await site.WithKey(RoleName.Owner);
        var lot = await (await BenchStory.Begin(site)).Shipped("North shop");
        await office.Record("recalls/open", $$"""{"lots":["{{lot}}"],"kind":"recall","reason":"stones"}""");
        await office.Record("recalls/report", """{"recall":"R01"}""");
        var key = JsonDocument.Parse(await (await office.Open("/api/sites/S1/signing-key")).Text()).RootElement.GetProperty("fingerprint").GetString();
        foreach (var (address, files) in new[]
        {
            ($"/api/sites/S1/lots/{lot}/bundle.zip", new[] { $"{lot}-record.pdf", $"{lot}-trace.pdf", $"{lot}-trace.json", $"{lot}-tracking.csv", $"{lot}-tracking.xlsx", "journal.jsonl" }),
            ("/api/sites/S1/recalls/R01/bundle.zip", ["R01-report.pdf", "R01-deliveries.csv", "R01.json", "R01-authority.pdf", "R01-public.pdf", "R01-status-1.pdf", "journal.jsonl"]),
        })
        {
            var folder = Directory.CreateTempSubdirectory("trace-bundle-");
            try
            {
                await using (var zip = await (await office.Open(address)).Content.ReadAsStreamAsync(TestContext.Current.CancellationToken))
                    await ZipFile.ExtractToDirectoryAsync(zip, folder.FullName, TestContext.Current.CancellationToken);
                foreach (var file in files) Assert.True(File.Exists(Path.Combine(folder.FullName, file)), file);

                // What the page in it tells people to type, typed.
                Assert.Equal(0, await Shell(folder, "sha256sum -c SHA256SUMS"));
                Assert.Equal(0, await Shell(folder, "openssl dgst -sha256 -verify public-key.pem -signature SHA256SUMS.sig SHA256SUMS"));
                Assert.Equal(0, await Shell(folder, $"openssl pkey -pubin -in public-key.pem -outform DER | sha256sum | grep -q {key}"));
                var page = await File.ReadAllTextAsync(Path.Combine(folder.FullName, "HOW-TO-CHECK.txt"), TestContext.Current.CancellationToken);
                Assert.Contains(key!, page, StringComparison.Ordinal);
                var chain = page[page.IndexOf("     previous=", StringComparison.Ordinal)..page.IndexOf("   A document names", StringComparison.Ordinal)];
                Assert.Equal(0, await Shell(folder, chain));

                // Neither the list nor the signature nor the chain lets a change pass.
                await File.AppendAllTextAsync(Path.Combine(folder.FullName, files[1]), " ", TestContext.Current.CancellationToken);
                Assert.NotEqual(0, await Shell(folder, "sha256sum -c SHA256SUMS"));
                await Shell(folder, "sha256sum $(ls | grep -v -e SHA256SUMS -e public-key) > SHA256SUMS");
                Assert.NotEqual(0, await Shell(folder, "openssl dgst -sha256 -verify public-key.pem -signature SHA256SUMS.sig SHA256SUMS"));
                await Shell(folder, "sed -i '2s/[0-9]g*\"/7\"/' journal.jsonl");
                Assert.NotEqual(0, await Shell(folder, chain));
            }
            finally
            {
                folder.Delete(recursive: true);
            }
        }
    }

    [Fact]
    public async Task The_balance_of_days_adds_up_and_opens_where_the_day_before_closed()
    {
        await using var site = await RunningSite.Start();
        var office = await site.WithKey(RoleName.Owner);
        var story = await BenchStory.Begin(site);
        await story.Shipped("North shop");
        var first = await Period(office, "2026-11-25", "2026-11-25");
        site.Clock.Advance(TimeSpan.FromDays(1));
        var lot = await story.Packed();
        await office.Record("stock/sample", $$"""{"lot":"{{lot}}","packs":1,"reason":"kept","happenedAt":"{{story.Now}}"}""");
        await office.Record("stock/count", $$"""{"lot":"{{lot}}","massGrams":150,"reason":"counted","happenedAt":"{{story.Now}}"}""");
        var again = await Period(office, "2026-11-25", "2026-11-25");
        var second = await Period(office, "2026-11-26", "2026-11-26");
        var both = await Period(office, "2026-11-25", "2026-11-26");
        Assert.Equal(first.GetRawText(), again.GetRawText());
        foreach (var period in new[] { first, second, both })
        {
            foreach (var kind in period.GetProperty("kinds").EnumerateArray())
            {
                decimal Sum(params string[] names) => names.Sum(name => kind.GetProperty(name).GetDecimal());
                Assert.Equal(Sum("opening", "made"), Sum("used", "shipped", "returned", "sampled", "disposed", "unaccounted", "closing"));
            }
        }

        // 1,000 g of larvae became 300 g dried, three packs of which two left; the next day one pack was kept and 50 g were missing at the count.
        Assert.Equal((0m, 300m, 200m, 100m), (Of(first, "packed", "opening"), Of(first, "packed", "made"), Of(first, "packed", "shipped"), Of(first, "packed", "closing")));
        Assert.Equal((100m, 300m, 100m, 50m, 250m), (
            Of(second, "packed", "opening"), Of(second, "packed", "made"), Of(second, "packed", "sampled"), Of(second, "packed", "unaccounted"), Of(second, "packed", "closing")));
        Assert.Equal(700m, first.GetProperty("stepLossGrams").GetProperty("dried").GetDecimal());
        Assert.Equal((0m, 600m, 250m), (Of(both, "packed", "opening"), Of(both, "packed", "made"), Of(both, "packed", "closing")));
        var words = RecallDocumentsTests.Words(await RecallDocumentsTests.Pdf(office, "/api/sites/S1/balance.pdf?from=2026-11-01&to=2026-11-30"));
        foreach (var wanted in new[] { "Mass balance 2026-11-01 to 2026-11-30", "packed", "600" }) Assert.Contains(wanted, words, StringComparison.Ordinal);

        static decimal Of(JsonElement period, string kind, string name) =>
            period.GetProperty("kinds").EnumerateArray().Single(one => one.GetProperty("kind").GetString() == kind).GetProperty(name).GetDecimal();
    }

    [Fact]
    public async Task Every_figure_of_a_lot_comes_from_entries_also_after_a_correction()
    {
        await using var site = await RunningSite.Start();
        var office = await site.WithKey(RoleName.Quality);
        var story = await BenchStory.Begin(site);
        var lot = await story.Shipped("North shop");
        await office.Record("returns/receive", $$"""{"customer":"North shop","reference":"RN-1","lines":[{"lot":"{{lot}}","packs":1}],"reason":"torn","happenedAt":"{{story.Now}}"}""");
        var seq = await site.App.Site("S1")!.ReadAsync(state => state.Find(lot)!.Shipments[0].Seq);
        var corrected = await office.PostJson("/api/sites/S1/journal/correct", $$"""{"seq":{{seq}},"reason":"counted wrong","replacement":{"customer":"North shop","reference":"DN-1","lines":[{"lot":"{{lot}}","packs":1}],"happenedAt":"{{story.Now}}"} }""");
        Assert.True(corrected.IsSuccessStatusCode, await corrected.Text());
        using var view = JsonDocument.Parse(await (await office.Open($"/api/sites/S1/lots/{lot}/balance")).Text());
        var root = view.RootElement;
        Assert.Equal(0m, root.GetProperty("unexplainedGrams").GetDecimal());
        Assert.Equal((300m, 0m, 100m, 200m), (
            root.GetProperty("balance").GetProperty("madeGrams").GetDecimal(), root.GetProperty("balance").GetProperty("shippedGrams").GetDecimal(),
            root.GetProperty("balance").GetProperty("returnedGrams").GetDecimal(), root.GetProperty("balance").GetProperty("onHandGrams").GetDecimal()));
        Assert.Contains(root.GetProperty("lines").EnumerateArray(), line => line.TryGetProperty("correctedBy", out _) && line.GetProperty("massGrams").GetDecimal() == 100);
        var page = await (await site.SignedIn(RoleName.Owner)).Html($"/sites/S1/lots/{lot}/balance");
        Assert.Contains("Back from them, apart", page, StringComparison.Ordinal);
        Assert.Contains("came back, 1 packs, RN-1", page, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_inspector_reads_agreed_lots_until_it_ends_and_nothing_else()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var office = await site.WithKey(RoleName.Owner);
        var story = await BenchStory.Begin(site);
        var (lot, other) = (await story.Shipped("North shop"), await story.Shipped("South shop"));
        await office.Record("inspections/open", $$"""{"for":"Food authority (invented)","lots":["{{lot}}"],"days":2}""");
        var link = await site.App.Site("S1")!.ReadAsync(state => state.Inspections[0].Link);
        var visitor = site.Visitor();
        var html = await visitor.Html($"/inspection/S1/{link}");
        Assert.Contains(lot, html, StringComparison.Ordinal);
        Assert.DoesNotContain(other, html, StringComparison.Ordinal);
        Assert.DoesNotContain("<form", html, StringComparison.Ordinal);
        Assert.Contains("North shop", RecallDocumentsTests.Words(await RecallDocumentsTests.Pdf(visitor, $"/inspection/S1/{link}/{lot}/record.pdf")), StringComparison.Ordinal);
        Assert.Equal("application/zip", (await visitor.Open($"/inspection/S1/{link}/{lot}/bundle.zip")).Content.Headers.ContentType!.MediaType);
        foreach (var closed in new[] { $"/inspection/S1/{link}/{other}/record.pdf", $"/inspection/S1/{link}x", $"/inspection/S1/{link}/{lot}/journal.jsonl", $"/inspection/S2/{link}" })
            Assert.Equal(HttpStatusCode.NotFound, (await visitor.Open(closed)).StatusCode);
        Assert.NotEqual(HttpStatusCode.OK, (await visitor.Open($"/api/sites/S1/lots/{lot}")).StatusCode);
        site.Clock.Advance(TimeSpan.FromDays(2));
        Assert.Equal(HttpStatusCode.NotFound, (await visitor.Open($"/inspection/S1/{link}")).StatusCode);
        await office.Record("inspections/open", $$"""{"for":"Buyer (invented)","lots":["{{lot}}"],"days":2}""");
        var second = await site.App.Site("S1")!.ReadAsync(state => state.Inspections[1].Link);
        await office.Record("inspections/end", """{"inspection":"N02"}""");
        Assert.Equal(HttpStatusCode.NotFound, (await visitor.Open($"/inspection/S1/{second}")).StatusCode);
        Assert.Contains("inspection.over", await (await office.PostJson("/api/sites/S1/inspections/end", """{"inspection":"N02"}""")).Text(), StringComparison.Ordinal);
    }

    private static async Task<JsonElement> Period(HttpClient office, string from, string to)
    {
        using var document = JsonDocument.Parse(await (await office.Open($"/api/sites/S1/balance?from={from}&to={to}")).Text());
        return document.RootElement.Clone();
    }

    private static async Task<int> Shell(DirectoryInfo folder, string command)
    {
        using var bash = Process.Start(new ProcessStartInfo("bash", ["-c", command]) { WorkingDirectory = folder.FullName, RedirectStandardOutput = true, RedirectStandardError = true })!;
        await bash.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        await bash.WaitForExitAsync(TestContext.Current.CancellationToken);
        return bash.ExitCode;
    }
}
