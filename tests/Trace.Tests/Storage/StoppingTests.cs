using Trace.Core.Journal;
using Trace.Storage;
using Xunit;

namespace Trace.Tests.Storage;

public class StoppingTests
{
    public static TheoryData<int, bool> EachCall()
    {
        var data = new TheoryData<int, bool>();
        for (var call = 1; call <= 10; call++)
        {
            data.Add(call, false);
            data.Add(call, true);
        }

        return data;
    }

    [Theory]
    [MemberData(nameof(EachCall))]
    [Asvs("16.5.2", "16.5.3")]
    public async Task When_the_disk_refuses_writing_stops_and_all_that_was_answered_is_there(int failAt, bool truncateFails)
    {
        using var folder = new TempFolder();
        var plan = new FaultyFile.Plan { FailAt = failAt, TruncateFails = truncateFails };
        var answered = 0L;
        using (var store = folder.Open(files: plan.Open))
        {
            for (var batch = 0; batch < 6; batch++)
            {
                try
                {
                    answered = (await store.Add("S1", 2)).LastSeq;
                    Assert.Null(store.Stopped);
                }
                catch (JournalStoppedException stopped)
                {
                    Assert.Equal(("S1", store.Stopped), (stopped.Stop.Stream, stopped.Stop));
                }
            }

            // A batch is one write and one flush.
            Assert.Equal((failAt - 1) / 2 * 2, answered);
            Assert.Equal(answered, store.Head("S1"));
            Assert.Equal(failAt, plan.Calls);
            Assert.Equal(answered, store.Read("S1").Count());
            Assert.All(store.Query(new EntryQuery("S1", "L1")).Entries, entry => Assert.InRange(entry.Seq, 1, answered));
            await Assert.ThrowsAsync<JournalStoppedException>(() => store.Add("S2"));
            Assert.DoesNotContain("S2", store.Streams);
        }

        using var again = folder.Open();
        Assert.Null(again.Stopped);
        // A whole batch of which only the flush failed may be found if it could not be taken back; never more, never less.
        var mayBeFound = truncateFails && failAt % 2 == 0 ? answered + 2 : answered;
        Assert.Equal(mayBeFound, again.Head("S1"));
        await again.Add("S1");
        Assert.True(TraceStorage.Verify(folder.Path).Sound);
    }

    [Fact]
    [Asvs("16.5.2")]
    public async Task When_the_index_fails_it_is_built_anew_and_the_callers_notice_nothing()
    {
        using var folder = new TempFolder();
        var (calls, log) = (0, new List<string>());
        using var store = TraceStorage.Open(folder.Path, new StorageOptions
        {
            Log = line => { lock (log) log.Add(line); },
            BeforeIndex = () => _ = ++calls == 2 ? throw new InvalidOperationException("index") : 0,
        });
        store.WaitForIndex();
        for (var batch = 0; batch < 3; batch++)
        {
            await store.Add("S1", 2);
            // Each reader wants what was just written, so each batch is a transaction of its own.
            Assert.Equal(batch * 2 + 2, store.Query(new EntryQuery("S1", HappenedFrom: Some.Noon)).Entries.Count);
        }

        store.WaitForIndex();
        Assert.Null(store.Stopped);
        Assert.Equal([2L, 5], store.Query(new EntryQuery("S1", "L2")).Entries.Select(entry => entry.Seq));
        lock (log) Assert.Equal(2, log.Count(line => line.StartsWith("Building the index", StringComparison.Ordinal)));
    }

    [Fact]
    public async Task When_the_index_cannot_be_built_either_writing_goes_on_and_searches_walk_the_journal()
    {
        using var folder = new TempFolder();
        var log = new List<string>();
        using (var store = TraceStorage.Open(folder.Path, new StorageOptions { BeforeIndex = Break, Log = line => { lock (log) log.Add(line); } }))
        {
            store.WaitForIndex();
            Assert.Equal(new Appended(1, 3), await store.Add("S1", 3));
            Assert.Equal([1L, 2, 3], store.Read("S1").Select(entry => entry.Seq));
            Assert.Equal(2, store.Get("S1", 2)!.Seq);
            Assert.Equal(1, store.Query(new EntryQuery("S1", "L1")).Entries.Single().Seq);
            await store.Add("S1");
            Assert.Equal([1L, 4], store.Query(new EntryQuery("S1", "L1")).Entries.Select(entry => entry.Seq));
            Assert.Null(store.Stopped);
            store.WaitForIndex();
            lock (log) Assert.Contains(log, line => line.StartsWith("The index cannot be built", StringComparison.Ordinal));
        }

        File.Delete(folder.File("index"));
        using var again = folder.Open();
        Assert.Equal([1L, 4], again.Query(new EntryQuery("S1", "L1")).Entries.Select(entry => entry.Seq));

        void Break()
        {
            // A file where the folder must be: nothing can be created there.
            if (Directory.Exists(folder.File("index"))) Directory.Delete(folder.File("index"), recursive: true);
            File.WriteAllText(folder.File("index"), "");
            throw new IOException("No space left on device");
        }
    }

    [Fact]
    public async Task Of_a_group_over_two_files_what_was_flushed_before_the_failure_counts()
    {
        using var folder = new TempFolder();
        using var gate = new ManualResetEventSlim();
        var plan = new FaultyFile.Plan();
        using var store = folder.Open(files: plan.Open);
        await store.Add("S1");
        await store.Add("S2");
        using var flushing = new ManualResetEventSlim();
        plan.AtFlush = () =>
        {
            flushing.Set();
            gate.Wait();
        };
        var held = store.Add("S1");
        flushing.Wait(TestContext.Current.CancellationToken);
        var first = store.AppendAsync(new EntryBatch("S1", 2, [Some.Entry()]));
        var second = store.AppendAsync(new EntryBatch("S2", 1, [Some.Entry()]));
        var third = store.AppendAsync(new EntryBatch("S1", 3, [Some.Entry()]));
        plan.FailAt = plan.Calls + 4;
        gate.Set();
        await Task.WhenAll(held, first, third);
        await Assert.ThrowsAsync<JournalStoppedException>(() => second);
        Assert.Equal((4, 1, "S2"), (store.Head("S1"), store.Head("S2"), store.Stopped!.Stream));
    }
}
