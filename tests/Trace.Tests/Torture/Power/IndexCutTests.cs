using Trace.Core.Journal;
using Trace.Tests.Storage;
using Xunit;

namespace Trace.Tests.Torture.Power;

/// <summary>
/// What a power cut may leave of what is not the journal: the index as any mix of its states, with sectors missing, cut short, with or
/// without its log, beside a mark that may be an older one; a snapshot of old and new sectors. What is found must be what the journal says.
/// </summary>
[Collection(TortureCollection.Name)]
public sealed class IndexCutTests(ITestOutputHelper output)
{
    private const int Openings = 5;

    /// <summary>A page of the index file is two sectors.</summary>
    private const int PageSectors = 2;

    private static readonly string[] Lots = ["L0", "L1", "L2"];

    [Fact]
    public Task Whatever_a_power_cut_leaves_of_the_index_what_is_found_is_what_the_journal_says() => LongRun.Seeded(output, async seed =>
    {
        var chance = new Random(seed);
        var figures = new Figures(output, "Index left by a power cut", seed);
        using var folder = new TempFolder();
        var states = await States(folder, chance);
        var (used, tried) = (0, 0);
        for (var image = LongRun.Of(150, 2000); image > 0; image--)
        {
            using var disk = new TempFolder();
            Directory.CreateDirectory(disk.File("sites"));
            Directory.CreateDirectory(disk.File("index"));
            var isWhole = image % 10 == 0;
            var at = chance.Next(isWhole ? states.Count - 1 : 0, states.Count);
            // The journal is never behind the index; one that somebody put back from elsewhere may be.
            var journal = states[chance.Next(8) == 0 ? chance.Next(states.Count) : chance.Next(at, states.Count)];
            foreach (var name in journal.Keys.Where(name => name.StartsWith("sites/", StringComparison.Ordinal))) File.WriteAllBytes(disk.File(name), journal[name]);
            foreach (var name in (string[])["index/query.db", "index/query-log.db", "index/closed"])
            {
                var left = isWhole ? states[at].GetValueOrDefault(name) : Left(name, states, at, chance);
                if (left is not null) File.WriteAllBytes(disk.File(name), left);
            }

            var log = new List<string>();
            using var store = disk.Open(log);
            store.WaitForIndex();
            foreach (var stream in (string[])["S1", "S2"]) Assert.Equal(ByReading(store, stream), ByIndex(store, stream));
            Assert.Null(store.Stopped);
            tried++;
            lock (log) if (!log.Any(line => line.StartsWith("Building the index", StringComparison.Ordinal))) used++;
        }

        figures.Add("Index folders tried", $"{tried}");
        figures.Add("Of these used as they were, all others built anew", $"{used}");
        figures.Publish();
        Assert.InRange(used, 1, tried / 2);
    });

    [Fact]
    public Task Whatever_a_power_cut_leaves_of_a_snapshot_it_is_whole_or_not_used() => LongRun.Seeded(output, async seed =>
    {
        var chance = new Random(seed);
        using var folder = new TempFolder();
        using var store = folder.Open();
        await store.Add("S1", 3);
        var path = folder.File("snapshots/S1.snapshot");
        var bodies = new List<byte[]> { new byte[11_000], new byte[17_000] };
        var files = new List<byte[]>();
        for (var one = 0; one < 2; one++)
        {
            chance.NextBytes(bodies[one]);
            store.Keep("S1", "v1", one + 1, bodies[one]);
            files.Add(await File.ReadAllBytesAsync(path, TestContext.Current.CancellationToken));
        }

        var whole = 0;
        for (var image = LongRun.Of(200, 5000); image > 0; image--)
        {
            var (old, fresh) = chance.Next(2) == 0 ? (files[0], files[1]) : ([], files[chance.Next(2)]);
            var length = chance.Next(3) == 0 ? fresh.Length : chance.Next(fresh.Length + 1);
            var left = Recording.Image(old, fresh, length, _ => chance.Next(4) != 0);
            await File.WriteAllBytesAsync(path, left, TestContext.Current.CancellationToken);
            var isWhole = files.Any(file => file.AsSpan().SequenceEqual(left));
            Assert.Equal(isWhole, store.Find("S1", "v1") is { } found && bodies.Any(body => found.Span.SequenceEqual(body)));
            Assert.True(isWhole || store.Find("S1", "v1") is null);
            if (isWhole) whole++;
        }

        Assert.True(whole > 0);
    });

    /// <summary>All files at moments of a run: at work after each of some batches and closed cleanly, in turn.</summary>
    private static async Task<List<Dictionary<string, byte[]>>> States(TempFolder folder, Random chance)
    {
        var states = new List<Dictionary<string, byte[]>>();
        for (var opening = 0; opening < Openings; opening++)
        {
            using (var store = folder.Open())
            {
                store.WaitForIndex();
                for (var round = 0; round < 2; round++)
                {
                    await store.Add("S1", chance.Next(10, 50));
                    await store.Add("S2", chance.Next(3, 6));
                    // Asking has the rows written at once.
                    Assert.NotEmpty(store.Query(new EntryQuery("S1", "L1")).Entries);
                    Assert.NotEmpty(store.Query(new EntryQuery("S2", "L1")).Entries);
                    states.Add(Files(folder));
                }
            }

            states.Add(Files(folder));
        }

        Assert.Contains(states, state => state.ContainsKey("index/query-log.db"));
        Assert.Equal(Openings, states.Count(state => state.ContainsKey("index/closed")));
        return states;
    }

    private static Dictionary<string, byte[]> Files(TempFolder folder)
    {
        var files = new Dictionary<string, byte[]>();
        foreach (var path in Directory.EnumerateFiles(folder.File("sites")).Concat(Directory.EnumerateFiles(folder.File("index"))))
        {
            using var file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
            var bytes = new byte[file.Length];
            file.ReadExactly(bytes);
            files[Path.GetRelativePath(folder.Path, path).Replace('\\', '/')] = bytes;
        }

        return files;
    }

    private static byte[]? Left(string name, List<Dictionary<string, byte[]>> states, int at, Random chance)
    {
        var known = states.Where(state => state.ContainsKey(name)).Select(state => state[name]).ToList();
        var other = known[chance.Next(known.Count)];
        if (name == "index/closed") return chance.Next(8) switch { 0 => null, 1 => [], 2 => other[..chance.Next(other.Length)], _ => other };
        if (name == "index/query-log.db" && chance.Next(3) != 0) return null;
        var fresh = states[at].GetValueOrDefault(name) ?? other;
        var old = chance.Next(2) == 0 ? [] : other;
        var page = chance.Next(fresh.Length / (PageSectors * Recording.SectorBytes) + 1);
        return chance.Next(8) switch
        {
            0 => fresh,
            > 4 => Recording.Image(other, fresh, fresh.Length, sector => sector / PageSectors != page),
            1 => Recording.Image(old, fresh, chance.Next(fresh.Length + 1), _ => true),
            2 => Recording.Image(old, fresh, fresh.Length, _ => chance.Next(2) == 0),
            _ => Recording.Image(old, fresh, fresh.Length, _ => chance.Next(10) != 0),
        };
    }

    private static string ByReading(Trace.Storage.TraceStore journal, string stream)
    {
        var all = journal.Read(stream).ToList();
        return Text(
            Lots.Select(lot => all.Where(entry => entry.Entry.Lots.Contains(lot))),
            all.Where(entry => entry.Entry.HappenedAt >= Some.Noon.AddSeconds(3) && entry.Entry.HappenedAt < Some.Noon.AddSeconds(200)));
    }

    private static string ByIndex(Trace.Storage.TraceStore journal, string stream) => Text(
        Lots.Select(lot => (IEnumerable<JournalEntry>)journal.Query(new EntryQuery(stream, lot, Limit: 500)).Entries),
        journal.Query(new EntryQuery(stream, HappenedFrom: Some.Noon.AddSeconds(3), HappenedBefore: Some.Noon.AddSeconds(200), Limit: 500)).Entries);

    private static string Text(IEnumerable<IEnumerable<JournalEntry>> byLot, IEnumerable<JournalEntry> byTime) =>
        string.Join('\n', byLot.Append(byTime).Select(list => string.Join(' ', list.Select(entry => $"{entry.Seq}:{entry.Hash}"))));
}
