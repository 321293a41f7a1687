using Trace.Core.Journal;
using Trace.Storage;
using Xunit;

namespace Trace.Tests.Storage;

public class SalvageTests
{
    [Fact]
    public async Task Damaged_in_the_middle_the_beginning_can_be_opened_and_the_rest_stands_apart()
    {
        using var folder = new TempFolder();
        using var safe = new TempFolder();
        await folder.Fill(1, 1, 1, 1, 1, 1);
        using (var store = folder.Open()) await store.Add("S2", 2);
        var lines = await File.ReadAllLinesAsync(folder.Site, TestContext.Current.CancellationToken);
        await DamageTests.Flip(folder, 4);
        var before = await Contents(folder.Path);

        var report = TraceStorage.Salvage(folder.Path, safe.File("saved"));
        Assert.Equal(before, await Contents(folder.Path));
        Assert.Equal(["S1", "S2"], report.Streams.Select(stream => stream.Stream));
        var (damaged, sound) = (report.Streams[0], report.Streams[1]);
        Assert.Equal((3, 2), (damaged.Entries, sound.Entries));
        Assert.Equal([(4, 4)], damaged.Missing);
        Assert.Equal([(5, 6)], damaged.Runs.Select(run => (run.FirstSeq, run.LastSeq)));
        Assert.Equal(("", 0), (sound.Trouble, sound.Runs.Count + sound.Missing.Count));

        Assert.Equal(lines[..3], await File.ReadAllLinesAsync(safe.File("saved/sites/S1.jsonl"), TestContext.Current.CancellationToken));
        Assert.Equal(lines[4..], await File.ReadAllLinesAsync(safe.File("saved/" + damaged.Runs[0].File), TestContext.Current.CancellationToken));
        var text = await File.ReadAllLinesAsync(safe.File("saved/report.txt"), TestContext.Current.CancellationToken);
        Assert.Equal(report.Lines, text);
        Assert.Contains("S1: MISSING entry 4", text);
        Assert.Contains("S1: entries 5 to 6 hold among themselves but are cut off from the chain: cut-off/S1-1-from-5.jsonl", text);
        Assert.True(TraceStorage.Verify(safe.File("saved")).Sound);
        using var again = TraceStorage.Open(safe.File("saved"));
        Assert.Equal((3, 2), (again.Head("S1"), again.Head("S2")));
        Assert.Equal(4, (await again.Add("S1")).LastSeq);
    }

    [Fact]
    public async Task Damaged_in_several_places_each_sound_run_is_saved_to_the_letter()
    {
        using var folder = new TempFolder();
        using var safe = new TempFolder();
        await folder.Fill(2, 3, 1, 1, 1, 1, 1, 1);
        var lines = await File.ReadAllLinesAsync(folder.Site, TestContext.Current.CancellationToken);
        // The third part of a batch, a newline, and zeros over an end and the beginning behind it.
        await DamageTests.Flip(folder, 5);
        var bytes = await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken);
        bytes[lines[..7].Sum(line => line.Length + 1) - 1] = (byte)'x';
        var zeros = lines[..9].Sum(line => line.Length + 1);
        bytes.AsSpan(zeros - 30, 60).Clear();
        await File.WriteAllBytesAsync(folder.Site, bytes, TestContext.Current.CancellationToken);

        var stream = TraceStorage.Salvage(folder.Path, safe.File("saved")).Streams.Single();
        Assert.Equal(2, stream.Entries);
        Assert.Equal([(3, 4), (6, 8), (11, 11)], stream.Runs.Select(run => (run.FirstSeq, run.LastSeq)));
        Assert.Equal([(5, 5), (9, 10)], stream.Missing);
        foreach (var run in stream.Runs)
        {
            var saved = await File.ReadAllLinesAsync(safe.File("saved/" + run.File), TestContext.Current.CancellationToken);
            Assert.Equal(lines[((int)run.FirstSeq - 1)..(int)run.LastSeq], saved);
        }

        Assert.Equal(stream.Runs.Count, Directory.GetFiles(safe.File("saved/cut-off")).Length);
    }

    [Fact]
    public async Task When_the_first_entry_is_bad_no_journal_is_written_but_all_behind_it_is()
    {
        using var folder = new TempFolder();
        using var safe = new TempFolder();
        await folder.Fill(1, 1, 1);
        await DamageTests.Flip(folder, 1);
        var stream = TraceStorage.Salvage(folder.Path, safe.File("saved")).Streams.Single();
        Assert.Equal((0, EntryText.NoHash), (stream.Entries, stream.HeadHash));
        Assert.Equal([(2, 3)], stream.Runs.Select(run => (run.FirstSeq, run.LastSeq)));
        Assert.False(File.Exists(safe.File("saved/sites/S1.jsonl")));
    }

    [Fact]
    public async Task An_unfinished_end_is_left_out_and_a_missing_newline_put_back()
    {
        using var folder = new TempFolder();
        using var safe = new TempFolder();
        var ends = await folder.Fill(1, 2, 1);
        var bytes = await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken);
        await File.WriteAllBytesAsync(folder.Site, bytes[..^1], TestContext.Current.CancellationToken);
        Assert.Equal((4, ""), TraceStorage.Salvage(folder.Path, safe.File("whole")).Streams.Select(one => (one.Entries, one.Trouble)).Single());
        Assert.Equal(bytes, await File.ReadAllBytesAsync(safe.File("whole/sites/S1.jsonl"), TestContext.Current.CancellationToken));

        await File.WriteAllBytesAsync(folder.Site, bytes[..(int)(ends[1] - 20)], TestContext.Current.CancellationToken);
        var torn = TraceStorage.Salvage(folder.Path, safe.File("torn")).Streams.Single();
        Assert.Equal((1, true), (torn.Entries, torn.Trouble.Contains("never finished", StringComparison.Ordinal)));
        Assert.Equal([(2, 2)], torn.Runs.Select(run => (run.FirstSeq, run.LastSeq)));
    }

    [Fact]
    public async Task Nothing_is_written_over_nor_into_the_data_folder()
    {
        using var folder = new TempFolder();
        using var safe = new TempFolder();
        await folder.Fill(1);
        Assert.Throws<IOException>(() => TraceStorage.Salvage(folder.Path, safe.Path));
        Assert.Throws<IOException>(() => TraceStorage.Salvage(folder.Path, folder.File("saved")));
        Assert.Throws<FileNotFoundException>(() => TraceStorage.Salvage(safe.Path, safe.File("saved")));
        Assert.Empty(Directory.EnumerateFileSystemEntries(safe.Path));
        Assert.False(Directory.Exists(folder.File("saved")));
    }

    private static async Task<List<(string Path, string Content)>> Contents(string folder)
    {
        var contents = new List<(string, string)>();
        foreach (var path in Directory.EnumerateFiles(folder, "*", SearchOption.AllDirectories).Order())
            contents.Add((path, Convert.ToHexString(await File.ReadAllBytesAsync(path, TestContext.Current.CancellationToken))));
        return contents;
    }
}
