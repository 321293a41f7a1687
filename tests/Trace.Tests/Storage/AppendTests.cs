using Trace.Core.Journal;
using Trace.Storage;
using Xunit;

namespace Trace.Tests.Storage;

public class AppendTests
{
    [Fact]
    public async Task What_is_appended_reads_back_also_after_a_restart()
    {
        using var folder = new TempFolder();
        var odd = Some.Entry(1, "A-1", "Ä 2", "🐛", "A-1") with
        {
            Person = " Åsa \"x\"\n",
            Device = "\u0000\u2028",
            Payload = "{ \"a\": 1.10, \"a\": \"\\ud800\" }",
            RequestKey = "",
            RequestHash = "h",
            Answer = "null",
            HappenedAt = new DateTimeOffset(2026, 10, 25, 2, 30, 0, 1, TimeSpan.FromMinutes(-210)).AddTicks(7),
        };
        using (var store = folder.Open())
        {
            Assert.Empty(store.Streams);
            Assert.Equal(0, store.Head("S1"));
            Assert.Equal(new Appended(1, 1), await store.AppendAsync(new EntryBatch("S1", 0, [odd])));
            Assert.Equal(new Appended(2, 4), await store.Add("S1", 3));
            Assert.Equal(new Appended(1, 1), await store.Add(JournalStreams.Access));
            Check(store);
        }

        using (var store = folder.Open()) Check(store);

        void Check(TraceStore store)
        {
            Assert.Equal(["S1", "access"], store.Streams);
            Assert.Null(store.Stopped);
            Assert.Equal(4, store.Head("S1"));
            var read = store.Read("S1").ToList();
            Assert.Equal([1, 2, 3, 4], read.Select(entry => entry.Seq));
            Assert.Equal([(1, 1), (1, 3), (2, 3), (3, 3)], read.Select(entry => (entry.Part, entry.Parts)));
            Assert.Equal([EntryText.NoHash, .. read.Take(3).Select(entry => entry.Hash)], read.Select(entry => entry.PreviousHash));
            Assert.Equal(odd.Lots, read[0].Entry.Lots);
            Assert.Equal(odd, read[0].Entry with { Lots = odd.Lots });
            Assert.Equal(odd.HappenedAt.Offset, read[0].Entry.HappenedAt.Offset);
            Assert.Equal(1, store.Query(new EntryQuery("S1", "🐛")).Entries.Single().Seq);
            Assert.Equal(1, store.Query(new EntryQuery("S1", "A-1")).Entries.Single().Seq);
            for (var seq = 1; seq <= 4; seq++)
            {
                Assert.Equal(read[seq - 1].Hash, store.Get("S1", seq)!.Hash);
                Assert.Equal(read[(seq - 1)..].Select(entry => entry.Hash), store.Read("S1", seq).Select(entry => entry.Hash));
            }

            Assert.Null(store.Get("S1", 0));
            Assert.Null(store.Get("S1", 5));
            Assert.Null(store.Get("S9", 1));
            Assert.Empty(store.Read("S1", 5));
            Assert.Empty(store.Read("S9"));
        }
    }

    [Fact]
    public async Task A_batch_on_another_head_is_refused_and_nothing_of_it_counts()
    {
        using var folder = new TempFolder();
        using var store = folder.Open();
        await store.Add("S1", 2);
        foreach (var wrong in (long[])[0, 1, 3])
        {
            var moved = await Assert.ThrowsAsync<HeadMovedException>(() => store.AppendAsync(new EntryBatch("S1", wrong, [Some.Entry()])));
            Assert.Equal(2, moved.Actual);
        }

        Assert.Equal(2, store.Head("S1"));
        Assert.Equal(new Appended(3, 3), await store.Add("S1"));
    }

    [Fact]
    public async Task Batches_are_taken_in_the_order_of_the_calls()
    {
        using var folder = new TempFolder();
        using var store = folder.Open();
        var tasks = Enumerable.Range(0, 6000).Select(head => store.AppendAsync(new EntryBatch("S1", head, [Some.Entry(head)]))).ToList();
        var places = await Task.WhenAll(tasks);
        Assert.Equal(Enumerable.Range(1, 6000).Select(seq => (long)seq), places.Select(place => place.FirstSeq));
    }

    [Fact]
    public async Task Eight_callers_share_flushes_and_lose_nothing()
    {
        using var folder = new TempFolder();
        var plan = new FaultyFile.Plan();
        using var store = folder.Open(files: plan.Open);
        var refused = 0;
        await Task.WhenAll(Enumerable.Range(0, 8).Select(caller => Task.Run(async () =>
        {
            for (var done = 0; done < 50;)
            {
                try
                {
                    await store.AppendAsync(new EntryBatch("S1", store.Head("S1"), [Some.Entry(caller), Some.Entry(caller)]));
                    done++;
                }
                catch (HeadMovedException)
                {
                    Interlocked.Increment(ref refused);
                }
            }
        })));
        Assert.Equal(800, store.Head("S1"));
        var said = store.Read("S1").CountBy(entry => entry.Entry.Payload).ToDictionary();
        Assert.All(Enumerable.Range(0, 8), caller => Assert.Equal(100, said[$"{{\"number\":{caller}}}"]));
        Assert.All(store.Read("S1").Chunk(2), pair => Assert.Equal(pair[0].Entry.Payload, pair[1].Entry.Payload));
        Assert.True(TraceStorage.Verify(folder.Path).Sound);
        Assert.InRange(plan.Flushes, 1, 400);
    }

    [Fact]
    public async Task Batches_that_wait_are_written_and_flushed_together()
    {
        using var folder = new TempFolder();
        using var gate = new ManualResetEventSlim();
        var plan = new FaultyFile.Plan();
        using var store = folder.Open(files: plan.Open);
        plan.AtFlush = gate.Wait;
        var first = store.AppendAsync(new EntryBatch("S1", 0, [Some.Entry()]));
        while (plan.Writes == 0) await Task.Yield();
        var waiting = Enumerable.Range(1, 40).Select(head => store.AppendAsync(new EntryBatch("S1", head, [Some.Entry()]))).ToList();
        var wrong = store.AppendAsync(new EntryBatch("S1", 7, [Some.Entry()]));
        Assert.Equal(0, store.Head("S1"));
        Assert.False(first.IsCompleted);
        gate.Set();
        await Task.WhenAll(waiting);
        await Assert.ThrowsAsync<HeadMovedException>(() => wrong);
        Assert.Equal((41, 2, 2), (store.Head("S1"), plan.Writes, plan.Flushes));
    }

    [Fact]
    public async Task A_batch_that_can_never_be_kept_is_refused_alone()
    {
        using var folder = new TempFolder();
        using var store = folder.Open();
        await store.Add("S1");
        var good = Some.Entry();
        EntryBatch[] bad =
        [
            new("S1", 1, []), new("s1", 0, [good]), new("../S1", 0, [good]), new("", 0, [good]), new("S1\n", 0, [good]),
            new("S1", 1, [good, good with { Payload = "{" }]), new("S1", 1, [good with { Lots = [""] }]),
            new("S1", 1, [good with { Lots = ["a\u0001"] }]),
            new("S1", 1, [good with { Lots = [new string('x', 101)] }]), new("S1", 1, [good with { Person = "\ud800" }]),
        ];
        foreach (var batch in bad) await Assert.ThrowsAsync<ArgumentException>(() => store.AppendAsync(batch));
        var huge = good with { Payload = "{\"a\":\"" + new string('x', 9 << 20) + "\"}" };
        var big = store.AppendAsync(new EntryBatch("S1", 1, [huge, huge]));
        var after = store.AppendAsync(new EntryBatch("S1", 1, [huge]));
        await Assert.ThrowsAsync<ArgumentException>(() => big);
        Assert.Equal(new Appended(2, 2), await after);
        Assert.Equal(huge.Payload, store.Get("S1", 2)!.Entry.Payload);
        Assert.True(TraceStorage.Verify(folder.Path).Sound);
    }

    [Fact]
    public async Task What_was_answered_is_found_at_once_by_readers_beside_the_writer()
    {
        using var folder = new TempFolder();
        using var store = folder.Open();
        var writing = Task.Run(
            async () =>
            {
                while (store.Head("S1") < 900) await store.Add("S1", 3);
            },
            TestContext.Current.CancellationToken);
        var reading = Enumerable.Range(0, 2).Select(_ => Task.Run(
            () =>
            {
                while (!writing.IsCompleted)
                {
                    var head = store.Head("S1");
                    if (head == 0) continue;
                    var page = store.Query(new EntryQuery("S1", "L1", After: Math.Max(0, head - 300), Limit: 500)).Entries;
                    Assert.Equal((head - Math.Max(0, head - 300)) / 3, page.Count(entry => entry.Seq <= head));
                    Assert.Equal(head, store.Get("S1", head)!.Seq);
                    Assert.Equal(head, store.Read("S1", Math.Max(1, head - 5)).First(entry => entry.Seq == head).Seq);
                }
            },
            TestContext.Current.CancellationToken));
        await Task.WhenAll([writing, .. reading]);
        Assert.Equal(900, store.Head("S1"));
    }

    [Fact]
    public async Task Verifying_beside_a_running_store_counts_whole_batches()
    {
        using var folder = new TempFolder();
        using var store = folder.Open();
        await store.Add("S1", 3);
        await store.Add("S2");
        var (all, one) = (TraceStorage.Verify(folder.Path), TraceStorage.Verify(folder.Path, "S2", new Last()));
        Assert.True(all.Sound);
        Assert.Equal([("S1", 3L, store.Get("S1", 3)!.Hash), ("S2", 1L, store.Get("S2", 1)!.Hash)],
            all.Streams.Select(stream => (stream.Stream, stream.Entries, stream.HeadHash)));
        Assert.Equal(all.Streams[1], one.Streams.Single());
        Assert.Throws<FileNotFoundException>(() => TraceStorage.Verify(folder.Path, "S3"));
        Assert.Throws<FileNotFoundException>(() => TraceStorage.Verify(folder.Path, "../S1"));
    }

    [Fact]
    public void Only_these_types_can_be_seen_from_outside_and_none_speaks_of_the_driver()
    {
        var seen = typeof(TraceStorage).Assembly.GetExportedTypes();
        string[] meant =
        [
            nameof(BackupRefusedException), nameof(BadEntry), nameof(SalvageReport), nameof(SalvagedRun), nameof(SoundRun),
            nameof(StorageOptions), nameof(StoreInUseException), nameof(StreamReport), nameof(StreamSalvage), nameof(TraceStorage), nameof(TraceStore), nameof(VerifyProgress), nameof(VerifyReport),
        ];
        Assert.Equal(meant, seen.Select(type => type.Name).Order(StringComparer.Ordinal));
        Assert.DoesNotContain(
            seen.SelectMany(type => type.GetMembers()),
            member => member.ToString()!.Contains("LiteDB", StringComparison.Ordinal));
    }

    private sealed class Last : IProgress<VerifyProgress>
    {
        public void Report(VerifyProgress value) => Assert.Equal(("S2", 1, value.TotalBytes), (value.Stream, value.Entries, value.Bytes));
    }

    [Fact]
    public async Task A_second_store_on_the_same_folder_is_refused()
    {
        using var folder = new TempFolder();
        using (var store = folder.Open())
        {
            await store.Add("S1");
            Assert.Throws<StoreInUseException>(() => folder.Open());
            await store.Add("S1");
        }

        using var next = folder.Open();
        Assert.Equal(2, next.Head("S1"));
    }

    [Fact]
    public async Task After_closing_nothing_can_be_appended_and_what_waited_is_there()
    {
        using var folder = new TempFolder();
        var store = folder.Open();
        var waiting = Enumerable.Range(0, 100).Select(head => store.AppendAsync(new EntryBatch("S1", head, [Some.Entry()]))).ToList();
        store.Dispose();
        await Task.WhenAll(waiting);
        await Assert.ThrowsAsync<ObjectDisposedException>(() => store.Add("S1"));
        Assert.Equal(100, TraceStorage.Verify(folder.Path).Streams.Single().Entries);
    }

    [Fact]
    [Asvs("13.3.2", "16.4.2")]
    public void The_data_folder_is_private()
    {
        if (OperatingSystem.IsWindows()) return;
        using var folder = new TempFolder();
        var data = folder.File("data");
        using (TraceStorage.Open(data))
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute, File.GetUnixFileMode(data));
    }
}
