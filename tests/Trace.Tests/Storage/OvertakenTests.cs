using Trace.Core.Journal;
using Trace.Storage;
using Xunit;

namespace Trace.Tests.Storage;

/// <summary>Somebody else's entry comes between what one program decided one upon the other.</summary>
public class OvertakenTests
{
    [Fact]
    public async Task What_was_decided_on_a_refused_append_is_refused_though_its_number_is_right()
    {
        using var folder = new TempFolder();
        using var gate = new ManualResetEventSlim();
        using var flushing = new ManualResetEventSlim();
        var plan = new FaultyFile.Plan();
        using var store = folder.Open(files: plan.Open);
        await store.Add("S1");
        plan.AtFlush = () =>
        {
            flushing.Set();
            gate.Wait();
        };
        var held = store.Add("S1");
        flushing.Wait(TestContext.Current.CancellationToken);
        var other = store.AppendAsync(new EntryBatch("S1", 2, [Some.Entry(90)]));
        var first = store.AppendAsync(new EntryBatch("S1", 2, [Some.Entry(91)]) { DecidedOn = held });
        var second = store.AppendAsync(new EntryBatch("S1", 3, [Some.Entry(92)]) { DecidedOn = first });
        var third = store.AppendAsync(new EntryBatch("S1", 4, [Some.Entry(93)]) { DecidedOn = second });
        gate.Set();
        Assert.Equal(3, (await other).LastSeq);
        await Assert.ThrowsAsync<HeadMovedException>(() => first);
        await Assert.ThrowsAsync<HeadMovedException>(() => second);
        await Assert.ThrowsAsync<HeadMovedException>(() => third);
        Assert.Equal(3, store.Head("S1"));

        // Decided anew on what is there.
        Assert.Equal(4, (await store.AppendAsync(new EntryBatch("S1", 3, [Some.Entry(91)]) { DecidedOn = other })).LastSeq);
    }

    [Fact]
    public async Task It_is_so_too_when_the_queue_is_full()
    {
        using var folder = new TempFolder();
        using var gate = new ManualResetEventSlim();
        using var flushing = new ManualResetEventSlim();
        var plan = new FaultyFile.Plan();
        using var store = folder.Open(files: plan.Open);
        plan.AtFlush = () =>
        {
            flushing.Set();
            gate.Wait();
        };
        _ = store.AppendAsync(new EntryBatch("S1", 0, [Some.Entry()]));
        flushing.Wait(TestContext.Current.CancellationToken);
        var many = Enumerable.Range(0, 5000).Select(head => store.AppendAsync(new EntryBatch("S2", head, [Some.Entry()]))).ToList();
        var other = store.AppendAsync(new EntryBatch("S1", 1, [Some.Entry(90)]));
        var first = store.AppendAsync(new EntryBatch("S1", 1, [Some.Entry(91)]) { DecidedOn = Task.CompletedTask });
        var second = store.AppendAsync(new EntryBatch("S1", 2, [Some.Entry(92)]) { DecidedOn = first });
        gate.Set();
        await Task.WhenAll(many);
        Assert.Equal(2, (await other).LastSeq);
        await Assert.ThrowsAsync<HeadMovedException>(() => first);
        await Assert.ThrowsAsync<HeadMovedException>(() => second);
    }
}
