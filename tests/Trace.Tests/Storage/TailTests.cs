using Trace.Core.Journal;
using Trace.Storage;
using Xunit;

namespace Trace.Tests.Storage;

public class TailTests
{
    [Fact]
    [Asvs("2.3.3")]
    public async Task A_write_cut_at_any_byte_is_cut_off_and_the_batch_before_stays()
    {
        using var folder = new TempFolder();
        var ends = await folder.Fill(1, 2, 3);
        var whole = await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken);
        for (var length = ends[1] + 1; length < ends[2]; length++)
        {
            await File.WriteAllBytesAsync(folder.Site, whole[..(int)length], TestContext.Current.CancellationToken);
            var scan = Scan(folder);
            Assert.Equal(3, scan.Head.Seq);
            // Only the newline is missing: the batch is there, and is kept.
            Assert.Equal(length == ends[2] - 1 ? TailKind.NewlineMissing : TailKind.Torn, scan.Tail);
            if (length % 97 != 0 && length < ends[2] - 2) continue;
            var log = new List<string>();
            using (var store = folder.Open(log))
            {
                Assert.Null(store.Stopped);
                Assert.Equal(length == ends[2] - 1 ? 6 : 3, store.Head("S1"));
                lock (log) Assert.Contains(log, line => line.Contains("S1", StringComparison.Ordinal));
            }

            Assert.Equal(length == ends[2] - 1 ? ends[2] : ends[1], new FileInfo(folder.Site).Length);
        }
    }

    [Fact]
    [Asvs("16.4.2", "16.5.3")]
    public async Task A_changed_byte_anywhere_stops_writing_and_is_never_cut_off()
    {
        using var folder = new TempFolder();
        await folder.Fill(1, 2, 1);
        var whole = await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken);
        var starts = Enumerable.Range(0, whole.Length).Where(at => at == 0 || whole[at - 1] == '\n').ToList();
        for (var at = 0; at < whole.Length; at++)
        {
            for (var bit = 0; bit < 8; bit++)
            {
                var changed = (byte[])whole.Clone();
                changed[at] ^= (byte)(1 << bit);
                await File.WriteAllBytesAsync(folder.Site, changed, TestContext.Current.CancellationToken);
                var scan = Scan(folder);
                Assert.True(scan.Tail == TailKind.Damaged, $"byte {at}, bit {bit}: {scan.Tail}, {scan.Reason}");
                Assert.Equal(starts.FindLastIndex(start => start <= at) + 1, scan.Bad!.Seq);
                Assert.Equal(starts.FindLast(start => start <= at), scan.Bad.ByteOffset);
            }
        }
    }

    [Theory]
    [InlineData(1, 0)]
    [InlineData(2, 1)]
    [InlineData(4, 3)]
    public async Task A_damaged_journal_opens_for_reading_what_is_sound(int badSeq, int soundSeq)
    {
        using var folder = new TempFolder();
        await folder.Fill(1, 2, 1);
        var bytes = await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken);
        var at = bytes.Index().Where(pair => pair.Index == 0 || bytes[pair.Index - 1] == '\n').ElementAt(badSeq - 1).Index + 60;
        bytes[at] ^= 1;
        await File.WriteAllBytesAsync(folder.Site, bytes, TestContext.Current.CancellationToken);

        using var store = folder.Open();
        Assert.Equal(("S1", badSeq), (store.Stopped!.Stream, store.Stopped.Seq));
        Assert.Equal(soundSeq, store.Head("S1"));
        Assert.Equal(soundSeq, store.Read("S1").Count());
        Assert.Equal(Enumerable.Range(1, soundSeq).Where(seq => seq % 3 == 1).Select(seq => (long)seq),
            store.Query(new EntryQuery("S1", "L1")).Entries.Select(entry => entry.Seq));
        await Assert.ThrowsAsync<JournalStoppedException>(() => store.Add("S1"));
        await Assert.ThrowsAsync<JournalStoppedException>(() => store.Add("S2"));
        Assert.Equal(bytes, await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken));
        var bad = TraceStorage.Verify(folder.Path).Streams.Single().FirstBad!;
        Assert.Equal(badSeq, bad.Seq);
        Assert.Throws<BackupRefusedException>(() => TraceStorage.Backup(folder.Path, folder.File("b.zip")));
    }

    [Theory]
    [InlineData(0.0)]
    [InlineData(0.3)]
    [InlineData(0.7)]
    [InlineData(0.95)]
    public async Task After_a_power_cut_no_answered_entry_is_cut_off_whatever_sectors_of_the_last_write_are_missing(double persisting)
    {
        using var folder = new TempFolder();
        var ends = await folder.Fill(1, 2, 9);
        var whole = await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken);
        var chance = new Random(7);
        var kinds = new Dictionary<TailKind, int>();
        for (var image = 0; image < 300; image++)
        {
            var bytes = (byte[])whole.Clone();
            for (var sector = ends[1] / 512 * 512; sector < bytes.Length; sector += 512)
            {
                if (chance.NextDouble() < persisting) continue;
                var start = (int)Math.Max(sector, ends[1]);
                bytes.AsSpan(start, (int)Math.Min(sector + 512, bytes.Length) - start).Clear();
            }

            await File.WriteAllBytesAsync(folder.Site, bytes, TestContext.Current.CancellationToken);
            var scan = Scan(folder);
            kinds[scan.Tail] = kinds.GetValueOrDefault(scan.Tail) + 1;
            Assert.True(scan.Tail == TailKind.None ? scan.Head.Seq == 12 : scan.Head.Seq == 3, $"image {image}: {scan}");
        }

        // One group of one batch: missing sectors are recognised, so a plant is not stopped by a power cut.
        Assert.False(kinds.ContainsKey(TailKind.Damaged), string.Join(' ', kinds));
    }

    [Fact]
    public async Task Zeros_before_a_sound_later_batch_are_damage()
    {
        using var folder = new TempFolder();
        var ends = await folder.Fill(1, 9, 1);
        var bytes = await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken);
        bytes.AsSpan((int)(ends[0] / 512 * 512) + 512, 512).Clear();
        await File.WriteAllBytesAsync(folder.Site, bytes, TestContext.Current.CancellationToken);
        Assert.Equal((TailKind.Damaged, 1), (Scan(folder).Tail, Scan(folder).Head.Seq));
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task Zeros_before_a_sound_batch_are_torn_if_both_were_one_write_and_damage_if_more_was_written_after_the_flush(
        bool wroteOn)
    {
        using var folder = new TempFolder();
        using var gate = new ManualResetEventSlim();
        using var flushing = new ManualResetEventSlim();
        var plan = new FaultyFile.Plan();
        long first, second;
        using (var store = folder.Open(files: plan.Open))
        {
            plan.AtFlush = () =>
            {
                flushing.Set();
                gate.Wait();
            };
            var alone = store.AppendAsync(new EntryBatch("S1", 0, [Some.Entry()]));
            flushing.Wait(TestContext.Current.CancellationToken);
            var large = Some.Entry(2) with { Payload = $"{{\"text\":\"{new string('x', 2000)}\"}}" };
            var together = new[] { store.AppendAsync(new EntryBatch("S1", 1, [large])), store.AppendAsync(new EntryBatch("S1", 2, [large, large])) };
            gate.Set();
            first = (await alone).LastSeq;
            await Task.WhenAll(together);
            second = new FileInfo(folder.Site).Length;
            Assert.Equal(2, plan.Writes);
            if (wroteOn) await store.Add("S1");
        }

        File.Delete(folder.Mark);
        var lines = await File.ReadAllLinesAsync(folder.Site, TestContext.Current.CancellationToken);
        Assert.Equal([1L, 1, 1], lines[1..4].Select(line => EntryText.ReadLink(System.Text.Encoding.UTF8.GetBytes(line), out _)!.Value.Flushed));
        Assert.Equal(["{\"seq\":2,\"part\":1,\"parts\":1,\"r", "{\"seq\":3,\"part\":1,\"parts\":2,\"f"], lines[1..3].Select(line => line[..30]));
        var bytes = await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken);
        bytes.AsSpan((lines[0].Length + 1 + 511) / 512 * 512, 512).Clear();
        await File.WriteAllBytesAsync(folder.Site, bytes, TestContext.Current.CancellationToken);
        Assert.Equal((wroteOn ? TailKind.Damaged : TailKind.Torn, first), (Scan(folder).Tail, Scan(folder).Head.Seq));
        Assert.InRange(second, 6000, bytes.Length);
    }

    [Fact]
    public async Task Rot_in_an_answered_batch_is_not_excused_by_sectors_that_a_later_write_lost()
    {
        using var folder = new TempFolder();
        var ends = await folder.Fill(1, 1, 9);
        var bytes = await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken);
        bytes.AsSpan((int)ends[1]).Clear();
        await File.WriteAllBytesAsync(folder.Site, bytes, TestContext.Current.CancellationToken);
        Assert.Equal((TailKind.Torn, 2), (Scan(folder).Tail, Scan(folder).Head.Seq));
        bytes[ends[0] + 60] ^= 1;
        await File.WriteAllBytesAsync(folder.Site, bytes, TestContext.Current.CancellationToken);
        Assert.Equal((TailKind.Damaged, 1), (Scan(folder).Tail, Scan(folder).Head.Seq));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(7)]
    [InlineData(300)]
    public async Task However_few_bytes_of_a_lost_sector_belong_to_the_write_it_is_torn(int bytesInLastSector)
    {
        using var folder = new TempFolder();
        var ends = await folder.Fill(1);
        // The second line ends so many bytes behind a border, its newline among them.
        using (var store = folder.Open())
        {
            await store.AppendAsync(new EntryBatch("S1", 1, [Some.Entry(2) with { Payload = Filler(0) }]));
            File.Delete(folder.Mark);
        }

        var length = new FileInfo(folder.Site).Length;
        var missing = (int)((bytesInLastSector - length % 512 + 512) % 512);
        await File.WriteAllBytesAsync(folder.Site, (await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken))[..(int)ends[0]], TestContext.Current.CancellationToken);
        File.Delete(folder.Mark);
        using (var store = folder.Open()) await store.AppendAsync(new EntryBatch("S1", 1, [Some.Entry(2) with { Payload = Filler(missing) }]));
        File.Delete(folder.Mark);
        var bytes = await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken);
        Assert.Equal(bytesInLastSector, bytes.Length % 512);
        bytes.AsSpan(bytes.Length - bytesInLastSector).Clear();
        await File.WriteAllBytesAsync(folder.Site, bytes, TestContext.Current.CancellationToken);
        Assert.Equal((TailKind.Torn, 1), (Scan(folder).Tail, Scan(folder).Head.Seq));

        static string Filler(int length) => $"{{\"text\":\"{new string('x', 600 + length)}\"}}";
    }

    [Fact]
    public async Task Lines_swapped_dropped_or_repeated_are_damage()
    {
        using var folder = new TempFolder();
        await folder.Fill(1, 1, 1, 1);
        var lines = await File.ReadAllLinesAsync(folder.Site, TestContext.Current.CancellationToken);
        foreach (var order in (int[][])[[1, 0, 2, 3], [0, 2, 3], [0, 1, 1, 2, 3], [1, 2, 3], [0, 1, 2, 3, 3]])
        {
            var text = string.Concat(order.Select(at => lines[at] + "\n"));
            await File.WriteAllTextAsync(folder.Site, text, TestContext.Current.CancellationToken);
            Assert.Equal(TailKind.Damaged, Scan(folder).Tail);
        }
    }

    private static ScanResult Scan(TempFolder folder)
    {
        using var file = DiskJournalFile.OpenForReading(folder.Site);
        return JournalScan.Walk(file, file.Length);
    }
}
