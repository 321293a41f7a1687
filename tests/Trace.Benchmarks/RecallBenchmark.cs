using System.Diagnostics;
using System.Text;
using System.Text.Json;
using Trace.Benchmarks.Harness;
using Trace.Benchmarks.Plants;
using Trace.Core.Access;
using Trace.Web.Access;

namespace Trace.Benchmarks;

/// <summary>From a complaint's lot to its scopes, a drill, and a recall's papers, through HTTP at a site of a million lots, beside a line of plain text.</summary>
internal static class RecallBenchmark
{
    public static Benchmark About { get; } = new("recall", "scopes, drill and recall papers through HTTP at a site of a million lots", Run);

    private static List<Finding> Run(Plan plan)
    {
        var folder = Path.Combine(plan.Folder, "recall");
        (string Usual, string ToMany) lots;
        using (var store = Storage.TraceStorage.Open(folder)) lots = CooperativeJournal.Fill(store, plan.Scale(1_000_000), TimeProvider.System.GetUtcNow().AddDays(-1));
        using var plant = new RunningPlant(folder);
        using var client = Client(plant);
        var known = plant.App.Site(CooperativeJournal.Site)!.ReadAsync(state => state.Lots.Count).GetAwaiter().GetResult();
        var site = $"/api/sites/{CooperativeJournal.Site}";
        var drill = Stopwatch.StartNew();
        var id = Post(client, $"{site}/recalls/drill", """{"start":"supplier-lot"}""");
        _ = Get(client, $"{site}/recalls/{id}");
        Post(client, $"{site}/recalls/close", $$"""{"recall":"{{id}}","conclusion":"found"}""");
        drill.Stop();
        var recall = Post(client, $"{site}/recalls/open", $$"""{"lots":["{{lots.ToMany}}"],"kind":"recall","reason":"stones"}""");
        Post(client, $"{site}/recalls/publish", $$"""{"recall":"{{recall}}","language":"en","risk":"May break a tooth.","action":"Keep it."}""");
        Post(client, $"{site}/recalls/notify", $$"""{"recall":"{{recall}}","by":"letter","happenedAt":"{{TimeProvider.System.GetUtcNow():O}}"}""");
        var before = Live();
        var series = Rounds.Play(
            plan.Rounds,
            new("plain text", () => Seconds(client, RunningPlant.PlainRoute)),
            new("scopes", () => Seconds(client, $"{site}/lots/{lots.Usual}/scopes")),
            new("search", () => Seconds(client, $"{site}/search/lots?text=P-0123X-3")),
            new("sisters", () => Seconds(client, $"{site}/lots/{lots.Usual}/sisters")),
            new("report", () => Seconds(client, $"{site}/recalls/{recall}")),
            new("pdf", () => Seconds(client, $"{site}/recalls/{recall}/report.pdf")),
            new("letters", () => Seconds(client, $"{site}/recalls/{recall}/notices.pdf")));
        return
        [
            new($"{known} lots: a drill opened, read and closed", drill.Elapsed.TotalSeconds.ToString("0.00", System.Globalization.CultureInfo.InvariantCulture) + " s", "one run"),
            Finding.Plain($"{known} lots: plain text", Thousand(series["plain text"]), " ms", "0.00"),
            Finding.AtMost($"{known} lots: from a complaint's lot to its scopes with consignees", series["scopes"], 1, " s"),
            Finding.Plain($"{known} lots: a mistyped code looked for", series["search"], " s", "0.00"),
            Finding.Plain($"{known} lots: sister lots", series["sisters"], " s", "0.000"),
            Finding.Plain($"recall of {CooperativeJournal.ManyShops} consignees, as JSON", series["report"], " s", "0.000"),
            Finding.AtMost($"recall report of {CooperativeJournal.ManyShops} consignees as PDF", series["pdf"], 5, " s"),
            Finding.Plain($"{CooperativeJournal.ManyShops} letters in one PDF", series["letters"], " s", "0.00"),
            new("live memory more after all of it than before", ((Live() - before) / 1e6).ToString("0", System.Globalization.CultureInfo.InvariantCulture) + " MB", "one run"),
        ];
    }

    private static HttpClient Client(RunningPlant plant)
    {
        var (key, kept) = Secrets.NewKey("recall", RoleName.Owner, TimeProvider.System.GetUtcNow());
        plant.App.Access.Record(kept, "setup", "setup").GetAwaiter().GetResult();
        var client = new HttpClient { BaseAddress = new Uri($"http://127.0.0.1:{plant.Port}"), Timeout = TimeSpan.FromMinutes(5) };
        client.DefaultRequestHeaders.Authorization = new("Bearer", key);
        return client;
    }

    private static Series Thousand(Series seconds) => new(seconds.Name, [.. seconds.Values.Select(value => value * 1000)]);

    private static long Live() => GC.GetTotalMemory(forceFullCollection: true);

    private static double Seconds(HttpClient client, string path) => Rounds.Seconds(() =>
    {
        if (Get(client, path).Length == 0) throw new InvalidOperationException($"{path} is empty.");
    });

    private static byte[] Get(HttpClient client, string path)
    {
        using var answer = client.GetAsync(new Uri(path, UriKind.Relative)).GetAwaiter().GetResult();
        answer.EnsureSuccessStatusCode();
        return answer.Content.ReadAsByteArrayAsync().GetAwaiter().GetResult();
    }

    private static string Post(HttpClient client, string path, string json)
    {
        using var content = new StringContent(json, Encoding.UTF8, "application/json");
        using var answer = client.PostAsync(new Uri(path, UriKind.Relative), content).GetAwaiter().GetResult();
        var text = answer.Content.ReadAsStringAsync().GetAwaiter().GetResult();
        if (!answer.IsSuccessStatusCode) throw new InvalidOperationException($"{path}: {text}");
        using var document = JsonDocument.Parse(text);
        return document.RootElement.TryGetProperty("id", out var id) ? id.GetString() ?? "" : "";
    }
}
