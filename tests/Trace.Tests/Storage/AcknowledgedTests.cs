using Trace.Core.Journal;
using Trace.Storage;
using Xunit;

namespace Trace.Tests.Storage;

/// <summary>What is known to have been acknowledged is never taken for a write that never finished, however its loss looks.</summary>
public class AcknowledgedTests
{
    [Fact]
    [Asvs("16.4.2", "16.5.3")]
    public async Task An_acknowledged_entry_that_is_lost_later_is_damage_however_the_loss_looks()
    {
        using var folder = new TempFolder();
        await Fill(folder, 3, 9);
        var whole = await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken);
        var losses = new List<byte[]>();
        for (var length = 0; length < whole.Length - 1; length += 13) losses.Add(whole[..length]);
        losses.AddRange(Enumerable.Range(0, whole.Length).Where(at => whole[at] == '\n').SkipLast(1).Select(at => whole[..(at + 1)]));
        for (var sector = 0; sector < whole.Length; sector += 512)
        {
            var changed = (byte[])whole.Clone();
            changed.AsSpan(sector, Math.Min(512, whole.Length - sector)).Clear();
            losses.Add(changed);
        }

        foreach (var lost in losses)
        {
            await File.WriteAllBytesAsync(folder.Site, lost, TestContext.Current.CancellationToken);
            using (var file = DiskJournalFile.OpenForReading(folder.Site))
                Assert.Equal(TailKind.Damaged, JournalScan.Walk(file, file.Length, acknowledged: 12).Tail);
            Assert.False(TraceStorage.Verify(folder.Path).Sound);
            if (losses.IndexOf(lost) % 20 != 0) continue;
            using (var store = folder.Open())
            {
                Assert.Equal("S1", store.Stopped!.Stream);
                Assert.Equal(store.Head("S1"), store.Read("S1").LongCount());
                await Assert.ThrowsAsync<JournalStoppedException>(() => store.Add("S2"));
            }

            Assert.Equal(lost, await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken));
            Assert.Throws<BackupRefusedException>(() => TraceStorage.Backup(folder.Path, folder.File("b.zip")));
            Assert.Throws<BackupRefusedException>(() => TraceStorage.Export(folder.Path, "S1", folder.File("e.jsonl")));
            Assert.Equal(12, AcknowledgedMark.Read(new StoreFolder(folder.Path)).Of("S1"));
        }
    }

    [Fact]
    public async Task Whoever_puts_an_older_journal_back_is_told_how_and_salvage_saves_what_is_there()
    {
        using var folder = new TempFolder();
        using var safe = new TempFolder();
        await Fill(folder, 1, 2);
        var lines = await File.ReadAllLinesAsync(folder.Site, TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(folder.Site, lines[0] + "\n", TestContext.Current.CancellationToken);
        using (var store = folder.Open()) Assert.Contains("entries up to 3 were acknowledged", store.Stopped!.Reason, StringComparison.Ordinal);
        var bad = TraceStorage.Verify(folder.Path).Streams.Single().FirstBad!;
        Assert.Equal((2, lines[0].Length + 1), (bad.Seq, bad.ByteOffset));
        Assert.Contains("delete the file \"acknowledged\"", bad.Reason, StringComparison.Ordinal);
        var saved = TraceStorage.Salvage(folder.Path, safe.File("saved")).Streams.Single();
        Assert.Equal(1, saved.Entries);
        Assert.Contains("DAMAGED at entry 2", saved.Trouble, StringComparison.Ordinal);
        using (var store = TraceStorage.Open(safe.File("saved"))) Assert.Equal(2, (await store.Add("S1")).LastSeq);

        File.Delete(folder.Mark);
        using var again = folder.Open();
        Assert.Equal(2, (await again.Add("S1")).LastSeq);
    }

    [Fact]
    public async Task A_journal_of_which_the_file_is_gone_is_damage()
    {
        using var folder = new TempFolder();
        await Fill(folder, 1);
        using (var store = folder.Open()) await store.Add("S2");
        File.Delete(folder.Site);
        using (var store = folder.Open())
        {
            Assert.Equal(("S1", 1L), (store.Stopped!.Stream, store.Stopped.Seq));
            Assert.Single(store.Read("S2"));
        }

        Assert.Equal(["S1"], TraceStorage.Verify(folder.Path).Streams.Where(stream => stream.FirstBad is not null).Select(stream => stream.Stream));
        Assert.Equal("S1", TraceStorage.Verify(folder.Path, "S1").Streams.Single().Stream);
        Assert.True(TraceStorage.Verify(folder.Path, "S2").Sound);
        Assert.Throws<BackupRefusedException>(() => TraceStorage.Backup(folder.Path, folder.File("b.zip")));
    }

    [Fact]
    public async Task A_mark_cut_at_any_byte_or_changed_only_says_nothing()
    {
        using var folder = new TempFolder();
        await Fill(folder, 1, 2);
        var mark = await File.ReadAllBytesAsync(folder.Mark, TestContext.Current.CancellationToken);
        for (var length = 0; length <= mark.Length; length++)
        {
            await File.WriteAllBytesAsync(folder.Mark, mark[..length], TestContext.Current.CancellationToken);
            Assert.Equal(length == mark.Length ? 3 : 0, AcknowledgedMark.Read(new StoreFolder(folder.Path)).Of("S1"));
            if (length == mark.Length) continue;
            var changed = (byte[])mark.Clone();
            changed[length] ^= 1;
            await File.WriteAllBytesAsync(folder.Mark, changed, TestContext.Current.CancellationToken);
            var log = new List<string>();
            Assert.Equal(0, AcknowledgedMark.Read(new StoreFolder(folder.Path), log.Add).Of("S1"));
            Assert.Single(log);
        }
    }

    [Fact]
    public async Task The_mark_is_never_ahead_of_the_answers_and_follows_them_within_a_moment()
    {
        using var folder = new TempFolder();
        long answered = 0, atFlush = 0;
        var plan = new FaultyFile.Plan();
        plan.AtFlush = () => atFlush = Math.Max(atFlush, AcknowledgedMark.Read(new StoreFolder(folder.Path)).Of("S1") - Interlocked.Read(ref answered));
        using var store = folder.Open(files: plan.Open);
        for (var round = 0; round < 12; round++)
        {
            Interlocked.Exchange(ref answered, (await store.Add("S1", 3)).LastSeq);
            await Task.Delay(120, TestContext.Current.CancellationToken);
        }

        // Under way, since the whole took longer than a second.
        Assert.True(AcknowledgedMark.Read(new StoreFolder(folder.Path)).Of("S1") > 0);
        Assert.True(SpinWait.SpinUntil(() => AcknowledgedMark.Read(new StoreFolder(folder.Path)).Of("S1") == 36, TimeSpan.FromSeconds(10)));
        Assert.Equal(0, atFlush);
    }

    [Fact]
    public async Task A_mark_that_cannot_be_written_is_told_once_and_writing_goes_on()
    {
        using var folder = new TempFolder();
        Directory.CreateDirectory(folder.Mark);
        var log = new List<string>();
        using (var store = folder.Open(log))
        {
            await store.Add("S1");
            Assert.Null(store.Stopped);
        }

        lock (log) Assert.Single(log, line => line.StartsWith("How far the journals were acknowledged", StringComparison.Ordinal));
        Assert.True(TraceStorage.Verify(folder.Path).Sound);
    }

    [Fact]
    public async Task A_backup_put_back_is_what_counts()
    {
        using var folder = new TempFolder();
        await Fill(folder, 1);
        TraceStorage.Backup(folder.Path, folder.File("b.zip"));
        using (var store = folder.Open()) await store.Add("S1", 3);
        TraceStorage.Restore(folder.File("b.zip"), folder.Path, force: true);
        using var again = folder.Open();
        Assert.Null(again.Stopped);
        Assert.Equal(2, (await again.Add("S1")).LastSeq);
    }

    /// <summary>As a program leaves it that was stopped as it should be.</summary>
    private static async Task Fill(TempFolder folder, params int[] sizes)
    {
        using var store = folder.Open();
        foreach (var size in sizes) await store.Add("S1", size);
    }
}
