using Trace.Core.Journal;
using Trace.Storage;
using Trace.Tests.Storage;
using Xunit;

namespace Trace.Tests.Torture.Power;

/// <summary>
/// The power goes at every moment of a run: after each write, flush and truncation, with any of the sectors kept that were not flushed, and
/// again while the next start mends what it found. Each of these disks is opened: nothing answered is missing, no batch is half there, all
/// that is read is what was written, and writing goes on with a chain that holds: a cut alone is never taken for damage. Half of the disks
/// have the mark of all that was answered by then, the strongest there can be. Afterwards something answered is lost on purpose, in just the
/// ways in which a cut loses what was not: with such a mark it is never cut off.
/// </summary>
[Collection(TortureCollection.Name)]
public sealed class PowerCutTests(ITestOutputHelper output)
{
    private static readonly string[] Streams = [JournalStreams.Access, "S1", "S2"];

    private readonly Dictionary<string, List<JournalEntry>> written = [];
    private readonly List<(int After, string Stream, long Seq)> answered = [];
    private int images;
    private int cut;
    private int rotten;
    private int second;
    private int together;

    [Fact]
    public Task A_power_cut_at_any_moment_loses_nothing_that_was_answered() => LongRun.Seeded(output, async seed =>
    {
        var chance = new Random(seed);
        var figures = new Figures(output, "Power cut at every moment, with any unsynced sectors kept", seed);
        var batches = 0;
        var wanted = LongRun.Of(520, 5_000);
        while (images < wanted)
        {
            written.Clear();
            answered.Clear();
            using var folder = new TempFolder();
            var recording = new Recording();
            batches += await Work(folder, recording, chance);
            together += answered.Count - recording.Writes;
            for (var moment = 0; moment <= recording.Count; moment++)
            {
                var files = recording.After(moment).ToDictionary(file => Path.GetRelativePath(folder.Path, file.Key), file => file.Value);
                var isOpen = files.Values.Any(file => file.Durable != file.Wanted);
                for (var variant = 0; variant < (isOpen ? 12 : 1); variant++) await Cut(files, moment, variant, chance);
            }
        }

        figures.Add("Batches written", $"{batches}, {together} of them in one write with others");
        figures.Add("Disks opened", $"{images}, {second} of them cut again while they were mended");
        figures.Add("Of these with an unfinished end cut off", $"{cut}");
        figures.Add("Disks that lost something answered and marked as such, all reported and left alone", $"{rotten}");
        figures.Publish();
        Assert.True(together > 0, "No two batches were written at once.");
        Assert.True(cut > images / 10, "Hardly a disk had anything torn.");
        Assert.True(rotten > images / 100, "Hardly a disk lost anything.");
    });

    /// <summary>Batches one by one, and several at once to several streams; some of several entries, some longer than a sector.</summary>
    private async Task<int> Work(TempFolder folder, Recording recording, Random chance)
    {
        var batches = 0;
        using var store = folder.Open(files: recording.Open);
        for (var round = 0; round < 4; round++)
        {
            var heads = Streams.ToDictionary(stream => stream, store.Head);
            var waiting = new List<Task>();
            for (var batch = chance.Next(1, 5); batch > 0; batch--)
            {
                var stream = Streams[chance.Next(Streams.Length)];
                var entries = Enumerable.Range(0, chance.Next(1, 4)).Select(_ => Some.Entry(++batches, "L1") with
                {
                    Payload = $"{{\"text\":\"{new string('x', chance.Next(3) == 0 ? chance.Next(3000, 9000) : chance.Next(300))}\"}}",
                }).ToList();
                waiting.Add(Answer(store.AppendAsync(new EntryBatch(stream, heads[stream], entries)), stream));
                heads[stream] += entries.Count;
            }

            await Task.WhenAll(waiting);
        }

        foreach (var stream in Streams) written[stream] = [.. store.Read(stream)];
        return batches;

        async Task Answer(Task<Appended> append, string stream)
        {
            var place = await append;
            lock (answered) answered.Add((recording.Count, stream, place.LastSeq));
        }
    }

    private async Task Cut(Dictionary<string, (byte[] Durable, byte[] Wanted)> files, int moment, int variant, Random chance)
    {
        using var disk = new TempFolder();
        Directory.CreateDirectory(disk.File("sites"));
        var found = files.ToDictionary(file => file.Key, file => ImageOf(file.Value.Durable, file.Value.Wanted, variant, chance));
        foreach (var (name, image) in found) await File.WriteAllBytesAsync(disk.File(name), image);
        if (chance.Next(2) == 0) await Mark(disk, moment);
        var mended = new Recording();
        var mendings = await Check(disk, moment, mended, $"moment {moment}, variant {variant}");
        if (variant == 1 && chance.Next(2) == 0) await Rot(found, moment, chance);
        if (chance.Next(8) != 0) return;

        // The power goes again while the start mends: at any of the things it did.
        for (var again = 1; again < mendings; again++)
        {
            second++;
            using var twice = new TempFolder();
            Directory.CreateDirectory(twice.File("sites"));
            foreach (var (path, (durable, wanted)) in mended.After(again))
            {
                var name = Path.GetRelativePath(disk.Path, path);
                await File.WriteAllBytesAsync(twice.File(name), ImageOf(durable, wanted, chance.Next(2, 12), chance));
            }

            // What was opened last may not have been opened yet: then it is as it was left.
            foreach (var (name, image) in found.Where(file => !File.Exists(twice.File(file.Key)))) await File.WriteAllBytesAsync(twice.File(name), image);
            await Check(twice, moment, new Recording(), $"moment {moment}, variant {variant}, cut again at {again}");
        }
    }

    private long AnsweredTo(string stream, int moment) =>
        answered.Where(one => one.After <= moment && one.Stream == stream).Select(one => one.Seq).Append(0).Max();

    private async Task Mark(TempFolder disk, int moment)
    {
        var lines = string.Concat(Streams.Select(stream => (stream, Seq: AnsweredTo(stream, moment))).Where(one => one.Seq > 0)
            .Select(one => $"{one.stream} {one.Seq}\n"));
        var text = "trace acknowledged 1\n" + lines;
        await File.WriteAllTextAsync(disk.Mark, $"{text}{EntryText.Hash(System.Text.Encoding.ASCII.GetBytes(text))}\n");
    }

    /// <summary>Something that was flushed and answered is lost later: the end of a journal, or sectors of it.</summary>
    private async Task Rot(Dictionary<string, byte[]> found, int moment, Random chance)
    {
        foreach (var (name, image) in found)
        {
            var stream = Path.GetFileNameWithoutExtension(name);
            var safe = 0;
            for (var line = AnsweredTo(stream, moment); line > 0; line--) safe += image.AsSpan(safe).IndexOf((byte)'\n') + 1;
            if (safe == 0) continue;
            var first = chance.Next(safe);
            // The newline alone can be put back: nothing is lost with it.
            var lost = chance.Next(3) switch
            {
                0 => image[..Math.Min(first, safe - 2)],
                1 => Recording.Image([], image, image.Length, sector => sector != first / Recording.SectorBytes),
                _ => Recording.Image([], image, image.Length, sector => sector < first / Recording.SectorBytes),
            };
            using var disk = new TempFolder();
            Directory.CreateDirectory(disk.File("sites"));
            foreach (var (other, bytes) in found) await File.WriteAllBytesAsync(disk.File(other), other == name ? lost : bytes);
            await Mark(disk, moment);
            Assert.False(TraceStorage.Verify(disk.Path).Sound);
            using (var store = disk.Open()) Assert.Equal(stream, store.Stopped?.Stream);
            Assert.Equal(lost, await File.ReadAllBytesAsync(disk.File(name)));
            rotten++;
        }
    }

    private static byte[] ImageOf(byte[] durable, byte[] wanted, int variant, Random chance)
    {
        var (shorter, longer) = (Math.Min(durable.Length, wanted.Length), Math.Max(durable.Length, wanted.Length));
        var between = chance.Next(shorter, longer + 1);
        var border = chance.Next(longer / Recording.SectorBytes + 1);
        return variant switch
        {
            0 => wanted,
            1 => durable,
            2 => Recording.Image(durable, wanted, between, _ => true),
            3 => Recording.Image(durable, wanted, wanted.Length, _ => false),
            4 => Recording.Image(durable, wanted, wanted.Length, sector => sector < border),
            5 => Recording.Image(durable, wanted, wanted.Length, sector => sector >= border),
            _ => Recording.Image(durable, wanted, chance.Next(2) == 0 ? wanted.Length : between, _ => chance.Next(2) == 0),
        };
    }

    /// <summary>Opens the disk; gives how many things the start did to its files.</summary>
    private async Task<int> Check(TempFolder disk, int moment, Recording recording, string where)
    {
        images++;
        var log = new List<string>();
        var heads = new Dictionary<string, long>();
        int mendings;
        var foundBad = Directory.EnumerateFiles(disk.Path, "*.jsonl", SearchOption.AllDirectories).Any() && !TraceStorage.Verify(disk.Path).Sound;
        using (var store = disk.Open(log, recording.Open))
        {
            mendings = recording.Count;
            Assert.True(store.Stopped is null && !foundBad, $"{where}: opening says {store.Stopped}, verify says {(foundBad ? "bad" : "sound")}.");
            foreach (var stream in Streams)
            {
                var entries = store.Read(stream).ToList();
                heads[stream] = store.Head(stream);
                Assert.Equal(heads[stream], entries.Count);
                Assert.Equal(written[stream].Take(entries.Count), entries, (one, other) => one.Hash == other.Hash);
                Assert.True(entries.Count == 0 || entries[^1].Part == entries[^1].Parts, $"{where}: half a batch of {stream}.");
                var answeredTo = AnsweredTo(stream, moment);
                Assert.True(entries.Count >= answeredTo, $"{where}: {stream} was answered up to {answeredTo} and holds {entries.Count}. {store.Stopped}");
            }

            foreach (var stream in Streams) Assert.Equal(heads[stream] + 1, (await store.Add(stream)).LastSeq);
        }

        lock (log) if (log.Any(line => line.Contains("cut off", StringComparison.Ordinal))) cut++;
        Assert.Equal(Streams.Select(stream => (stream, heads[stream] + 1)), Entries(TraceStorage.Verify(disk.Path)));
        return mendings;
    }

    /// <summary>The chains as walked by verify, each of which must hold to its end.</summary>
    private static IEnumerable<(string Stream, long Entries)> Entries(VerifyReport report)
    {
        Assert.True(report.Sound);
        return report.Streams.Select(stream => (stream.Stream, stream.Entries)).OrderBy(one => Array.IndexOf(Streams, one.Stream));
    }
}
