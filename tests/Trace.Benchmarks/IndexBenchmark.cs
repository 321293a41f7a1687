using System.Diagnostics;
using System.Globalization;
using Trace.Benchmarks.Harness;
using Trace.Benchmarks.Plants;
using Trace.Core.Journal;
using Trace.Storage;

namespace Trace.Benchmarks;

/// <summary>
/// The index of a large site is lost and built anew in a fresh process, while somebody keeps asking for lots and entries: how long until the
/// index is there, how long each answer takes until then, and how large the process becomes. A part of the start benchmark.
/// </summary>
internal static class IndexBenchmark
{
    public const string ChildArgument = "--index-child";

    public static IReadOnlyList<Finding> Run(Plan plan, int entries)
    {
        var folder = Path.Combine(plan.Folder, "index");
        using (var store = TraceStorage.Open(folder)) PlantJournal.Fill(store, entries, TimeProvider.System.GetUtcNow().AddDays(-1));
        Directory.Delete(Path.Combine(folder, "index"), recursive: true);
        var seen = StartBenchmark.StartAnew(ChildArgument, folder);
        Finding Once(string what, string name, string unit, string format) =>
            new(what, seen[name].ToString(format, CultureInfo.InvariantCulture) + unit, "one run");
        return
        [
            Finding.AtMost($"{entries / 1000} k entries: index lost and built anew", new Series("index", [seen["index"]]), 45, " s"),
            Once("searches by lot answered meanwhile", "searches", "", "0"),
            Once("a search by lot meanwhile, at most", "longestSearch", " s", "0.00"),
            Once("an entry by its number meanwhile, at most", "longestGet", " s", "0.000"),
            Once("lines of progress told", "lines", "", "0"),
            Once("the process at its largest", "processMegabytes", " MB", "0"),
            Once("a search by lot with the index", "searchAfter", " s", "0.0000"),
            Once("size of the index", "indexMegabytes", " MB", "0"),
        ];
    }

    /// <summary>The measured process: writes name and number, a line each.</summary>
    public static int Child(string folder)
    {
        var lines = 0;
        using var store = TraceStorage.Open(folder, new StorageOptions { Log = line => lines += line.StartsWith("Index of", StringComparison.Ordinal) ? 1 : 0 });
        var started = Stopwatch.GetTimestamp();
        var ready = Task.Run(store.WaitForIndex);
        var head = store.Head(PlantJournal.Site);
        var lot = store.Get(PlantJournal.Site, head / 2)!.Entry.Lots[0];
        var (searches, longestSearch, longestGet) = (0, 0.0, 0.0);
        while (!ready.Wait(TimeSpan.FromSeconds(2)))
        {
            longestGet = Math.Max(longestGet, Rounds.Seconds(() => store.Get(PlantJournal.Site, (head / 3) + searches)));
            longestSearch = Math.Max(longestSearch, Rounds.Seconds(() => Search(store, lot)));
            searches++;
        }

        StartBenchmark.Tell("index", Stopwatch.GetElapsedTime(started).TotalSeconds);
        StartBenchmark.Tell("searches", searches);
        StartBenchmark.Tell("longestSearch", longestSearch);
        StartBenchmark.Tell("longestGet", longestGet);
        StartBenchmark.Tell("lines", lines);
        StartBenchmark.Tell("processMegabytes", Process.GetCurrentProcess().PeakWorkingSet64 / 1e6);
        StartBenchmark.Tell("searchAfter", Rounds.Seconds(() => Search(store, lot)));
        StartBenchmark.Tell("indexMegabytes", new DirectoryInfo(Path.Combine(folder, "index")).EnumerateFiles().Sum(file => file.Length) / 1e6);
        return 0;
    }

    private static void Search(TraceStore store, string lot)
    {
        if (store.Query(new EntryQuery(PlantJournal.Site, lot)).Entries.Count == 0) throw new InvalidOperationException($"Lot {lot} is not found.");
    }
}
