using Trace.Core.Journal;
using Trace.Storage;
using Xunit;

namespace Trace.Tests.Storage;

/// <summary>Bytes that change by themselves: on the disk while the program is down, and under a store that is open.</summary>
public class DamageTests
{
    [Fact]
    public async Task Any_flipped_bit_of_a_journal_is_found_and_the_first_bad_entry_is_named()
    {
        using var folder = new TempFolder();
        await folder.Fill(1, 2, 1);
        var sound = await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken);
        // The line that a byte stands in; its newline is part of it.
        var entry = 1L;
        for (var at = 0; at < sound.Length; at++)
        {
            for (var bit = 0; bit < 8; bit++)
            {
                var changed = (byte[])sound.Clone();
                changed[at] ^= (byte)(1 << bit);
                var scan = JournalScan.Walk(new BytesFile(changed), changed.Length);
                Assert.True(scan.Tail == TailKind.Damaged, $"byte {at}, bit {bit}: {scan.Tail}");
                Assert.Equal(entry, scan.Bad!.Seq);
                // The second batch counts as a whole or not at all.
                Assert.Equal(entry is 3 ? 1 : entry - 1, scan.Head.Seq);
            }

            if (sound[at] == (byte)'\n') entry++;
        }

        Assert.Equal(5, entry);
    }

    [Fact]
    public async Task A_store_opened_on_a_flipped_byte_stops_names_the_entry_and_changes_nothing()
    {
        using var folder = new TempFolder();
        await folder.Fill(1, 2, 1);
        var sound = await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken);
        for (var at = 0; at < sound.Length; at += 41)
        {
            var changed = (byte[])sound.Clone();
            changed[at] ^= 4;
            await File.WriteAllBytesAsync(folder.Site, changed, TestContext.Current.CancellationToken);
            using (var store = folder.Open())
            {
                Assert.Equal(1 + sound.AsSpan(0, at).Count((byte)'\n'), store.Stopped!.Seq);
                Assert.Equal(store.Head("S1"), store.Read("S1").LongCount());
                await Assert.ThrowsAsync<JournalStoppedException>(() => store.Add("S2"));
            }

            Assert.Equal(changed, await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken));
        }
    }

    [Theory]
    [InlineData("read")]
    [InlineData("get")]
    [InlineData("query by lot")]
    [InlineData("query by time")]
    public async Task A_byte_that_changes_under_an_open_store_is_found_when_it_is_read_and_stops_writing(string how)
    {
        using var folder = new TempFolder();
        await folder.Fill([.. Enumerable.Repeat(1, 30)]);
        using var store = folder.Open();
        store.WaitForIndex();
        // Entry 15 touches L0 alone.
        await Flip(folder, 15);
        var found = Assert.Throws<JournalDamagedException>(() => how switch
        {
            "read" => store.Read("S1").Count(),
            "get" => store.Get("S1", 15)!.Seq,
            "query by lot" => store.Query(new EntryQuery("S1", "L0")).Entries.Count,
            _ => store.Query(new EntryQuery("S1", HappenedFrom: Some.Noon.AddSeconds(10))).Entries.Count,
        });
        Assert.Equal(("S1", 15L), (found.Stop.Stream, found.Stop.Seq));
        Assert.Equal(found.Stop, store.Stopped);
        await Assert.ThrowsAsync<JournalStoppedException>(() => store.Add("S1"));
        await Assert.ThrowsAsync<JournalStoppedException>(() => store.Add("S2"));

        // What is sound is read on: before it, behind it, and by the index the lots that it does not touch.
        Assert.Equal(14, store.Read("S1").Take(14).Count());
        Assert.Equal(16, store.Get("S1", 16)!.Seq);
        Assert.Equal(14, store.Read("S1", 17).Count());
        Assert.Equal(30, store.Get("S1", 30)!.Seq);
        Assert.Equal(10, store.Query(new EntryQuery("S1", "L1")).Entries.Count);
        Assert.Equal(14, store.Query(new EntryQuery("S1", HappenedBefore: Some.Noon.AddSeconds(15))).Entries.Count);
    }

    [Fact]
    public async Task Damage_found_while_the_index_is_built_stops_writing()
    {
        using var folder = new TempFolder();
        await folder.Fill(1, 1, 1);
        Directory.Delete(folder.File("index"), recursive: true);
        // The start walks the chain and flushes; what is read after that is read for the index.
        var isOpen = false;
        using var store = folder.Open(files: path => new TurningFile(DiskJournalFile.OpenForWriting(path), () => isOpen, () => isOpen = true));
        store.WaitForIndex();
        Assert.Equal(("S1", 1L), (store.Stopped!.Stream, store.Stopped.Seq));
    }

    [Fact]
    public async Task Verify_names_the_first_bad_entry_and_what_hangs_together_behind_it()
    {
        using var folder = new TempFolder();
        await folder.Fill(1, 1, 1, 3, 1, 1, 1);
        await Flip(folder, 5);
        await Flip(folder, 8);
        var stream = TraceStorage.Verify(folder.Path).Streams.Single();
        Assert.Equal((3, 5), (stream.Entries, stream.FirstBad!.Seq));
        Assert.Equal([(4, 4), (6, 7), (9, 9)], stream.Behind.Select(run => (run.FirstSeq, run.LastSeq)));
        var lines = await File.ReadAllLinesAsync(folder.Site, TestContext.Current.CancellationToken);
        Assert.All(stream.Behind, run => Assert.EndsWith($"\"hash\":\"{run.HeadHash}\"}}", lines[run.LastSeq - 1], StringComparison.Ordinal));
        Assert.All(stream.Behind, run => Assert.Equal(lines.Take((int)run.FirstSeq - 1).Sum(line => line.Length + 1), run.ByteOffset));
    }

    /// <summary>Changes one byte in the middle of an entry's line.</summary>
    internal static async Task Flip(TempFolder folder, int seq)
    {
        var bytes = await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken);
        var start = 0;
        for (var line = 1; line < seq; line++) start += bytes.AsSpan(start).IndexOf((byte)'\n') + 1;
        var at = start + 60;
        await using var file = new FileStream(folder.Site, FileMode.Open, FileAccess.Write, FileShare.ReadWrite | FileShare.Delete);
        file.Position = at;
        file.WriteByte((byte)(bytes[at] ^ 1));
    }

    private sealed class BytesFile(byte[] bytes) : IJournalFile
    {
        public long Length => bytes.Length;

        public void Append(ReadOnlySpan<byte> bytes) => throw new NotSupportedException();

        public void Flush() => throw new NotSupportedException();

        public int Read(long offset, Span<byte> buffer)
        {
            var rest = bytes.AsSpan((int)Math.Min(offset, bytes.Length));
            rest = rest[..Math.Min(rest.Length, buffer.Length)];
            rest.CopyTo(buffer);
            return rest.Length;
        }

        public void Truncate(long length) => throw new NotSupportedException();

        public void Dispose()
        {
        }
    }

    /// <summary>Gives other bytes from some moment on.</summary>
    private sealed class TurningFile(IJournalFile inner, Func<bool> hasTurned, Action flushed) : IJournalFile
    {
        public long Length => inner.Length;

        public void Append(ReadOnlySpan<byte> bytes) => inner.Append(bytes);

        public void Flush()
        {
            inner.Flush();
            flushed();
        }

        public int Read(long offset, Span<byte> buffer)
        {
            var got = inner.Read(offset, buffer);
            if (hasTurned() && offset <= 50 && offset + got > 50) buffer[(int)(50 - offset)] ^= 1;
            return got;
        }

        public void Truncate(long length) => inner.Truncate(length);

        public void Dispose() => inner.Dispose();
    }
}
