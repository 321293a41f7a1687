using System.Globalization;
using Trace.Tests.CommandLine;
using Xunit;

namespace Trace.Tests.Torture.Soak;

/// <summary>
/// Four hours of a busy plant, an entry and a look a second, as fast as the program as it is shipped takes them; the short form is twelve
/// minutes of it. Memory must be flat: the first quarter of the entries warms up; from then on the median of the resident set in the last
/// quarter may lie above that of the second quarter by what the lots made in between may cost (<see cref="BytesAnEntry"/>) and by
/// <see cref="Slack"/> for the collector's moods. Files must grow by the entry, not by the history.
/// </summary>
[Collection(TortureCollection.Name)]
public sealed class SoakTests(ITestOutputHelper output)
{
    private const int FourHours = 14_400;
    private const int Samples = 240;

    /// <summary>Every second entry makes a lot, and a lot may take 2 kB with its names, edges and request key.</summary>
    private const double BytesAnEntry = 1000;

    private const double Slack = 24 << 20;

    private readonly List<(int Entries, double Bytes)> resident = [];
    private readonly List<(int Entries, long Journal, long Index)> files = [];

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
            using var plant = new SoakPlant(serving.Address, key, new Random(seed), TimeProvider.System.GetUtcNow().AddDays(-3))
            {
                Written = entries => { if (entries % (wanted / Samples) == 0) Measure(serving, data, entries); },
            };
            await plant.Work(wanted);
            Measure(serving, data, plant.Entries);
            var seconds = TimeProvider.System.GetElapsedTime(began).TotalSeconds;
            figures.Add("Entries, and as many reads", $"{plant.Entries} in {seconds:0} s: {plant.Entries / seconds:0} of each a second");
            foreach (var (look, count, median) in plant.Reads) figures.Add($"Read: {look}", $"{count}, median {median:0.0} ms");
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
        var (second, third, last) = (Median(0.25, 0.5), Median(0.5, 0.75), Median(0.75, 1));
        figures.Add("Resident set at the start; median of the second, third and last quarter", $"{resident[0].Bytes / 1e6:0} MB; {second / 1e6:0}, {third / 1e6:0}, {last / 1e6:0} MB");
        figures.Add("Highest resident set", $"{resident.Max(sample => sample.Bytes) / 1e6:0} MB");
        var most = second + wanted / 2 * BytesAnEntry + Slack;
        Assert.True(last <= most, string.Create(CultureInfo.InvariantCulture, $"Memory is not flat: {second / 1e6:0} MB became {last / 1e6:0} MB; {most / 1e6:0} MB are allowed."));
    }

    private void Files(Figures figures, string data)
    {
        var (entries, journal, index) = files[^1];
        var (none, before, indexBefore) = files[0];
        var line = (journal - before) / (double)(entries - none);
        figures.Add("Bytes of an entry: its line in the journal", $"{line:0}");
        var perEntry = (index - indexBefore) / (double)entries;
        figures.Add("The index grew by, per entry", $"{perEntry:0} bytes, {perEntry / line:0.00} of the entry");
        figures.Add("Logs, per request", $"{Size(data, "logs") / (2.0 * entries):0} bytes");
        var half = files[files.Count / 2];
        var late = Growth(half, files[^1]);
        var early = Growth(files[0], half);
        figures.Add("Journal and index per entry, first and second half", $"{early:0}, {late:0} bytes");
        Assert.True(late <= 1.3 * early, "The files grow by the history, not by the entry.");
    }

    private static double Growth((int Entries, long Journal, long Index) from, (int Entries, long Journal, long Index) to) =>
        (to.Journal - from.Journal + to.Index - from.Index) / (double)(to.Entries - from.Entries);

    private void Measure(Serving serving, string data, int entries)
    {
        var line = File.ReadLines($"/proc/{serving.Id}/status").First(of => of.StartsWith("VmRSS:", StringComparison.Ordinal));
        resident.Add((entries, 1024 * double.Parse(line.Split(' ', StringSplitOptions.RemoveEmptyEntries)[^2], CultureInfo.InvariantCulture)));
        files.Add((entries, Size(data, "sites"), Size(data, "index")));
    }

    private static long Size(string data, string part) =>
        new DirectoryInfo(Path.Combine(data, part)) is { Exists: true } folder ? folder.EnumerateFiles("*", SearchOption.AllDirectories).Sum(file => file.Length) : 0;
}
