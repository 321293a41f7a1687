using System.Globalization;
using Trace.Tests.CommandLine;
using Xunit;

namespace Trace.Tests.Torture.Soak;

/// <summary>
/// Four hours of a busy plant, an entry and a look a second, as fast as the program as it is shipped takes them. The long form judges
/// that memory is flat: the first half warms up (compiled code, the collector's budget, the index's cache until its log was merged for the
/// first time); then the median of the resident set in the last quarter may lie above that of the third by what the lots made meanwhile
/// cost (<see cref="BytesAnEntry"/>) and by <see cref="Slack"/> for the collector's moods. The short form, twelve minutes of the plant,
/// is all warm-up and judges only the <see cref="Ceiling"/>. Both judge that files grow by the entry, not by the history.
/// </summary>
[Collection(TortureCollection.Name)]
public sealed class SoakTests(ITestOutputHelper output)
{
    private const int FourHours = 14_400;
    private const int Samples = 240;

    /// <summary>Every second entry makes a lot, and a lot may take 2 kB with its names, edges and request keys.</summary>
    private const double BytesAnEntry = 1000;

    private const double Slack = 16e6;
    private const double Ceiling = 400e6;

    /// <summary>The index's log is merged at 8,000 pages of 8 kB; a large look may let it run over by some.</summary>
    private const long LargestLog = 80_000_000;

    private readonly List<(int Entries, double Bytes)> resident = [];
    private readonly List<(int Entries, long Journal)> journal = [];
    private long indexBefore;
    private long largestLog;

    [Fact]
    public Task A_busy_plant_runs_for_hours_in_flat_memory() => LongRun.Seeded(output, async seed =>
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "The resident set is read from /proc.");
        var figures = new Figures(output, "Soak: four hours of a busy plant", seed);
        var wanted = LongRun.Of(FourHours / 20, FourHours);
        using var folder = new Folder();
        var data = folder["data"];
        var key = (await TraceProcess.Must(0, "key", "add", "--name", "benches", "--role", "owner", "--data", data)).Output.Trim();
        var began = TimeProvider.System.GetTimestamp();
        await using (var serving = await Serving.On(data))
        {
            Measure(serving, data, 0);
            indexBefore = Size(data, "index");
            using var plant = new SoakPlant(serving.Address, key, new Random(seed), TimeProvider.System.GetUtcNow().AddDays(-3))
            {
                Written = entries => { if (entries % (wanted / Samples) == 0) Measure(serving, data, entries); },
            };
            await plant.Work(wanted);
            Measure(serving, data, plant.Entries);
            var seconds = TimeProvider.System.GetElapsedTime(began).TotalSeconds;
            figures.Add("Entries, and as many reads", $"{plant.Entries} in {seconds:0} s: {plant.Entries / seconds:0} of each a second");
            foreach (var (look, count, early, late) in plant.Reads) figures.Add($"Read: {look}", $"{count}, median of the first half {early:0.0} ms, of the second {late:0.0} ms");
            Assert.Equal(0, await serving.Stop());
        }

        await TraceProcess.Must(0, "verify", "--data", data);
        Memory(figures, wanted);
        Files(figures, data);
        figures.Publish();
    });

    private void Memory(Figures figures, int wanted)
    {
        double Median(double from, double to) => resident.Where(sample => sample.Entries > wanted * from && sample.Entries <= wanted * to)
            .Select(sample => sample.Bytes).Order().ToList() is { Count: > 0 } found ? found[found.Count / 2] : throw new InvalidOperationException("No sample.");
        var (third, last, highest) = (Median(0.5, 0.75), Median(0.75, 1), resident.Max(sample => sample.Bytes));
        figures.Add("Resident set at the start; median of each quarter", $"{resident[0].Bytes / 1e6:0} MB; {Median(0, 0.25) / 1e6:0}, {Median(0.25, 0.5) / 1e6:0}, {third / 1e6:0}, {last / 1e6:0} MB");
        figures.Add("Highest resident set", $"{highest / 1e6:0} MB");
        Assert.True(highest < Ceiling, string.Create(CultureInfo.InvariantCulture, $"{highest / 1e6:0} MB of memory."));
        var most = third + wanted / 4 * BytesAnEntry + Slack;
        if (LongRun.IsLong)
            Assert.True(last <= most, string.Create(CultureInfo.InvariantCulture, $"Memory is not flat: {third / 1e6:0} MB became {last / 1e6:0} MB; {most / 1e6:0} MB are allowed."));
    }

    /// <summary>After a clean end, when the index's log is merged.</summary>
    private void Files(Figures figures, string data)
    {
        var line = Line(journal[0], journal[^1]);
        var index = (Size(data, "index") - indexBefore) / (double)journal[^1].Entries;
        figures.Add("Bytes of an entry, its line in the journal", $"{line:0}");
        figures.Add("The index keeps of an entry", $"{index:0} bytes, {index / line:0.00} of the line; its log was {largestLog / 1e6:0} MB at most");
        figures.Add("Program log, per request", $"{Size(data, "logs") / (2.0 * journal[^1].Entries):0} bytes");
        var half = journal[journal.Count / 2];
        var (early, late) = (Line(journal[0], half), Line(half, journal[^1]));
        figures.Add("Bytes of an entry, first and second half", $"{early:0}, {late:0}");
        Assert.True(late <= 1.3 * early, "Entries grow with the history.");
        Assert.True(index <= 1.5 * line, "The index keeps more than the journal.");
        Assert.True(largestLog <= LargestLog, "The index's log is not merged.");
    }

    private static double Line((int Entries, long Bytes) from, (int Entries, long Bytes) to) => (to.Bytes - from.Bytes) / (double)(to.Entries - from.Entries);

    private void Measure(Serving serving, string data, int entries)
    {
        var line = File.ReadLines($"/proc/{serving.Id}/status").First(of => of.StartsWith("VmRSS:", StringComparison.Ordinal));
        resident.Add((entries, 1024 * double.Parse(line.Split(' ', StringSplitOptions.RemoveEmptyEntries)[^2], CultureInfo.InvariantCulture)));
        journal.Add((entries, Size(data, "sites")));
        largestLog = Math.Max(largestLog, Size(data, "index", "*-log.db"));
    }

    private static long Size(string data, string part, string files = "*") =>
        new DirectoryInfo(Path.Combine(data, part)).EnumerateFiles(files).Sum(file => file.Length);
}
