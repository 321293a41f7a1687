using System.Net;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using Microsoft.Extensions.DependencyInjection;
using Trace.Core;
using Trace.Core.Access;
using Trace.Core.Corrections;
using Trace.Core.Operations;
using Xunit;

namespace Trace.Tests.Web.Api;

/// <summary>The description that the program gives of itself: complete, true, and readable by those who may come in.</summary>
[Collection(ApiCollection.Name)]
public sealed class DescriptionTests(ApiServer server)
{
    public static TheoryData<string> Codes => [.. RefusalCodes.All.Keys];

    [Fact]
    [Asvs("2.1.1")]
    public async Task The_document_describes_every_operation_with_its_request()
    {
        var document = (await server.Get("/openapi/v1.json")).Json;
        Assert.StartsWith("3.", (string?)document["openapi"]);
        var operations = Areas.Operations.Select(operation => (operation.Name, operation.RequestInfo.Type, operation.Summary))
            .Append(("journal/correct", typeof(CorrectEntry), "Corrects an entry"));
        foreach (var (name, type, summary) in operations)
        {
            var post = document["paths"]![$"/api/sites/{{site}}/{name}"]?["post"];
            Assert.True(post is not null, $"{name} is not described.");
            Assert.StartsWith(summary, (string?)post["summary"]);
            Assert.Contains("Roles: ", (string?)post["summary"], StringComparison.Ordinal);
            var schema = Resolve(document, post["requestBody"]!["content"]!["application/json"]!["schema"]!);
            var wanted = type.GetConstructors().OrderByDescending(constructor => constructor.GetParameters().Length).First().GetParameters();
            Assert.Equal(
                wanted.Select(parameter => JsonNamingPolicy.CamelCase.ConvertName(parameter.Name!)).Order(StringComparer.Ordinal),
                schema["properties"]!.AsObject().Select(member => member.Key).Order(StringComparer.Ordinal));
            Assert.Equal(
                wanted.Where(parameter => !parameter.HasDefaultValue).Select(parameter => JsonNamingPolicy.CamelCase.ConvertName(parameter.Name!)).Order(StringComparer.Ordinal),
                (schema["required"]?.AsArray().Select(member => (string)member!) ?? []).Order(StringComparer.Ordinal));
            foreach (var status in new[] { "201", "400", "401", "403", "404", "409", "413", "415", "422", "503" })
                Assert.True(post["responses"]![status] is not null, $"{name}: {status} is not described.");
        }
    }

    /// <summary>A change of the API is seen in review. Other programs of a plant rely on it: nothing in it may vanish or change its meaning.</summary>
    [Fact]
    public async Task The_description_is_the_approved_one() =>
        Approved.ApprovedText.CheckFile("tests/Trace.Tests/Approved/openapi.json", (await server.Get("/openapi/v1.json")).Text);

    [Fact]
    [Asvs("15.2.2")]
    public async Task The_description_is_made_once_and_says_the_same_to_all()
    {
        var description = server.Services.GetRequiredService<Trace.Web.Hosting.Description>();
        var made = await description.Text;
        Assert.Same(made, await description.Text);
        var texts = await Task.WhenAll(Enumerable.Range(0, 8).Select(_ => server.Get("/openapi/v1.json")));
        Assert.All(texts, text => Assert.Equal(Encoding.UTF8.GetString(made), text.Text));

        // Nothing of who asked first is kept for the next one.
        Assert.DoesNotContain("127.0.0.1", texts[0].Text, StringComparison.Ordinal);
        Assert.Null(texts[0].Json["servers"]);
        Assert.Equal("application/json", texts[0].MediaType);
    }

    /// <summary>Who may read the description: those who may sign in, since it lists what the plant can do.</summary>
    [Fact]
    [Asvs("13.4.5")]
    public async Task The_document_is_for_those_who_may_sign_in()
    {
        (await server.Get("/openapi/v1.json", null)).MustBeProblem(HttpStatusCode.Unauthorized, "sign-in.needed");
        Assert.Equal(HttpStatusCode.OK, (await server.Get("/openapi/v1.json", RoleName.Inspector)).Status);
    }

    [Fact]
    [Asvs("6.3.4")]
    public async Task Every_described_route_but_the_public_ones_wants_a_sign_in()
    {
        var document = (await server.Get("/openapi/v1.json")).Json;
        var open = new List<string>();
        foreach (var (path, methods) in document["paths"]!.AsObject())
        {
            foreach (var (method, _) in methods!.AsObject())
            {
                var address = path.Replace("{site}", "S1", StringComparison.Ordinal).Replace("{gtin}", ApiServer.Gtin, StringComparison.Ordinal);
                var request = server.Request(new HttpMethod(method.ToUpperInvariant()), System.Text.RegularExpressions.Regex.Replace(address, "{[^}]+}", "A"), null);
                request.Headers.Add("Accept", "application/json");
                var reply = await server.Send(request);
                if (reply.Status == HttpStatusCode.Unauthorized) reply.MustBeProblem(HttpStatusCode.Unauthorized, "sign-in.needed");
                else open.Add(path);
            }
        }

        Assert.Equal(["/01/{gtin}/10/{lot}", "/01/{gtin}/10/{lot}/21/{serial}", "/health/live", "/health/ready", "/lot/{site}/{lot}", "/lot/{site}/{lot}/21/{serial}"], open.Order(StringComparer.Ordinal));
    }

    [Theory]
    [MemberData(nameof(Codes))]
    public async Task Every_code_has_a_page_that_says_the_way_out(string code)
    {
        var page = await server.Get("/problems/" + code, null);
        Assert.Equal(HttpStatusCode.OK, page.Status);
        Assert.Equal("text/html", page.MediaType);
        var text = WebUtility.HtmlDecode(page.Text);
        Assert.Contains(code, text, StringComparison.Ordinal);
        Assert.Contains(RefusalCodes.All[code].Title, text, StringComparison.Ordinal);
        Assert.Contains(RefusalCodes.All[code].WayOut, text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_is_not_there_is_a_problem_too()
    {
        (await server.Get("/problems/no.such", null)).MustBeProblem(HttpStatusCode.NotFound, "not-found");
        (await server.Get("/api/nothing", RoleName.Owner)).MustBeProblem(HttpStatusCode.NotFound, "not-found");
        (await server.Get("/openapi/v2.json", RoleName.Owner)).MustBeProblem(HttpStatusCode.NotFound, "not-found");
        var wrongMethod = await server.Send(server.Request(HttpMethod.Delete, "/api/sites/S1/lots", RoleName.Owner));
        wrongMethod.MustBeProblem(HttpStatusCode.NotFound, "not-found");
    }

    [Fact]
    public async Task Health_is_public()
    {
        Assert.Equal("live", (string?)(await server.Get("/health/live", null)).Json["status"]);
        Assert.Equal("ready", (string?)(await server.Get("/health/ready", null)).Json["status"]);
    }

    private static JsonNode Resolve(JsonNode document, JsonNode schema) => (string?)schema["$ref"] is { } reference
        ? reference[2..].Split('/').Aggregate(document, (node, name) => node[name]!)
        : schema;
}
