using System.Net;
using System.Text.Json.Nodes;
using Trace.Core.Access;
using Trace.Web.Endpoints;
using Xunit;

namespace Trace.Tests.Web.Api;

/// <summary>A logger's file sent by a script: read, judged, answered; recorded only when the readings are sent on.</summary>
[Collection(ApiCollection.Name)]
public sealed class ReadingsTests(ApiServer server)
{
    private const string Route = "sanitising/readings";

    [Fact]
    public async Task Readings_come_back_ready_for_a_run_with_what_they_are_worth_and_nothing_is_recorded()
    {
        var harvest = (string?)(await server.Do("receiving/receive", new { supplier = "Example Farm", massGrams = 1000, happenedAt = server.Later() }, RoleName.Operator))["lot"];
        server.Clock.Advance(TimeSpan.FromMinutes(10));
        var start = server.Clock.GetUtcNow().AddMinutes(-6).ToOffset(TimeSpan.FromHours(3));
        var file = "Zeit;Fühler 1 (°C);Fühler 2 (°C)\r\n" + string.Concat(Enumerable.Range(0, 11).Select(step => $"{start.AddSeconds(30 * step):dd.MM.yyyy HH:mm:ss};76,5;75,0\r\n"));
        var before = server.Head;
        var reply = await server.Post(Route + "?order=day-first", file, RoleName.Operator, mediaType: "text/csv; charset=utf-8");
        Assert.Equal(HttpStatusCode.OK, reply.Status);
        Assert.Equal(before, server.Head);
        var readings = reply.Json["readings"]!.AsArray();
        Assert.Equal(11, readings.Count);
        Assert.Equal(75, (double)readings[0]!["coreCelsius"]!);
        Assert.Contains("2 probes, the coldest counts", string.Join('\n', reply.Json["detected"]!.AsArray().Select(word => (string?)word)), StringComparison.Ordinal);

        // Five minutes at 75 °C, z 7.5 K: 5 · 10^(5/7.5) = 23.2 min at 70 °C.
        Assert.Equal(23.2079, (double)reply.Json["lethality"]!["floorMinutes"]!, 1e-3);
        Assert.True((bool)reply.Json["lethality"]!["suffices"]!);
        Assert.Null(reply.Json["lethality"]!["logReduction"]);
        var run = await server.Do(
            "sanitising/run",
            new JsonObject
            {
                ["inputs"] = new JsonArray(new JsonObject { ["lot"] = harvest, ["massGrams"] = 1000 }),
                ["method"] = "hot-water",
                ["readings"] = readings.DeepClone(),
                ["massOutGrams"] = 1000,
                ["happenedAt"] = server.Now(),
            }.ToJsonString(), RoleName.Operator);
        Assert.NotNull((string?)run["lot"]);
    }

    [Theory]
    [InlineData("", "Time;Core\n2026-03-02 08:00:00;70\n", "readings.ambiguous", "unit", HttpStatusCode.UnprocessableEntity)]
    [InlineData("?unit=c", "Time;Core\n2026-03-02 08:00:00;Err\n", "readings.unreadable", null, HttpStatusCode.UnprocessableEntity)]
    [InlineData("?unit=kelvin", "Time;Core\n2026-03-02 08:00:00;70\n", "request.invalid", "unit", HttpStatusCode.BadRequest)]
    [InlineData("", "", "readings.unreadable", null, HttpStatusCode.UnprocessableEntity)]
    public async Task What_is_wrong_comes_as_a_problem_with_its_option(string query, string file, string code, string? field, HttpStatusCode status)
    {
        var before = server.Head;
        var reply = await server.Post(Route + query, file, RoleName.Operator, mediaType: "text/csv");
        reply.MustBeProblem(status, code);
        Assert.Equal(field, (string?)reply.Json["field"]);
        Assert.Equal(before, server.Head);
    }

    [Fact]
    [Asvs("5.2.1")]
    public async Task A_file_of_another_type_or_too_large_is_refused()
    {
        (await server.Post(Route, "{}", RoleName.Operator)).MustBeProblem(HttpStatusCode.UnsupportedMediaType, "request.media-type");
        (await server.Post(Route, new string('1', RequestBody.LargestBytes + 1), RoleName.Operator, mediaType: "text/csv")).MustBeProblem(HttpStatusCode.RequestEntityTooLarge, "request.too-large");
        (await server.Post(Route, "x", RoleName.Inspector, mediaType: "text/csv")).MustBeProblem(HttpStatusCode.Forbidden, "role.not-allowed");
        (await server.Post(Route, "x", RoleName.Operator, site: "S9", mediaType: "text/csv")).MustBeProblem(HttpStatusCode.NotFound, "site.unknown");
    }

    /// <summary>Ten thousand lines of a million bytes: the limit, the separators and the patterns hold in time.</summary>
    [Fact]
    public async Task The_worst_file_that_is_let_in_is_answered_quickly()
    {
        var began = TimeProvider.System.GetTimestamp();
        foreach (var line in new[] { ";;;;;;;;;;\n", "1;2;3\n", "a\n", "\"\n", "2026-03-02 08:00:00;Err\n", new string('9', 50_000) + "\n" })
        {
            var file = string.Concat(Enumerable.Repeat(line, RequestBody.LargestBytes / line.Length));
            Assert.Equal(HttpStatusCode.UnprocessableEntity, (await server.Post(Route + "?unit=c", file, RoleName.Operator, mediaType: "text/csv")).Status);
        }

        Assert.True(TimeProvider.System.GetElapsedTime(began) < TimeSpan.FromSeconds(60), $"{TimeProvider.System.GetElapsedTime(began)}");
    }
}
