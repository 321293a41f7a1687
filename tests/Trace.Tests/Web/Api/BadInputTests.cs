using System.Net;
using System.Text.Json.Nodes;
using Xunit;

namespace Trace.Tests.Web.Api;

/// <summary>
/// What must not come in, and what the caller is told: status, code, field and way out. Nothing of it is recorded
/// (<see cref="ApiServer.Refused"/> compares the journal's head) and nothing of the program's inside is told.
/// </summary>
[Collection(ApiCollection.Name)]
public sealed class BadInputTests(ApiServer server)
{
    private const string Receive = "receiving/receive";

    private string At => server.Now();

    /// <param name="value">The JSON that stands for the mass.</param>
    /// <param name="says">What the detail must contain, so that the caller can put it right.</param>
    [Theory]
    [InlineData("2500000000", "grams", "request.invalid")]
    [InlineData("10000000.001", "ten tonnes", "request.invalid")]
    [InlineData("-5", "above 0", "request.invalid")]
    [InlineData("0", "above 0", "request.invalid")]
    [InlineData("1.2345", "three decimals", "request.invalid")]
    [InlineData("0.0001", "three decimals", "request.invalid")]
    [InlineData("1e999", "number", "request.malformed")]
    [InlineData("1e-999", "", null)]
    [InlineData("\"NaN\"", "number", "request.malformed")]
    [InlineData("NaN", "broken", "request.malformed")]
    [InlineData("\"12\"", "number", "request.malformed")]
    [InlineData("\"12,5\"", "number", "request.malformed")]
    [InlineData("12,5", "broken", "request.malformed")]
    [InlineData("true", "number", "request.malformed")]
    [InlineData("[12]", "number", "request.malformed")]
    [InlineData("{}", "number", "request.malformed")]
    [InlineData("null", "number", "request.malformed")]
    [Asvs("1.4.2", "2.2.1", "2.2.2", "15.3.5")]
    public async Task A_mass_that_cannot_be(string value, string says, string? code)
    {
        var body = $$"""{"supplier":"Example farm","massGrams":{{value}},"happenedAt":"{{At}}"}""";
        var refused = await server.Refused(HttpStatusCode.BadRequest, code ?? "request.invalid", Receive, body);
        Assert.Contains(says, (string)refused["detail"]!, StringComparison.OrdinalIgnoreCase);
        if (value != "12,5") Assert.Equal("massGrams", (string?)refused["field"]);
    }

    [Theory]
    [InlineData("2026-03-02T09:00:00", "request.malformed", "offset")]
    [InlineData("2026-03-02", "request.malformed", "offset")]
    [InlineData("09:00", "request.malformed", "offset")]
    [InlineData("yesterday", "request.malformed", "offset")]
    [InlineData("2026-02-30T09:00:00Z", "request.malformed", "offset")]
    [InlineData("2026-03-02T09:00:00+25:00", "request.malformed", "offset")]
    [InlineData("1970-01-01T00:00:00Z", "request.invalid", "2000")]
    [InlineData("0001-01-01T00:00:00+14:00", "request.malformed", "offset")]
    [InlineData("9999-12-31T23:59:59-14:00", "request.malformed", "offset")]
    [InlineData("", "request.malformed", "offset")]
    [InlineData("\\ud800", "request.malformed", "offset")]
    [Asvs("2.2.1")]
    public async Task A_time_that_cannot_be(string time, string code, string says)
    {
        var refused = await server.Refused(
            HttpStatusCode.BadRequest, code, Receive, $$"""{"supplier":"Example farm","massGrams":5,"happenedAt":"{{time}}"}""");
        Assert.Equal("happenedAt", (string?)refused["field"]);
        Assert.Contains(says, (string)refused["detail"]!, StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public async Task A_time_ahead_is_refused_beyond_the_skew_of_clocks()
    {
        var refused = await server.Refused(
            HttpStatusCode.UnprocessableEntity, "time.future", Receive, new { supplier = "Example farm", massGrams = 5, happenedAt = server.Now(10) });
        Assert.Equal("happenedAt", (string?)refused["field"]);
        await server.Do(Receive, new { supplier = "Example farm", massGrams = 5, happenedAt = server.Now(1) });
    }

    [Fact]
    public async Task A_lot_that_is_not_there_and_whether_it_was_mistyped()
    {
        var lot = await server.Receive(100);
        object Dispose(string of) => new { lot = of, massGrams = 1, reason = "spilt", happenedAt = At };

        // The last character before the check character changed: the check no longer holds (ISO/IEC 7064 finds every single error).
        var mistyped = lot[..^2] + (lot[^2] == '1' ? '2' : '1') + lot[^1];
        var refused = await server.Refused(HttpStatusCode.NotFound, "lot.unknown", "stock/dispose", Dispose(mistyped));
        Assert.Equal("lot", (string?)refused["field"]);
        Assert.Contains("mistyped", (string)refused["detail"]!, StringComparison.Ordinal);
        Assert.Contains(mistyped, (string)refused["detail"]!, StringComparison.Ordinal);
        refused = await server.Refused(HttpStatusCode.NotFound, "lot.unknown", "stock/dispose", Dispose("FARM-7"));
        Assert.DoesNotContain("mistyped", (string)refused["detail"]!, StringComparison.Ordinal);
        foreach (var code in new[] { "", "lower", "A B", "ABCDEFGHIJKLMNOPQRSTU", "-A", "A\n", "À", "A/B" })
        {
            refused = await server.Refused(HttpStatusCode.BadRequest, "request.invalid", "stock/dispose", Dispose(code));
            Assert.Equal("lot", (string?)refused["field"]);
        }

        refused = await server.Refused(HttpStatusCode.NotFound, "lot.unknown", "drying/start",
            new { inputs = new[] { new { lot, massGrams = 1 }, new { lot = "FARM-7", massGrams = 1 } }, dryer = "MW-1", powerWatts = 900, happenedAt = At });
        Assert.Equal("inputs[1].lot", (string?)refused["field"]);
    }

    [Fact]
    [Asvs("5.3.2")]
    public async Task A_site_that_is_not_there()
    {
        foreach (var site in new[] { "S2", "s1", "access", "S1%20", "%2e%2e", new string('S', 3000) })
        {
            var reply = await server.Post(Receive, new { supplier = "Example farm", massGrams = 5, happenedAt = At }, site: site);
            reply.MustBeProblem(HttpStatusCode.NotFound, site == "%2e%2e" ? "not-found" : "site.unknown");
            if (site != "%2e%2e") Assert.Contains("S1", (string)reply.Json["detail"]!, StringComparison.Ordinal);
        }
    }

    /// <param name="field">The field that the refusal must name; null where it is no one field's fault.</param>
    [Theory]
    [InlineData("""{"supplier":"F","massGrams":5,"happenedAt":"AT","massKg":5}""", "massKg", "massKg")]
    [InlineData("""{"supplier":"F","massGrams":5,"happenedAt":"AT","MassGrams":5}""", "MassGrams", "MassGrams")]
    [InlineData("""{"supplier":"F","happenedAt":"AT"}""", "massGrams", "massGrams")]
    [InlineData("{}", "supplier", "happenedAt")]
    [InlineData("""{"supplier":"F","massGrams":5,"massGrams":6,"happenedAt":"AT"}""", "massGrams", "twice")]
    [InlineData("""{"supplier":5,"massGrams":5,"happenedAt":"AT"}""", "supplier", "text")]
    [InlineData("""{"supplier":null,"massGrams":5,"happenedAt":"AT"}""", "supplier", "null")]
    [InlineData("""{"supplier":["F"],"massGrams":5,"happenedAt":"AT"}""", "supplier", "text")]
    [InlineData("""{"supplier":"F","massGrams":5,"happenedAt":5}""", "happenedAt", "offset")]
    [InlineData("""{"supplier":"F","massGrams":5,"happenedAt":"AT",}""", null, "line 1")]
    [InlineData("""{"supplier":"F","massGrams":5,"happenedAt":"AT"} {}""", null, "line 1")]
    [InlineData("""{"supplier":"F","massGrams":5,/* why */"happenedAt":"AT"}""", null, "line 1")]
    [InlineData("""{"supplier":"F","massGrams":""", "massGrams", "line 1")]
    [InlineData("""[{"supplier":"F","massGrams":5,"happenedAt":"AT"}]""", null, "object")]
    [InlineData("\"text\"", null, "object")]
    [InlineData("5", null, "object")]
    [InlineData("null", null, "object")]
    [InlineData("", null, "empty")]
    [InlineData("   ", null, "empty")]
    [InlineData("\u0000", null, "line 1")]
    [InlineData("supplier=F&massGrams=5", null, "line 1")]
    [Asvs("1.5.2", "15.3.3", "15.3.5", "15.3.7")]
    public async Task A_body_that_is_not_this_operations(string body, string? field, string says)
    {
        var refused = await server.Refused(HttpStatusCode.BadRequest, "request.malformed", Receive, body.Replace("AT", At, StringComparison.Ordinal));
        Assert.Equal(field, (string?)refused["field"]);
        Assert.Contains(says, (string)refused["detail"]!, StringComparison.OrdinalIgnoreCase);
    }

    /// <summary>A null where an item of a list should be: the place is named.</summary>
    [Theory]
    [InlineData("drying/start", """{"inputs":[null],"dryer":"MW-1","powerWatts":900,"happenedAt":"AT"}""", "inputs[0]")]
    [InlineData("drying/start", """{"inputs":null,"dryer":"MW-1","powerWatts":900,"happenedAt":"AT"}""", "inputs")]
    [InlineData("drying/start", """{"inputs":{},"dryer":"MW-1","powerWatts":900,"happenedAt":"AT"}""", "inputs")]
    [InlineData("drying/start", """{"inputs":[],"dryer":"MW-1","powerWatts":900,"happenedAt":"AT"}""", "inputs")]
    [InlineData("drying/start", """{"inputs":[{"lot":null,"massGrams":5}],"dryer":"MW-1","powerWatts":900,"happenedAt":"AT"}""", "inputs[0].lot")]
    [InlineData("drying/start", """{"inputs":[{"lot":"A"}],"dryer":"MW-1","powerWatts":900,"happenedAt":"AT"}""", "inputs[0].massGrams")]
    [InlineData("drying/start", """{"inputs":[{"lot":"A","massGrams":-1}],"dryer":"MW-1","powerWatts":900,"happenedAt":"AT"}""", "inputs[0].massGrams")]
    [InlineData("drying/start", """{"inputs":[{"lot":"A","massGrams":1}],"dryer":"MW-1","powerWatts":1e999,"happenedAt":"AT"}""", "powerWatts")]
    [InlineData("sanitising/run", """{"inputs":[{"lot":"A","massGrams":1}],"method":"m","readings":[null],"massOutGrams":1,"happenedAt":"AT"}""", "readings[0]")]
    [InlineData("sanitising/run", """{"inputs":[{"lot":"A","massGrams":1}],"method":"m","readings":[{"at":"AT","coreCelsius":1e999}],"massOutGrams":1,"happenedAt":"AT"}""", "readings[0].coreCelsius")]
    [InlineData("shipping/ship", """{"customer":"C","reference":"R","lines":[null],"happenedAt":"AT"}""", "lines[0]")]
    [InlineData("checks/record", """{"lot":"A","kind":"moisture","values":[null],"happenedAt":"AT"}""", "values[0]")]
    [InlineData("checks/record", """{"lot":"A","kind":"moisture","values":["\ud800"],"happenedAt":"AT"}""", "values[0]")]
    [InlineData("recalls/open", """{"lots":[null],"kind":"recall","reason":"r"}""", "lots[0]")]
    [InlineData("recalls/open", """{"lots":["A"],"kind":0,"reason":"r"}""", "kind")]
    [InlineData("recalls/open", """{"lots":["A"],"kind":"Rückruf","reason":"r"}""", "kind")]
    [InlineData("products/specify", """{"product":"X","name":"X","tests":[null]}""", "tests[0]")]
    [InlineData("products/specify", """{"product":"X","name":"X","label":{"cautions":[null]}}""", "label.cautions[0]")]
    [InlineData("products/specify", """{"product":"X","name":"X","sanitising":{"zKelvin":1e999}}""", "sanitising.zKelvin")]
    [InlineData("stock/count", """{"lot":"A","reason":"r","happenedAt":"AT"}""", "massGrams")]
    [InlineData("stock/count", """{"lot":"A","reason":"r","happenedAt":"AT","massGrams":1,"packs":1}""", "massGrams")]
    [InlineData("journal/correct", """{"seq":0,"reason":"r","replacement":null}""", "seq")]
    [InlineData("journal/correct", """{"seq":1.5,"reason":"r","replacement":null}""", "seq")]
    [InlineData("journal/correct", """{"seq":99999999999999999999,"reason":"r","replacement":null}""", "seq")]
    [Asvs("2.2.1")]
    public async Task A_wrong_place_in_a_deeper_body_is_named(string operation, string body, string field)
    {
        var head = server.Head;
        var reply = await server.Post(operation, body.Replace("AT", At, StringComparison.Ordinal), operation == "holds/release" ? Core.Access.RoleName.Quality : Core.Access.RoleName.Owner);
        Assert.True(reply.Status == HttpStatusCode.BadRequest, reply.Text);
        reply.MustBeProblem(HttpStatusCode.BadRequest, (string)reply.Json["code"]!);
        Assert.Equal(field, (string?)reply.Json["field"]);
        Assert.Equal(head, server.Head);
    }

    [Fact]
    [Asvs("3.5.2", "15.2.2")]
    public async Task A_body_that_is_nested_without_end_too_large_or_no_JSON()
    {
        await server.Refused(HttpStatusCode.BadRequest, "request.malformed", Receive, new string('[', 100_000));
        await server.Refused(HttpStatusCode.BadRequest, "request.malformed", "journal/correct",
            $$"""{"seq":1,"reason":"r","replacement":{{string.Concat(Enumerable.Repeat("{\"a\":", 5000))}}1{{new string('}', 5000)}}}""");
        var large = $$"""{"supplier":"{{new string('x', 2 << 20)}}","massGrams":5,"happenedAt":"{{At}}"}""";
        await server.Refused(HttpStatusCode.RequestEntityTooLarge, "request.too-large", Receive, large);

        // Without a length told beforehand.
        var request = server.Request(HttpMethod.Post, $"/api/sites/S1/{Receive}", Core.Access.RoleName.Owner, new StringContent(large));
        request.Content!.Headers.ContentType = new("application/json");
        request.Headers.TransferEncodingChunked = true;
        (await server.Send(request)).MustBeProblem(HttpStatusCode.RequestEntityTooLarge, "request.too-large");
        foreach (var mediaType in new[] { "text/plain", "application/xml", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "" })
            await server.Refused(HttpStatusCode.UnsupportedMediaType, "request.media-type", Receive, "{}", mediaType: mediaType);
    }

    [Fact]
    [Asvs("2.2.3", "2.3.2")]
    public async Task More_out_than_in_is_refused_with_what_is_there()
    {
        var lot = await server.Receive(100);
        var refused = await server.Refused(HttpStatusCode.UnprocessableEntity, "mass.not-there", "stock/dispose", new { lot, massGrams = 150, reason = "spilt", happenedAt = server.Later() });
        Assert.Equal("massGrams", (string?)refused["field"]);
        Assert.Contains("100", (string)refused["detail"]!, StringComparison.Ordinal);
        var dried = await server.DryFromFresh();
        refused = await server.Refused(HttpStatusCode.UnprocessableEntity, "mass.not-there", "filling/fill",
            new { container = "C-40", inputs = new[] { new { lot = dried, massGrams = 400 } }, happenedAt = server.Later() });
        Assert.Equal("inputs[0].massGrams", (string?)refused["field"]);
        var wet = await server.StartDrying(await server.Sanitise(await server.Receive(500), 500), 500);
        await server.Refused(HttpStatusCode.UnprocessableEntity, "mass.more-out-than-in", "drying/weigh-out",
            new { lot = wet, massOutGrams = 600, puffed = true, crumbles = true, happenedAt = server.Later() });
    }

    [Fact]
    [Asvs("2.3.4")]
    public async Task Two_that_race_for_the_last_grams_do_not_both_get_them()
    {
        var dried = await server.DryFromFresh();
        var happenedAt = server.Later();
        var head = server.Head;
        var replies = await Task.WhenAll(Enumerable.Range(50, 8).Select(place => server.Post(
            "filling/fill", new { container = $"C-{place}", inputs = new[] { new { lot = dried, massGrams = 200 } }, happenedAt })));
        var won = Assert.Single(replies, reply => reply.Status == HttpStatusCode.Created);
        foreach (var lost in replies.Where(reply => reply != won)) lost.MustBeProblem(HttpStatusCode.UnprocessableEntity, "mass.not-there");
        Assert.Equal(head + 1, server.Head);
        Assert.Equal(110m, (decimal)(await server.Get($"/api/sites/S1/lots/{dried}")).Json["summary"]!["onHandGrams"]!);
    }

    [Theory]
    [InlineData("/api/sites/S1%2Flots")]
    [InlineData("/api/sites/../../etc/passwd")]
    [InlineData("/api/sites/..%2f..%2fetc%2fpasswd/lots")]
    [InlineData("/api/sites/S1/lots/..")]
    [InlineData("/api/sites/S1/lots/%2e%2e%2f%2e%2e%2faccess")]
    [InlineData("/api/sites/S1/lots/A%00B")]
    [InlineData("/api/sites/S1/lots/%ff")]
    [InlineData("/api/sites/S1/lots/A%0d%0aX-Header:1")]
    [InlineData("/api/sites/S1/labels/..%2f..%2fjournal.pdf")]
    [InlineData("/api/sites/access/lots")]
    [InlineData("/api/sites/access/journal")]
    [InlineData("/01/09520123456788/10/%2e%2e")]
    [InlineData("/lot/access/A")]
    [InlineData("/lot/../S1/A")]
    [InlineData("/nothing/here")]
    [InlineData("/app.css/../../appsettings.json")]
    [Asvs("1.1.1", "5.3.2", "8.2.2")]
    public async Task An_address_that_tries_to_lead_elsewhere_leads_nowhere(string path)
    {
        var reply = await server.Get(path, Core.Access.RoleName.Owner, "application/json");
        Assert.True(reply.Status is HttpStatusCode.NotFound or HttpStatusCode.BadRequest or HttpStatusCode.MethodNotAllowed, $"{(int)reply.Status} {reply.Text}");
        reply.MustNotTellOfItself();
    }

    [Fact]
    public async Task A_very_long_lot_code_is_just_unknown()
    {
        var reply = await server.Get("/api/sites/S1/lots/" + new string('A', 6000));
        reply.MustBeProblem(HttpStatusCode.NotFound, "lot.unknown");
        Assert.True(reply.Bytes.Length < 2000);
        reply = await server.Get("/01/1234/10/A", null, "application/json");
        reply.MustBeProblem(HttpStatusCode.BadRequest, "request.invalid");
        Assert.Equal("gtin", (string?)reply.Json["field"]);
    }
}
