using System.Diagnostics;
using System.Globalization;
using Trace.Benchmarks.Harness;
using Trace.Benchmarks.Plants;
using Trace.Core;
using Trace.Core.Corrections;
using Trace.Core.Holds;
using Trace.Core.Lots;
using Trace.Storage;

namespace Trace.Benchmarks;

/// <summary>
/// What the program does between its start and its first answer, in a fresh process each time: open the folder and check the chain,
/// then fold the site. The file is in the system's page cache; nothing else is warm.
/// </summary>
internal static class StartBenchmark
{
    public const string ChildArgument = "--start-child";

    public static Benchmark About { get; } = new("start", "from a cold process to the first answer, 400,000 entries", Run);

    private static List<Finding> Run(Plan plan) => plan.Full ? [.. Start(plan), .. IndexBenchmark.Run(plan, 1_000_000)] : Start(plan);

    private static List<Finding> Start(Plan plan)
    {
        var folder = Path.Combine(plan.Folder, "start");
        var entries = plan.Scale(400_000);
        var until = TimeProvider.System.GetUtcNow().AddDays(-1);
        using (var store = TraceStorage.Open(folder)) PlantJournal.Fill(store, entries, until);

        var starts = new List<Dictionary<string, double>>();
        for (var round = 0; round < Math.Min(plan.Rounds, 3); round++)
        {
            Directory.Delete(Path.Combine(folder, "snapshots"), recursive: true);
            starts.Add(StartAnew(folder));
        }

        var fromSnapshot = new List<Dictionary<string, double>>();
        for (var round = 0; round < Math.Min(plan.Rounds, 3); round++) fromSnapshot.Add(StartAnew(folder));
        Directory.Delete(Path.Combine(folder, "index"), recursive: true);
        var rebuilt = StartAnew(folder);

        Series Of(string name) => new(name, [.. starts.Select(start => start[name])]);
        var first = starts[0];
        return
        [
            Finding.Plain($"{first["entries"]:0} entries, {first["lots"]:0} lots, {first["megabytes"]:0} MB: open, chain checked", Of("open"), " s", "0.00"),
            Finding.Plain("fold of the site", Of("fold"), " s", "0.00"),
            Finding.AtMost("cold start: both", new Series("start", [.. starts.Select(start => start["open"] + start["fold"])]), 5, " s"),
            Finding.Plain("processor time of the start, start of the process included", Of("processor"), " s", "0.00"),
            Finding.AtMost("memory of the site's state, bytes a lot", Of("bytesPerLot"), 400, " B"),
            Finding.Plain("live memory while the journal is read, at most", Of("readingMegabytes"), " MB", "0.0"),
            Finding.Plain("the process at its largest", Of("processMegabytes"), " MB"),
            new("index lost and built anew, searches answered meanwhile", rebuilt["index"].ToString("0.0", CultureInfo.InvariantCulture) + " s", "one run"),
            new("a search by lot meanwhile", rebuilt["search"].ToString("0.00", CultureInfo.InvariantCulture) + " s", "one run"),
            Finding.AtMost(
                FormattableString.Invariant($"start from a checked snapshot of {first["snapshotMegabytes"]:0.0} MB: both"),
                new Series("start", [.. fromSnapshot.Select(start => start["open"] + start["fold"])]), 1, " s"),
        ];
    }

    /// <summary>The measured process: writes name and number, a line each.</summary>
    public static int Child(string folder)
    {
        double open = 0, fold = 0;
        var started = Stopwatch.GetTimestamp();
        TraceStore? store = null;
        open = Rounds.Seconds(() => store = TraceStorage.Open(folder));
        using (store)
        {
            var before = GC.GetTotalMemory(forceFullCollection: true);
            SiteState? state = null;
            fold = Rounds.Seconds(() => state = new WritePath(store!, Areas.Codec, new HoldGate(), TimeProvider.System, store).Load(PlantJournal.Site)
                .ReadAsync(known => known).GetAwaiter().GetResult());
            var processor = Process.GetCurrentProcess().TotalProcessorTime.TotalSeconds;
            var bytes = GC.GetTotalMemory(forceFullCollection: true) - before;
            Tell("open", open);
            Tell("fold", fold);
            Tell("processor", processor);
            Tell("entries", state!.Head);
            Tell("lots", state.Lots.Count);
            Tell("bytesPerLot", (double)bytes / state.Lots.Count);
            Tell("processMegabytes", Process.GetCurrentProcess().PeakWorkingSet64 / 1e6);
            Tell("megabytes", new FileInfo(Path.Combine(folder, "sites", PlantJournal.Site + ".jsonl")).Length / 1e6);
            var lot = state.Lots[state.Lots.Count / 2].Code;
            Tell("search", Rounds.Seconds(() => store!.Query(new(PlantJournal.Site, lot))));
            var snapshot = state.ToSnapshot();
            Tell("snapshotMegabytes", snapshot.Length / 1e6);
            store!.Keep(PlantJournal.Site, SiteState.SnapshotVersion, state.Head, snapshot);
            GC.KeepAlive(state);
            Tell("readingMegabytes", LiveWhileReading(store!) / 1e6);
            store.WaitForIndex();
            Tell("index", Stopwatch.GetElapsedTime(started).TotalSeconds);
        }

        return 0;
    }

    private static double LiveWhileReading(TraceStore store)
    {
        var before = GC.GetTotalMemory(forceFullCollection: true);
        var most = 0L;
        foreach (var entry in store.Read(PlantJournal.Site))
            if (entry.Seq % 50_000 == 0) most = Math.Max(most, GC.GetTotalMemory(forceFullCollection: true) - before);
        return most;
    }

    public static void Tell(string name, double value) => Console.WriteLine($"{name} {value.ToString("R", CultureInfo.InvariantCulture)}");

    private static Dictionary<string, double> StartAnew(string folder) => StartAnew(ChildArgument, folder);

    public static Dictionary<string, double> StartAnew(string argument, string folder)
    {
        using var child = Process.Start(new ProcessStartInfo(Environment.ProcessPath!, [argument, folder]) { RedirectStandardOutput = true })!;
        var text = child.StandardOutput.ReadToEnd();
        child.WaitForExit();
        if (child.ExitCode != 0) throw new InvalidOperationException($"The child ended with {child.ExitCode}.");
        return text.Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => line.Split(' '))
            .ToDictionary(parts => parts[0], parts => double.Parse(parts[1], CultureInfo.InvariantCulture));
    }
}
