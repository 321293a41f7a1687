using System.Net;
using System.Text;
using System.Text.Json.Nodes;
using Trace.Core.Access;
using Trace.Tests.Printing;
using Xunit;

namespace Trace.Tests.Web.Api;

/// <summary>What the program is for, over HTTP from the delivery of larvae to the pack in a buyer's hand, and back again.</summary>
[Collection(ApiCollection.Name)]
public sealed class MainJobTests(ApiServer server)
{
    [Fact]
    public async Task From_delivery_to_a_label_whose_code_leads_to_the_lot()
    {
        var harvest = await server.Receive();
        var sanitised = await server.Sanitise(harvest);
        var dried = await server.DryHot(sanitised);

        // Hot: the label must wait, and the refusal says for what and how long.
        var refused = await server.Refused(HttpStatusCode.Conflict, "lot.held", "labels/print", new { lot = dried, copies = 1 }, RoleName.Packer);
        foreach (var hold in refused["holds"]!.AsArray())
        {
            Assert.Equal(dried, (string?)hold!["lot"]);
            Assert.StartsWith("cooling.", (string?)hold["rule"]);
            Assert.NotEmpty((string)hold["reason"]!);
            Assert.NotEmpty((string)hold["clears"]!);
        }

        var rest = refused["holds"]!.AsArray().Single(hold => (string?)hold!["rule"] == "cooling.rest")!;
        Assert.True(DateTimeOffset.Parse((string)rest["clearsAt"]!) > server.Clock.GetUtcNow());
        await server.ReadCore(dried, 24);
        Assert.Empty((await server.Get($"/api/sites/S1/lots/{dried}/holds")).Json["holds"]!.AsArray());
        await server.Do("labels/print", new { lot = dried, copies = 1 }, RoleName.Packer);

        var bulk = await server.Fill("C-01", dried, 310);
        var packed = await server.Pack(bulk, 3);
        var print = (string)(await server.Do("labels/print", new { lot = packed, copies = 2 }, RoleName.Packer))["id"]!;
        var pdf = await server.Get($"/api/sites/S1/labels/{print}.pdf");
        Assert.Equal("application/pdf", pdf.MediaType);

        var page = Raster.Of(pdf.Bytes, 203);
        var address = Assert.Single(page.ReadWithZbar());
        Assert.Equal(address, page.ReadWithZxing()?.Text);
        Assert.Equal($"{server.Address}/01/{ApiServer.Gtin}/10/{packed}", address);
        await TheAddressAnswers(address, packed);

        var again = await server.Get($"/api/sites/S1/labels/{print}.pdf");
        Assert.Equal(page.Grey, Raster.Of(again.Bytes, 203).Grey);
        await server.Refused(HttpStatusCode.UnprocessableEntity, "labels.reprint-reason", "labels/print", new { lot = packed, copies = 1 }, RoleName.Packer);
        await server.Do("labels/print", new { lot = packed, copies = 1, reason = "creased" }, RoleName.Packer);
        await TracesBothWays(harvest, sanitised, dried, bulk, packed);
    }

    private async Task TheAddressAnswers(string address, string lot)
    {
        var path = address[server.Address.Length..];
        var html = await server.Get(path, null, "text/html,application/xhtml+xml,*/*;q=0.8");
        Assert.Equal(HttpStatusCode.OK, html.Status);
        Assert.Equal("text/html", html.MediaType);
        Assert.Contains(lot, html.Text, StringComparison.Ordinal);
        var json = await server.Get(path, null, "application/json");
        Assert.Equal(HttpStatusCode.OK, json.Status);
        Assert.Equal("application/json", json.MediaType);
        Assert.Equal(lot, (string?)json.Json["lot"]);
        Assert.Equal("released", (string?)json.Json["status"]);

        // Nothing about where it came from in person, and nobody's key is wanted.
        Assert.DoesNotContain("Example farm", json.Text, StringComparison.Ordinal);
        Assert.DoesNotContain("of the test", json.Text, StringComparison.Ordinal);

        var plain = await server.Get($"/lot/S1/{lot}", null, "application/json");
        Assert.Equal(json.Text, plain.Text);
        (await server.Get(path[..^1] + "Z", null, "application/json")).MustBeProblem(HttpStatusCode.NotFound, "lot.unknown");
    }

    private async Task TracesBothWays(string harvest, string sanitised, string dried, string bulk, string packed)
    {
        await server.Ship(packed, 2);
        var back = (await server.Get($"/api/sites/S1/lots/{packed}/trace?direction=back")).Json;
        Assert.Equal([bulk, dried, harvest, packed, sanitised], LotsOf(back));
        Assert.Equal("Example farm", (string?)back["lots"]!.AsArray().Single(lot => (string?)lot!["lot"] == harvest)!["supplier"]);
        var forward = (await server.Get($"/api/sites/S1/lots/{harvest}/trace?direction=forward")).Json;
        Assert.Equal([bulk, dried, harvest, packed, sanitised], LotsOf(forward));
        var consignee = Assert.Single(forward["consignees"]!.AsArray())!;
        Assert.Equal("Example shop", (string?)consignee["customer"]);
        Assert.Equal(2, (int?)consignee["packs"]);
        Assert.Equal([bulk, dried, harvest, packed, sanitised], LotsOf((await server.Get($"/api/sites/S1/lots/{dried}/trace")).Json));
        (await server.Get($"/api/sites/S1/lots/{dried}/trace?direction=up")).MustBeProblem(HttpStatusCode.BadRequest, "request.invalid");
        (await server.Get($"/api/sites/S1/lots/{dried}/trace?direction=-1")).MustBeProblem(HttpStatusCode.BadRequest, "request.invalid");
    }

    [Fact]
    public async Task A_recall_holds_every_descendant_at_once_also_the_container_being_filled()
    {
        var dried = await server.DryFromFresh();
        var bulk = await server.Fill("C-02", dried, 200);
        var packed = await server.Pack(bulk, 1);
        await server.Do("labels/print", new { lot = packed, copies = 1 }, RoleName.Packer);
        await server.Do("customers/describe", new { customer = "Recall shop", phone = "+000 555 0100" }, RoleName.Owner);
        await server.Ship(packed, 1, "Recall shop");

        var recall = (string)(await server.Do("recalls/open", new { lots = new[] { dried }, kind = "recall", reason = "glass in the dryer" }, RoleName.Quality))["id"]!;
        foreach (var lot in new[] { dried, bulk, packed })
            Assert.Contains("recall.placed", Bench.Rules((await server.Get($"/api/sites/S1/lots/{lot}/holds")).Json["holds"]));
        await server.Refused(HttpStatusCode.Conflict, "lot.held", "filling/fill",
            new { container = "C-02", inputs = new[] { new { lot = dried, massGrams = 50 } }, happenedAt = server.Later() });
        await server.Refused(HttpStatusCode.Conflict, "lot.held", "packing/pack", server.PackOf(bulk, 1, 50));
        var buyer = await server.Get($"/lot/S1/{packed}", null, "application/json");
        Assert.Equal("recalled", (string?)buyer.Json["status"]);

        var report = (await server.Get($"/api/sites/S1/recalls/{recall}")).Json;
        Assert.Equal(new[] { bulk, dried, packed }.Order(StringComparer.Ordinal), report["scope"]!.AsArray().Select(lot => (string)lot!["lot"]!).Order(StringComparer.Ordinal));
        var consignee = Assert.Single(report["consignees"]!.AsArray())!;
        Assert.Equal("+000 555 0100", (string?)consignee["phone"]);
        var pdf = await server.Get($"/api/sites/S1/recalls/{recall}/report.pdf");
        Assert.Equal("application/pdf", pdf.MediaType);
        Assert.Equal("%PDF-", Encoding.ASCII.GetString(pdf.Bytes, 0, 5));
        var csv = await server.Get($"/api/sites/S1/recalls/{recall}/report.csv");
        Assert.Equal("text/csv", csv.MediaType);
        Assert.Contains("Recall shop", csv.Text, StringComparison.Ordinal);
        Assert.Contains(packed, csv.Text, StringComparison.Ordinal);
        (await server.Get("/api/sites/S1/recalls/R99")).MustBeProblem(HttpStatusCode.NotFound, "recall.unknown");
        await server.Do("recalls/close", new { recall, conclusion = "all found", rootCause = "unknown", despite = "a test" }, RoleName.Owner);
        await server.Refused(HttpStatusCode.UnprocessableEntity, "recall.closed", "recalls/close", new { recall, conclusion = "twice" });
        Assert.Contains("recall.placed", Bench.Rules((await server.Get($"/api/sites/S1/lots/{packed}/holds")).Json["holds"]));
    }

    [Fact]
    public async Task A_correction_that_brings_a_hold_shows_what_was_shipped_meanwhile()
    {
        var dried = await server.DryHot(await server.Sanitise(await server.Receive(1000), 1000));
        var reading = (long)(await server.ReadCore(dried, 26))["seq"]!;
        var happenedAt = server.Now();
        var packed = await server.Pack(await server.Fill("C-03", dried, 300), 2);
        await server.Ship(packed, 2);
        Assert.False((bool?)(await server.Get($"/api/sites/S1/lots/{packed}")).Json["summary"]!["shippedWhileHeld"]);

        await server.Do("journal/correct", new
        {
            seq = reading,
            reason = "the slip says 62",
            replacement = new { lot = dried, coreCelsius = 62, roomCelsius = 22, happenedAt },
        }, RoleName.Quality);

        var lot = (await server.Get($"/api/sites/S1/lots/{packed}")).Json["summary"]!;
        Assert.True((bool?)lot["shippedWhileHeld"]);
        Assert.Contains("cooling.temperature", Bench.Rules(lot["holds"]));
        var entries = (await server.Get($"/api/sites/S1/lots/{dried}")).Json["entries"]!.AsArray();
        var old = entries.Single(entry => (long?)entry!["seq"] == reading)!;
        Assert.Equal(26, (double?)old["payload"]!["coreCelsius"]);
        Assert.Equal((long?)entries[^1]!["seq"], (long?)old["correctedBy"]);
    }

    [Fact]
    [Asvs("16.2.1")]
    public async Task The_device_and_the_person_of_each_entry_are_recorded()
    {
        var answer = (await server.Post("receiving/receive", new { supplier = "Example farm", massGrams = 10, happenedAt = server.Later() }, RoleName.Operator)).Json;
        var entry = (await server.Get($"/api/sites/S1/journal?after={(long)answer["seq"]! - 1}")).Json["entries"]![0]!;
        Assert.Equal("Operator of the test", (string?)entry["person"]);
        Assert.Equal("key " + server.Keys[RoleName.Operator].Split('.')[0], (string?)entry["device"]);
    }

    [Fact]
    public async Task Reads_page_through_lots_and_journal()
    {
        var first = await server.Receive(10);
        var second = await server.Receive(10);
        var page = (await server.Get("/api/sites/S1/lots?kind=harvest&limit=1")).Json;
        Assert.Equal(second, (string?)page["lots"]![0]!["lot"]);
        page = (await server.Get($"/api/sites/S1/lots?kind=harvest&limit=1&before={page["next"]}")).Json;
        Assert.Equal(first, (string?)page["lots"]![0]!["lot"]);
        foreach (var query in new[] { "lots?kind=8", "lots?kind=cake", "lots?limit=0", "lots?limit=501", "journal?after=-1", "journal?limit=0" })
            (await server.Get("/api/sites/S1/" + query)).MustBeProblem(HttpStatusCode.BadRequest, "request.invalid");
        foreach (var query in new[] { "lots?limit=many", "journal?after=1e3" })
            (await server.Get("/api/sites/S1/" + query)).MustBeProblem(HttpStatusCode.BadRequest, "request.malformed");
        (await server.Get("/api/sites/S1/lots?before=NONE")).MustBeProblem(HttpStatusCode.NotFound, "lot.unknown");
        (await server.Get("/api/sites/S9/lots")).MustBeProblem(HttpStatusCode.NotFound, "site.unknown");
        (await server.Get("/api/sites/S1/labels/L99999.pdf")).MustBeProblem(HttpStatusCode.NotFound, "print.unknown");
        var products = (await server.Get("/api/sites/S1/products")).Json["products"]!.AsArray().Where(line => (string?)line!["product"] == "DRIED");
        Assert.Equal([1, 2], products.Select(line => (int)line!["version"]!));

        var seen = new List<long>();
        for (long? after = 0; after is not null;)
        {
            var entries = (await server.Get($"/api/sites/S1/journal?after={after}&limit=7")).Json;
            seen.AddRange(entries["entries"]!.AsArray().Select(entry => (long)entry!["seq"]!));
            after = (long?)entries["next"];
        }

        Assert.Equal(Enumerable.Range(1, (int)server.Head).Select(seq => (long)seq), seen);
    }

    private static string[] LotsOf(JsonNode trace) => [.. trace["lots"]!.AsArray().Select(lot => (string)lot!["lot"]!).Order(StringComparer.Ordinal)];
}
