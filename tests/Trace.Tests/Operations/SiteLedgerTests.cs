using Trace.Core.Journal;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Operations;

public sealed class SiteLedgerTests
{
    [Fact]
    public async Task A_reader_does_not_see_an_entry_before_it_is_on_the_disk()
    {
        var plant = await Plant.Create();
        var before = plant.Journal.Head(Plant.Code);
        plant.Journal.IsSlow = true;
        var writing = plant.Receive();
        var reading = plant.Site.ReadAsync(state => state.Head);
        Assert.False(writing.IsCompleted);
        Assert.False(reading.IsCompleted);
        plant.Journal.Flush();
        await writing;
        Assert.Equal(before + 1, await reading);
        Assert.Equal(before + 1, plant.Journal.Head(Plant.Code));
    }

    [Fact]
    [Asvs("2.3.3", "16.5.2")]
    public async Task When_the_disk_refuses_the_entry_is_gone_and_reading_goes_on_from_what_is_there()
    {
        var plant = await Plant.Create();
        var kept = await plant.Receive();
        var head = plant.Journal.Head(Plant.Code);
        plant.Journal.IsSlow = true;
        var first = plant.Receive();
        var second = plant.Receive();
        var reading = plant.Site.ReadAsync(state => state.Lots.Count);
        plant.Journal.Stopped = new JournalStop(Plant.Code, null, "no space left");
        plant.Journal.Flush();
        await Assert.ThrowsAsync<JournalStoppedException>(() => first);
        await Assert.ThrowsAsync<JournalStoppedException>(() => second);
        Assert.Equal(1, await reading);
        Assert.Equal(kept, await plant.Site.ReadAsync(state => Assert.Single(state.Lots).Code));
        Assert.Equal(head, plant.Journal.Head(Plant.Code));
    }

    [Fact]
    public async Task Nothing_is_decided_on_an_append_that_failed_before_its_caller_has_dropped_the_state()
    {
        var plant = await Plant.Create();
        await plant.Receive();
        var failed = plant.State;
        plant.Site.Follow(Task.FromException<Appended>(new HeadMovedException(Plant.Code, failed.Head, failed.Head + 1)));
        Assert.NotSame(failed, plant.State);
        Assert.Equal(plant.Journal.Head(Plant.Code), plant.State.Head);
    }
}
