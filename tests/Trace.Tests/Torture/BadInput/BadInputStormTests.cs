using System.Net;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using Trace.Core.Access;
using Trace.Core.Operations;
using Trace.Tests.Web;
using Trace.Tests.Web.Api;
using Xunit;

namespace Trace.Tests.Torture.BadInput;

/// <summary>
/// Every route that the program describes, and every page and form, against <see cref="Corpus"/>. Whatever comes in: no 5xx, no answer
/// after more than five seconds, nothing told of the program's inside, every refusal a problem document or page with a stable code, and
/// the journal's heads where they were; what is accepted makes exactly one entry.
/// </summary>
[Collection(TortureCollection.Name)]
public sealed partial class BadInputStormTests(ITestOutputHelper output)
{
    /// <summary>A journal that has grown makes every answer slower; then a new plant takes over.</summary>
    private const int RequestsPerPlant = 10_000;

    private readonly SortedDictionary<string, int> outcomes = new(StringComparer.Ordinal);
    private readonly List<string> faults = [];
    private long slowestMilliseconds;
    private string slowest = "";
    private readonly Dictionary<string, long> millisecondsAt = [];
    private int accepted;

    [Fact]
    [Asvs("13.4.2", "16.5.1")]
    public Task Whatever_comes_in_is_answered_well_or_refused_well() => LongRun.Seeded(output, async seed =>
    {
        var chance = new Random(seed);
        var figures = new Figures(output, "Bad input at every door", seed);
        var requests = LongRun.Of(10_000, 200_000);
        for (var plants = requests / RequestsPerPlant; plants > 0 && faults.Count == 0; plants--) await OnePlant(chance);
        foreach (var fault in faults) output.WriteLine(fault + "\n");
        figures.Add("Requests", $"{requests}, from {Corpus.NaughtyCount} naughty strings and the rest of the corpus");
        figures.Add("Accepted, each as one entry", $"{accepted}");
        figures.Add("Slowest answer", $"{slowestMilliseconds} ms ({slowest})");
        figures.Add("Where the time went", $"{string.Join(", ", millisecondsAt.OrderByDescending(of => of.Value).Take(8).Select(of => $"{of.Key} {of.Value / 1000.0:0.0} s"))}");
        figures.Add("Answers by status", $"{string.Join(", ", outcomes.Where(of => char.IsAsciiDigit(of.Key[0])).Select(of => $"{of.Key}: {of.Value}"))}");
        figures.Add("Refusals by code", $"{string.Join(", ", outcomes.Where(of => !char.IsAsciiDigit(of.Key[0])).Select(of => $"{of.Key}: {of.Value}"))}");
        figures.Publish();
        Assert.True(faults.Count == 0, $"{faults.Count} faults, the first: {faults.FirstOrDefault()}");
        Assert.True(accepted > requests / 500 && outcomes.GetValueOrDefault("request.malformed") > requests / 50 && outcomes.GetValueOrDefault("request.invalid") > requests / 50, "The storm did not reach far enough in.");
    });

    private async Task OnePlant(Random chance)
    {
        await using var server = new ApiServer();
        await server.InitializeAsync();
        server.Clock.SetUtcNow(new DateTimeOffset(2026, 3, 4, 6, 0, 0, TimeSpan.Zero));
        var (good, known) = await Work(server, chance);
        var form = server.Request(HttpMethod.Get, "/sites/S1/record/receiving/receive", RoleName.Owner);
        using var page = await server.Nobody.SendAsync(form, TestContext.Current.CancellationToken);
        var hidden = Browsing.Filled(await page.Text(), []);
        var cookie = string.Join("; ", page.Headers.GetValues("Set-Cookie").Select(set => set.Split(';')[0]));
        var requests = new BadRequests(chance, new Corpus(chance), Described((await server.Get("/openapi/v1.json")).Json), good, known);
        for (var number = 0; number < RequestsPerPlant && faults.Count < 20; number++)
        {
            hidden["requestKey"] = $"storm-{number}";
            await One(server, requests.Next(hidden, cookie));
        }
    }

    /// <summary>A few batches of good work: what there is to spoil, and bodies to spoil it with.</summary>
    private static async Task<(ILookup<string, string> Good, List<string> Known)> Work(ApiServer server, Random chance)
    {
        var told = new List<(string Operation, string Body)>();
        var day = new BenchDay(1, chance, server.Clock.GetUtcNow().AddDays(-1), async telling =>
        {
            told.Add((telling.Operation, telling.Body));
            return await server.Do(telling.Operation, telling.Body, RoleName.Owner);
        });
        for (var batch = 0; batch < 8; batch++) await day.Batch();
        var known = server.App.Site("S1")!.ReadAsync(state => state.Lots.Select(lot => lot.Code).ToList());
        var lots = await known;
        var now = server.Now();
        foreach (var (operation, body) in new (string, object)[]
        {
            ("checks/record", new { lot = lots[2], kind = "moisture", values = new[] { "4.1" }, happenedAt = now, instrument = "A1" }),
            ("filling/open", new { container = "B1", happenedAt = now }), ("filling/close", new { container = "B1", happenedAt = now }),
            ("filling/fill", new { container = "B1", inputs = new[] { new { lot = lots[2], massGrams = 1 } }, happenedAt = now }),
            ("filling/clean-break", new { container = "B1", happenedAt = now }),
            ("labels/reconcile", new { lot = lots[3], applied = 1, spoiled = 0, returned = 0 }),
            ("customers/describe", new { customer = "Shop 1", address = "1 Road", country = "KE" }),
            ("stock/dispose", new { lot = lots[2], massGrams = 1, reason = "spilt", happenedAt = now }), ("stock/count", new { lot = lots[2], massGrams = 1, reason = "counted", happenedAt = now }),
            ("stock/sample", new { lot = lots[2], massGrams = 1, reason = "laboratory", happenedAt = now }),
            ("holds/place", new { lot = lots[2], reason = "smells odd" }), ("holds/release", new { lot = lots[2], hold = "Q0001", reason = "checked" }),
            ("recalls/open", new { lots = new[] { lots[0] }, kind = "drill", reason = "exercise" }), ("recalls/close", new { recall = "R01", conclusion = "done" }),
            ("products/specify", new { product = "DRIED", name = "Dried insect larvae", label = new { gtin = ApiServer.Gtin, cautions = new[] { "x" } } }), ("products/approve", new { product = "DRIED", version = 3 }),
            ("instruments/check", new { instrument = "T1", kind = "ice", found = 0.1, happenedAt = now }),
            ("packing/weigh", new { lot = lots[3], netGrams = new[] { 100, 101.5 }, balance = "W1", happenedAt = now }),
            ("site/describe", new { name = "Example plant", address = "1 Example Road", zone = "Africa/Nairobi" }),
            ("journal/correct", new { seq = 5, reason = "slip", replacement = new { supplier = "Farm", massGrams = 1300, happenedAt = now } }),
        }) told.Add((operation, JsonSerializer.Serialize(body)));
        await server.Do("recalls/open", new { lots = new[] { lots[0] }, kind = "drill", reason = "exercise" }, RoleName.Owner);
        return (told.ToLookup(of => of.Operation, of => of.Body), lots);
    }

    private static List<(string Method, string Path, string[] Query)> Described(JsonNode document) =>
        [.. from path in document["paths"]!.AsObject()
            from method in path.Value!.AsObject()
            select (method.Key.ToUpperInvariant(), path.Key, (string[])[.. (method.Value!["parameters"]?.AsArray() ?? []).Where(of => (string?)of!["in"] == "query").Select(of => (string)of!["name"]!)])];

    private async Task One(ApiServer server, BadRequest bad)
    {
        var heads = Heads(server);
        var request = server.Request(new HttpMethod(bad.Method), bad.Path, bad.Headers.Any(header => header.Name == "Authorization") ? null : RoleName.Owner);
        if (bad.Body is not null)
        {
            request.Content = new ByteArrayContent(bad.Body);
            if (bad.ContentType is not null) request.Content.Headers.TryAddWithoutValidation("Content-Type", bad.ContentType);
        }

        foreach (var (name, value) in bad.Headers)
        {
            if (!request.Headers.TryAddWithoutValidation(name, value)) request.Content?.Headers.TryAddWithoutValidation(name, value);
        }

        var began = TimeProvider.System.GetTimestamp();
        Reply reply;
        bool cameIn;
        try
        {
            using (request)
            using (var response = await server.Nobody.SendAsync(request, TestContext.Current.CancellationToken))
            {
                var bytes = await response.Content.ReadAsByteArrayAsync(TestContext.Current.CancellationToken);
                reply = new Reply(response.StatusCode, response.Content.Headers.ContentType?.MediaType, bytes, response.Headers.Location);

                // The program marks all that it answers. Without the mark the HTTP server refused what is no HTTP before the program saw it.
                cameIn = response.Headers.Contains("X-Content-Type-Options");
            }
        }
        catch (HttpRequestException lost)
        {
            Fault(bad, "no answer: " + lost.Message);
            return;
        }

        var took = (long)TimeProvider.System.GetElapsedTime(began).TotalMilliseconds;
        var place = Route(bad.Path);
        millisecondsAt[place] = millisecondsAt.GetValueOrDefault(place) + took;
        if (took > slowestMilliseconds) (slowestMilliseconds, slowest) = (took, $"{bad.Method} {bad.Path[..Math.Min(60, bad.Path.Length)]}");
        var status = (int)reply.Status;
        outcomes[$"{status}"] = outcomes.GetValueOrDefault($"{status}") + 1;
        if (took > 5000) Fault(bad, $"{took} ms");
        if (status >= 500) Fault(bad, $"{status} {reply.Text}");
        if (TellsOfItself(reply, bad) is { } told) Fault(bad, $"{status} tells {told}: {reply.Text}");
        if (!cameIn && reply.Bytes.Length == 0 && status is 400 or 414 or 431) outcomes["not HTTP"] = outcomes.GetValueOrDefault("not HTTP") + 1;
        else if (status >= 400 && Unstable(reply, bad) is { } why) Fault(bad, $"{status}, {why}: {reply.MediaType} {reply.Text}");
        var grown = Heads(server) - heads;
        var wanted = status >= 400 || bad.Method != "POST" ? grown == 0 : bad.IsApi && status == 201 ? grown == 1 || Repeats(bad) : grown is 0 or 1;
        if (!wanted) Fault(bad, $"{status} and {grown} entries");
        accepted += (int)grown;
    }

    /// <summary>The first two names of a path without the site's.</summary>
    private static string Route(string path) =>
        string.Join('/', path.Split('?')[0].Replace("/api/sites/S1", "/api", StringComparison.Ordinal).Replace("/sites/S1", "/site", StringComparison.Ordinal).Split('/').Take(4).Select(part => part.Length > 20 ? "…" : part));

    private static bool Repeats(BadRequest bad) => bad.Headers.Any(header => header.Name == "Idempotency-Key");

    private static long Heads(ApiServer server) => server.App.Journal.Streams.Sum(server.App.Journal.Head);

    private void Fault(BadRequest bad, string what) => faults.Add($"{what}\n--- {bad}");

    /// <summary>Words of the program's inside that the caller did not send.</summary>
    private static string? TellsOfItself(Reply reply, BadRequest bad)
    {
        // Packed bytes spell anything by chance.
        if (reply.MediaType is "application/pdf" or "application/zip" or "text/css") return null;
        if (reply.MediaType?.StartsWith("application/vnd.openxml", StringComparison.Ordinal) == true) return null;
        var sent = Uri.UnescapeDataString(bad.ToString());
        foreach (Match match in Inside().Matches(reply.Text))
        {
            if (!sent.Contains(match.Value, StringComparison.Ordinal)) return match.Value;
        }

        return null;
    }

    /// <summary>What is wrong with a refusal; null when it is as promised.</summary>
    private string? Unstable(Reply reply, BadRequest bad)
    {
        if (reply.MediaType == "application/problem+json")
        {
            var problem = reply.Json;
            var code = (string?)problem["code"] ?? "";
            outcomes[code] = outcomes.GetValueOrDefault(code) + 1;
            if (!RefusalCodes.All.TryGetValue(code, out var known)) return "no known code";
            return known.Status == (int)reply.Status && (string?)problem["type"] == "/problems/" + code ? null : "the code does not fit";
        }

        return !bad.IsApi && reply.MediaType == "text/html" && reply.Text.Contains("<h1", StringComparison.Ordinal) ? null : "no problem document";
    }

    [GeneratedRegex(@"\w*Exception\b|System\.\w+|Trace\.(?:Core|Web|Storage)|\bat \w+\.\w+\(|Utf8JsonReader|\$\.\w")]
    private static partial Regex Inside();
}
