using System.Buffers;
using System.Globalization;
using Trace.Benchmarks.Harness;
using Trace.Benchmarks.Plants;
using Trace.Core;
using Trace.Core.Journal;
using Trace.Core.Operations;
using Trace.Core.Steps.Cooling;
using Trace.Core.Steps.Receiving;

namespace Trace.Benchmarks;

/// <summary>
/// What it costs that an answer goes out only after the entry is on the disk, layer by layer: bare file, store, write path, HTTP.
/// All write entries of the same length; the bare file writes the very bytes of the journal.
/// </summary>
internal static class WriteBenchmark
{
    private const int Many = 8;
    private const string Stream = "S1";
    private static readonly Caller Bench = new("Amina", "tablet-1", Roles.Operator);

    public static Benchmark About { get; } = new("write", "durable writes a second, one caller and eight", Run);

    private static List<Finding> Run(Plan plan)
    {
        var folder = Path.Combine(plan.Folder, "write");
        using (var filled = Storage.TraceStorage.Open(folder)) PlantJournal.Fill(filled, plan.Scale(5_000), TimeProvider.System.GetUtcNow().AddHours(-1));
        using var plant = new RunningPlant(folder);

        // A store beside the plant's: what is appended is one entry again and again, which no site could read as its own.
        using var store = Storage.TraceStorage.Open(Path.Combine(plan.Folder, "write-store"));
        var app = plant.App;
        var site = app.Site(PlantJournal.Site)!;
        var receive = Areas.Operations.Single(operation => operation.Name == "receiving/receive");
        var read = Areas.Operations.Single(operation => operation.Name == "cooling/reading");
        var batches = site.ReadAsync(state => state.Lots.Where(lot => lot.Kind == Core.Specifications.LotKind.Dried).Select(lot => lot.Code).ToArray())
            .GetAwaiter().GetResult();
        var at = TimeProvider.System.GetUtcNow();
        var body = string.Create(
            CultureInfo.InvariantCulture, $"{{\"supplier\":\"Example Farm\",\"massGrams\":8000,\"happenedAt\":\"{at:O}\",\"species\":\"Hermetia illucens\"}}");
        var (few, lots) = (plan.Scale(500), 0);

        async Task Record(IRequest request, Operation operation)
        {
            var outcome = await app.Path.Run(site, operation, request, Bench, app.Surroundings).ConfigureAwait(false);
            if (!outcome.IsRecorded) throw new InvalidOperationException(outcome.Refusals[0].Detail);
        }

        Task Receive() => Record(new ReceiveLarvae("Example Farm", 8000, at, Species: "Hermetia illucens"), receive);
        Task Read() => Record(new ReadCooling(batches[Interlocked.Increment(ref lots) % batches.Length], 24.5, 23, at, 45, "TH-2"), read);
        double Http(int clients) => LoadClient.Rate(
            plant.Port, clients, few * 2 / (clients == 1 ? 2 : Many / 2), "POST", $"/api/sites/{PlantJournal.Site}/receiving/receive", plant.KeyHeader, body, 201);

        double Plain(int clients) =>
            LoadClient.Rate(plant.Port, clients, few * 4 / clients, "GET", RunningPlant.PlainRoute, "", "", 200);

        Receive().GetAwaiter().GetResult();
        var sample = app.Journal.Get(PlantJournal.Site, app.Journal.Head(PlantJournal.Site))!.Entry;
        var line = new ArrayBufferWriter<byte>();
        EntryText.Write(line, 10_000, 1, 1, sample, EntryText.NoHash);
        line.Write("\n"u8);
        using var file = File.OpenHandle(Path.Combine(folder, "bare.jsonl"), FileMode.Create, FileAccess.ReadWrite);
        var (length, head, gate) = (0L, 0L, new Lock());

        double Bare() => few / Rounds.Seconds(() =>
        {
            for (var written = 0; written < few; written++)
            {
                RandomAccess.Write(file, line.WrittenSpan, length);
                RandomAccess.FlushToDisk(file);
                length += line.WrittenCount;
            }
        });

        Task Store()
        {
            lock (gate) return store.AppendAsync(new EntryBatch(Stream, head++, [sample]));
        }

        var series = Rounds.Play(
            // Short rounds and many: a disk that others use changes its pace from second to second.
            plan.Rounds * 3,
            new("bare file, 1", Bare),
            new("store, 1", () => Rate(1, few, Store)),
            new("store, 8", () => Rate(Many, few * 2 / Many * 2, Store)),
            new("write path, 1", () => Rate(1, few, Receive)),
            new("write path, 8", () => Rate(Many, few * 2 / Many * 2, Receive)),
            new("write path with holds, 8", () => Rate(Many, few * 2 / Many * 2, Read)),
            new("HTTP, 1", () => Http(1)),
            new("HTTP, 8", () => Http(Many)),
            new("plain text, 1", () => Plain(1)),
            new("plain text, 8", () => Plain(Many)));
        if ((app.Journal.Stopped ?? store.Stopped) is { } stopped) throw new InvalidOperationException(stopped.Reason);
        return
        [
            .. series.Values.Select(one => Finding.Plain($"{one.Name}, {line.WrittenCount} bytes an entry", one, " /s")),
            Finding.AtLeast("store, 1 ÷ bare file", series["store, 1"].Over(series["bare file, 1"]), 0.45),
            Finding.AtLeast("store, 8 ÷ store, 1", series["store, 8"].Over(series["store, 1"]), 3.5),
            Finding.Plain("write path, 8 ÷ write path, 1", series["write path, 8"].Over(series["write path, 1"]), "", "0.00"),
            Finding.AtLeast("HTTP, 1 ÷ store, 1", series["HTTP, 1"].Over(series["store, 1"]), 0.7),
            Finding.AtLeast("HTTP, 8 ÷ store, 8", series["HTTP, 8"].Over(series["store, 8"]), 0.7),

            // The goals above multiplied, so that a quicker store does not make the same HTTP look worse.
            Finding.AtLeast("HTTP, 1 ÷ bare file (0.7 × 0.45)", series["HTTP, 1"].Over(series["bare file, 1"]), 0.7 * 0.45),
            Finding.AtLeast("HTTP, 8 ÷ bare file (0.7 × 3.5 × 0.45)", series["HTTP, 8"].Over(series["bare file, 1"]), 0.7 * 3.5 * 0.45),
        ];
    }

    private static double Rate(int callers, int each, Func<Task> write) => callers * each / Rounds.Seconds(() =>
        Task.WaitAll([.. Enumerable.Range(0, callers).Select(_ => Task.Run(async () =>
        {
            for (var written = 0; written < each; written++) await write().ConfigureAwait(false);
        }))]));
}
