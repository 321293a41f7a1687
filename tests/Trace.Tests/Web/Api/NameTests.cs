using System.Net;
using Xunit;

namespace Trace.Tests.Web.Api;

/// <summary>Names come in every script and with every trick. What is taken is kept to the letter; what cannot be kept is refused.</summary>
[Collection(ApiCollection.Name)]
public sealed class NameTests(ApiServer server)
{
    public static TheoryData<string> Kept =>
    [
        "Mkulima wa Kaskazini", "Österreichische Käferlarven", "農場", "مزرعة الشمال", "חווה", "Ферма №7", "🪳🌾", "👩‍🌾 family", "e\u0301 combining",
        "\u202Eright to left override", "\u200Bzero\u200Bwidth", "<script>alert(1)</script>", "\"><img src=x onerror=alert(1)>", "O'Brien \"quoted\"",
        @"back\slash", "{{brace}} {0} {PropertyValue}", "%s %n", "'; DROP TABLE lots; --", "=SUM(A1)", "-1+1", "@cmd", "&amp; &lt;", "NULL", "٣٤٥",
        "\uFFFD\uFEFF", "\uE000private", new string('x', 200),
    ];

    [Theory]
    [MemberData(nameof(Kept))]
    [Asvs("1.1.1", "1.1.2", "1.2.3", "1.3.10")]
    public async Task A_name_comes_back_to_the_letter(string name)
    {
        var lot = Bench.Lot(await server.Do("receiving/receive", new { supplier = name, massGrams = 5, happenedAt = server.Later() }));
        Assert.Equal(name, (string?)(await server.Get($"/api/sites/S1/lots/{lot}")).Json["summary"]!["supplier"]);
        Assert.Equal(name, (string?)(await server.Get($"/api/sites/S1/lots/{lot}")).Json["entries"]![0]!["payload"]!["supplier"]);
    }

    [Theory]
    [InlineData("")]
    [InlineData("   ")]
    [InlineData("\\u0000")]
    [InlineData("a\\nb")]
    [InlineData("a\\rb")]
    [InlineData("a\\tb")]
    [InlineData("a\\u001bb")]
    [InlineData("a\\u007fb")]
    [InlineData("a\\u0085b")]
    [InlineData("a\\u2028b")]
    [InlineData("a\\u2029b")]
    [InlineData("LONG")]
    [Asvs("1.3.3", "2.2.1", "16.4.1")]
    public async Task A_name_that_is_blank_has_control_characters_or_is_endless_is_refused(string escaped)
    {
        var text = escaped == "LONG" ? new string('x', 201) : escaped;
        var refused = await server.Refused(HttpStatusCode.BadRequest, "request.invalid", "receiving/receive",
            $$"""{"supplier":"{{text}}","massGrams":5,"happenedAt":"{{server.Now()}}"}""");
        Assert.Equal("supplier", (string?)refused["field"]);
        Assert.Contains("200", (string)refused["detail"]!, StringComparison.Ordinal);
    }

    /// <summary>Half a pair of UTF-16 surrogates is no character: it could be neither stored nor hashed as UTF-8 (RFC 3629 §3; from memory).</summary>
    [Theory]
    [InlineData("""{"supplier":"\ud800","massGrams":5,"happenedAt":"AT"}""")]
    [InlineData("""{"supplier":"a\udc00b","massGrams":5,"happenedAt":"AT"}""")]
    [InlineData("""{"supplier":"\ud800\ud800","massGrams":5,"happenedAt":"AT"}""")]
    [InlineData("""{"supplier":"F","massGrams":5,"happenedAt":"AT","note":"\udfff"}""")]
    [InlineData("""{"supplier":"F","massGrams":5,"happenedAt":"AT","\ud800":1}""")]
    [InlineData("""{"supplier":"F","massGrams":5,"happenedAt":"AT","lot":"\ud800"}""")]
    public async Task Half_a_character_is_refused(string body) => await server.Refused(
        HttpStatusCode.BadRequest, "request.malformed", "receiving/receive", body.Replace("AT", server.Now(), StringComparison.Ordinal));

    [Fact]
    public async Task Half_a_character_deep_in_a_correction_is_refused()
    {
        var seq = (long)(await server.Do("receiving/receive", new { supplier = "Example farm", massGrams = 5, happenedAt = server.Later() }))["seq"]!;
        await server.Refused(HttpStatusCode.BadRequest, "request.malformed", "journal/correct",
            $$$"""{"seq":{{{seq}}},"reason":"r","replacement":{"supplier":"\ud800","massGrams":5,"happenedAt":"{{{server.Now()}}}"}}""");
        await server.Refused(HttpStatusCode.BadRequest, "request.malformed", "journal/correct",
            $$$"""{"seq":{{{seq}}},"reason":"r","replacement":{"\ud800":5}}""");
    }

    [Fact]
    public async Task Bytes_that_are_not_UTF_8_are_refused()
    {
        var body = "{\"supplier\":\"FARM\",\"massGrams\":5,\"happenedAt\":\"" + server.Now() + "\"}";
        foreach (var bad in new byte[][] { [0xff], [0xc0, 0xaf], [0xed, 0xa0, 0x80], [0xe2, 0x82], [0xf5, 0x80, 0x80, 0x80] })
        {
            var bytes = System.Text.Encoding.ASCII.GetBytes(body).ToList();
            bytes.InsertRange(body.IndexOf("FARM", StringComparison.Ordinal), bad);
            var content = new ByteArrayContent([.. bytes]);
            content.Headers.ContentType = new("application/json");
            var head = server.Head;
            (await server.Send(server.Request(HttpMethod.Post, "/api/sites/S1/receiving/receive", Core.Access.RoleName.Operator, content)))
                .MustBeProblem(HttpStatusCode.BadRequest, "request.malformed");
            Assert.Equal(head, server.Head);
        }
    }

    [Fact]
    [Asvs("4.1.3")]
    public async Task A_device_that_the_caller_names_counts_for_nothing()
    {
        foreach (var device in new[] { "Bench 1", new string('d', 61), "tablet é" })
        {
            var answer = (await server.Post(
                "receiving/receive", new { supplier = "Example farm", massGrams = 5, happenedAt = server.Later() }, Core.Access.RoleName.Operator, device: device)).Json;
            var entry = (await server.Get($"/api/sites/S1/journal?after={(long)answer["seq"]! - 1}")).Json["entries"]![0]!;
            Assert.StartsWith("key ", (string?)entry["device"]);
        }
    }
}
