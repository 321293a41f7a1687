using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using Trace.Core;
using Trace.Core.Corrections;
using Trace.Core.Journal;
using Trace.Core.Lots;
using Trace.Core.Tracing;
using Trace.Storage;
using Trace.Tests.CommandLine;
using Trace.Web.Views;
using Xunit;

namespace Trace.Tests.Torture.Killing;

/// <summary>
/// The program as it is shipped, killed with SIGKILL while eight benches write and the owner adds persons and keys. What a power cut could do besides is done to the file after
/// every third kill: the unanswered end is cut off at any byte, or its sectors become zeros. After each start: every answered entry is
/// there with its answer to the letter, nothing is half there or there twice, the chain holds, and what is served is the fold of the file.
/// </summary>
[Collection(TortureCollection.Name)]
public sealed class KillTests(ITestOutputHelper output)
{
    /// <summary>Each folder lives through this many kills; then the next plant begins with an empty one.</summary>
    private const int KillsPerPlant = 20;

    private readonly List<double> startSeconds = [];
    private int kills;
    private int killsAtStart;
    private int answered;
    private int repeated;
    private int cut;
    private long entries;
    private int office;

    [Fact]
    [Asvs("2.3.3")]
    public Task What_was_answered_outlives_every_kill() => LongRun.Seeded(output, async seed =>
    {
        var chance = new Random(seed);
        var figures = new Figures(output, "Killed while eight benches write", seed);
        for (var plants = LongRun.Of(20, 200) / KillsPerPlant; plants > 0; plants--) await OnePlant(chance);
        figures.Add("Kills (SIGKILL)", $"{kills}, {killsAtStart} of them during the start");
        figures.Add("Entries answered and found again to the letter", $"{answered}");
        figures.Add("Persons, keys, sign-ins and sign-outs answered, found again and working", $"{office}");
        figures.Add("Entries in the journals", $"{entries}");
        figures.Add("Requests without answer that had been recorded, answered alike when sent again", $"{repeated}");
        figures.Add("Torn ends that a start cut off", $"{cut}");
        figures.Add("Start until ready, median and longest", $"{startSeconds.Order().ElementAt(startSeconds.Count / 2):0.00} s, {startSeconds.Max():0.00} s");
        figures.Publish();
        Assert.True(office > 2 * (kills - killsAtStart), "The owner did too little.");
        Assert.True(answered > 5 * kills, "Too little was written for the kills to show anything.");
    });

    private async Task OnePlant(Random chance)
    {
        var stop = TestContext.Current.CancellationToken;
        using var folder = new Folder();
        var data = folder["data"];
        var key = (await TraceProcess.Must(0, "key", "add", "--name", "benches", "--role", "owner", "--data", data)).Output.Trim();
        using var plant = new KilledPlant(key, chance, TimeProvider.System.GetUtcNow().AddDays(-10));
        using var owner = new KilledOffice(chance);
        Assert.Equal(0, (await TraceProcess.Run(KilledOffice.Password + "\n", "person", "add", "--name", KilledOffice.Owner, "--role", "owner", "--data", data)).Exit);
        await plant.AllAsleep(stop);
        for (var kill = 0; kill < KillsPerPlant; kill++)
        {
            if (kill % 5 == 2) await KillTheStart(data, chance);
            var began = TimeProvider.System.GetTimestamp();
            Task work;
            await using (var serving = await Serving.On(data))
            {
                startSeconds.Add(TimeProvider.System.GetElapsedTime(began).TotalSeconds);
                if (serving.Said.Contains("cut off", StringComparison.Ordinal)) cut++;
                var found = await Check(data, plant, serving, key, chance);
                await owner.Check(data, serving);
                var lost = plant.Unanswered.Keys.ToList();
                plant.Open(serving.Address);
                work = owner.Work(serving.Address);
                await SomeAnswers(plant, chance.Next(200), stop);
                repeated += lost.Count(found.Contains);
            }

            kills++;
            await work;
            plant.Close();
            await plant.AllAsleep(stop);
            Assert.True(plant.Wrong.IsEmpty, string.Join("\n", plant.Wrong.Take(3)));
            if (chance.Next(3) != 0) continue;
            CutThePower(data, plant, chance);
            owner.CutThePower(data);
        }

        await using (var serving = await Serving.On(data))
        {
            await Check(data, plant, serving, key, chance);
            await owner.Check(data, serving);
        }

        office += owner.Answered;
        await plant.Stop();
        answered += plant.Answered.Count;
        entries += Lines(data).Count;
        var verified = await TraceProcess.Must(0, "verify", "--data", data);
        Assert.Contains("folds to", verified.Output, StringComparison.Ordinal);
    }

    /// <summary>Waits for that many answers and a moment more, however slow the machine is today; three seconds at most.</summary>
    private static async Task SomeAnswers(KilledPlant plant, int more, CancellationToken stop)
    {
        var wanted = plant.Answered.Count + more;
        var began = TimeProvider.System.GetTimestamp();
        while (plant.Answered.Count < wanted && TimeProvider.System.GetElapsedTime(began).TotalSeconds < 3) await Task.Delay(1, stop);
    }

    /// <summary>Dead before it was ready.</summary>
    private async Task KillTheStart(string data, Random chance)
    {
        using var process = TraceProcess.Start("serve", "--data", data, "--urls", "http://127.0.0.1:0");
        await Task.Delay(chance.Next(100, 900), TestContext.Current.CancellationToken);
        process.Kill();
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        kills++;
        killsAtStart++;
    }

    /// <summary>Behind the last entry that was answered or noted as flushed, the disk promised nothing: the end is cut at any byte, or whole sectors are zeros.</summary>
    private static void CutThePower(string data, KilledPlant plant, Random chance)
    {
        var path = Path.Combine(data, "sites", "S1.jsonl");
        var bytes = File.ReadAllBytes(path);
        var safe = FlushedPart.Length(data, "S1", bytes);
        for (var at = safe; at < bytes.Length;)
        {
            var length = bytes.AsSpan(at).IndexOf((byte)'\n') + 1;
            if (length == 0) break;
            if (EntryText.Read(bytes.AsSpan(at, length - 1), out _) is not { Entry.RequestKey: { } key } || plant.Answered.ContainsKey(key)) safe = at + length;
            at += length;
        }

        var border = (safe + 511) / 512 * 512;
        if (chance.Next(2) == 0 && border + 8 < bytes.Length)
        {
            bytes.AsSpan(border).Clear();
            File.WriteAllBytes(path, bytes);
        }
        else
        {
            File.WriteAllBytes(path, bytes[..chance.Next(safe, bytes.Length + 1)]);
        }
    }

    /// <summary>All that must be true after a start. Gives the keys that stand in the journal.</summary>
    private static async Task<HashSet<string>> Check(string data, KilledPlant plant, Serving serving, string key, Random chance)
    {
        var lines = Lines(data);
        var report = TraceStorage.Verify(data);
        Assert.True(report.Sound, string.Join(" ", report.Streams.Select(stream => stream.FirstBad)));

        // Verify counts only whole batches: no operation is half there.
        Assert.Equal(report.Streams.Single(stream => stream.Stream == "S1").Entries, lines.Count);
        var byKey = lines.Where(line => line.Entry.RequestKey is not null).GroupBy(line => line.Entry.RequestKey!).ToDictionary(group => group.Key, group => group.ToList());
        Assert.All(byKey, of => Assert.Single(of.Value));
        foreach (var (answeredKey, (telling, answer)) in plant.Answered)
        {
            Assert.True(byKey.TryGetValue(answeredKey, out var found), $"{answeredKey} ({telling.Operation}) was answered and is gone.");
            Assert.Equal(answer, found[0].Entry.Answer);
            Assert.Equal(telling.EventType, found[0].Entry.Type);
            Assert.Contains(telling.Mark, found[0].Entry.Payload, StringComparison.Ordinal);
        }

        await ServesTheFold(lines, serving, key, chance);
        return [.. byKey.Keys];
    }

    private static async Task ServesTheFold(List<JournalEntry> lines, Serving serving, string key, Random chance)
    {
        var state = new StateFold(Areas.Codec).Fold(() => lines);
        var served = new List<JsonNode>();
        for (string? before = ""; before is not null;)
        {
            var page = JsonNode.Parse((await serving.Get("/api/sites/S1/lots?limit=500" + (before.Length == 0 ? "" : "&before=" + before), key)).Text)!;
            served.AddRange(page["lots"]!.AsArray().Select(lot => lot!));
            before = (string?)page["next"];
        }

        Assert.Equal(state.Lots.Count, served.Count);
        var now = TimeProvider.System.GetUtcNow();
        foreach (var (lot, seen) in state.Lots.Reverse().Zip(served))
        {
            var folded = JsonSerializer.SerializeToNode(LotSummary.Of(state, lot, now), ViewJson.Default.LotSummary)!;
            Assert.Equal(WithoutWords(folded), WithoutWords(seen));
        }

        foreach (var lot in Enumerable.Range(0, Math.Min(3, state.Lots.Count)).Select(_ => state.Lots[chance.Next(state.Lots.Count)]))
        {
            var (status, text) = await serving.Get($"/api/sites/S1/lots/{lot.Code}/trace", key);
            Assert.Equal(200, status);
            Assert.Equal(JsonSerializer.Serialize(TraceView.Of(state, lot, TraceDirection.Both), ViewJson.Default.TraceView), text);
        }
    }

    /// <summary>The words of a hold tell how long ago something was; which rule holds which lot does not change in a second.</summary>
    private static string WithoutWords(JsonNode lot)
    {
        var text = new StringBuilder();
        foreach (var (name, value) in lot.AsObject()) text.Append(name).Append('=').Append(name == "holds" ? string.Join(',', value!.AsArray().Select(hold => $"{hold!["rule"]} {hold["lot"]}")) : value?.ToJsonString()).Append('\n');
        return text.ToString();
    }

    private static List<JournalEntry> Lines(string data)
    {
        var path = Path.Combine(data, "sites", "S1.jsonl");
        return [.. File.ReadLines(path).Select(line => EntryText.Read(Encoding.UTF8.GetBytes(line), out var problem) ?? throw new InvalidOperationException(problem))];
    }
}
