using Trace.Core.Journal;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Steps.Packing;
using Trace.Core.Steps.Receiving;
using Trace.Tests.Support;
using Xunit;
using Outcome = Trace.Core.Operations.Outcome;

namespace Trace.Tests.Steps;

public sealed class WritePathTests
{
    [Fact]
    public async Task The_same_key_and_request_get_the_first_answer_again()
    {
        var plant = await Plant.Create();
        var request = new ReceiveLarvae("Example farm", 10, plant.Now);
        var first = await plant.Run("receiving/receive", request, "key-1");
        plant.Later(60);
        var head = plant.Journal.Head(Plant.Code);
        var again = await plant.Run("receiving/receive", request, "key-1");
        Assert.Equal(first.AnswerText, again.AnswerText);
        Assert.Equal((first.Answer!.Seq, first.Answer.Lot, first.Answer.OnHandGrams), (again.Answer!.Seq, again.Answer.Lot, again.Answer.OnHandGrams));
        Assert.Equal(first.Answer.Holds.Select(hold => hold.Reason), again.Answer.Holds.Select(hold => hold.Reason));
        Assert.Equal(head, plant.Journal.Head(Plant.Code));

        // Also after a restart.
        Assert.Equal(first.AnswerText, (await plant.Beside().Run("receiving/receive", request, "key-1")).AnswerText);
    }

    [Fact]
    public async Task The_same_key_with_another_request_is_refused()
    {
        var plant = await Plant.Create();
        var request = new ReceiveLarvae("Example farm", 10, plant.Now);
        Assert.True((await plant.Run("receiving/receive", request, "key-1")).IsRecorded);
        var other = await plant.Run("receiving/receive", request with { MassGrams = 11 }, "key-1");
        Assert.Equal("request.key-reused", Assert.Single(other.Refusals).Code);
        Assert.Single(plant.State.Lots);
    }

    [Fact]
    public async Task The_same_request_for_another_operation_is_another_request()
    {
        var plant = await Plant.Create();
        var lot = await plant.Receive();
        var request = new Core.Stock.StockRequest(lot, "mouldy", plant.Now, 10);
        Assert.True((await plant.Run("stock/dispose", request, "key-1")).IsRecorded);
        Assert.Equal("request.key-reused", Assert.Single((await plant.Run("stock/sample", request, "key-1")).Refusals).Code);
    }

    [Fact]
    public async Task A_refused_request_uses_up_no_key()
    {
        var plant = await Plant.Create();
        var request = new ReceiveLarvae("Example farm", 10, plant.Now.AddHours(1));
        Assert.False((await plant.Run("receiving/receive", request, "key-1")).IsRecorded);
        plant.Later(60);
        Assert.True((await plant.Run("receiving/receive", request, "key-1")).IsRecorded);
    }

    [Fact]
    public async Task Many_callers_with_one_key_at_once_record_one_entry_and_get_one_answer()
    {
        var plant = await Plant.Create();
        var request = new ReceiveLarvae("Example farm", 10, plant.Now);
        plant.Journal.IsSlow = true;
        var calls = Enumerable.Range(0, 8).Select(_ => Task.Run(() => plant.Run("receiving/receive", request, "key-1"))).ToArray();
        var answers = Await(plant, calls);
        Assert.Single((await answers).Select(answer => answer.AnswerText).Distinct());
        Assert.Single(plant.State.Lots);
    }

    [Fact]
    public async Task Of_two_who_want_the_last_grams_one_gets_them()
    {
        var plant = await Plant.Create();
        var dry = await plant.DryFromFresh();
        var request = plant.Packs(dry);
        plant.Journal.IsSlow = true;
        var outcomes = await Await(plant, [.. Enumerable.Range(0, 6).Select(_ => Task.Run(() => plant.Run("packing/pack", request)))]);
        Assert.Single(outcomes, outcome => outcome.IsRecorded);
        Assert.All(outcomes.Where(outcome => !outcome.IsRecorded), outcome => Assert.Equal("mass.not-there", Assert.Single(outcome.Refusals).Code));
        Assert.Equal(0, plant.Lot(dry).OnHand.Grams);
        Assert.Single(plant.Journal.Read(Plant.Code), entry => entry.Entry.Type == LotPacked.Type);
    }

    [Fact]
    public async Task Of_two_programs_who_want_the_last_grams_one_gets_them()
    {
        var one = await Plant.Create();
        var dry = await one.DryFromFresh();
        var two = one.Beside();
        var request = one.Packs(dry);
        var first = await one.Run("packing/pack", request);
        var second = await two.Run("packing/pack", request);
        Assert.True(first.IsRecorded);
        Assert.Equal("mass.not-there", Assert.Single(second.Refusals).Code);
        Assert.Equal(one.State.Head, two.State.Head);

        // And the one that was left behind catches up when it writes the next time.
        await two.Receive();
        await one.Receive();
        Assert.Equal(one.Journal.Head(Plant.Code), one.State.Head);
        Assert.Equal(3, one.State.Lots.Count(lot => lot.Kind == Core.Specifications.LotKind.Harvest));
    }

    [Fact]
    public async Task A_correction_beside_another_program_is_decided_on_what_both_wrote()
    {
        var one = await Plant.Create();
        var lot = await one.Receive(2000);
        var two = one.Beside();
        await two.Receive(3000);
        await one.Correct(one.Lot(lot).MadeBySeq, new ReceiveLarvae("Example farm", 1500, one.Now));
        Assert.Equal([1500m, 3000m], one.State.Lots.Select(found => found.OnHand.Grams));
        Assert.Equal(StateText.Of(one.Fresh()), StateText.Of(one.State));
    }

    [Fact]
    public async Task A_repeat_whose_first_never_reached_the_disk_is_not_taken_for_another_request()
    {
        var plant = await Plant.Create();
        var request = new ReceiveLarvae("Example farm", 10, plant.Now);
        plant.Journal.IsSlow = true;
        var first = plant.Run("receiving/receive", request, "key-1");
        var repeat = plant.Run("receiving/receive", request, "key-1");
        plant.Journal.Stopped = new JournalStop(Plant.Code, null, "the disk is full");
        plant.Journal.IsSlow = false;
        plant.Journal.Flush();
        await Assert.ThrowsAsync<JournalStoppedException>(() => first);
        await Assert.ThrowsAsync<JournalStoppedException>(() => repeat);
        plant.Journal.Stopped = null;
        Assert.True((await plant.Run("receiving/receive", request, "key-1")).IsRecorded);
        Assert.Single(plant.State.Lots);
    }

    [Fact]
    public async Task Nobody_sees_what_is_not_on_the_disk_yet()
    {
        var plant = await Plant.Create();
        plant.Journal.IsSlow = true;
        var write = plant.Run("receiving/receive", new ReceiveLarvae("Example farm", 10, plant.Now));
        var read = plant.Site.ReadAsync(state => state.Lots.Count);
        Assert.False(write.IsCompleted);
        Assert.False(read.IsCompleted);
        plant.Journal.Flush();
        Assert.True((await write).IsRecorded);
        Assert.Equal(1, await read);
    }

    [Fact]
    public async Task A_disk_that_refuses_leaves_nothing_behind()
    {
        var plant = await Plant.Create();
        var lot = await plant.Receive();
        plant.Journal.Stopped = new JournalStop(Plant.Code, null, "the disk is full");
        var request = new ReceiveLarvae("Example farm", 10, plant.Now);
        await Assert.ThrowsAsync<JournalStoppedException>(() => plant.Run("receiving/receive", request));
        plant.Journal.Stopped = null;
        Assert.True((await plant.Run("receiving/receive", request)).IsRecorded);
        Assert.Equal(2, plant.State.Lots.Count);
        Assert.Equal(lot, plant.State.Lots[0].Code);
        Assert.Equal(StateText.Of(plant.Fresh()), StateText.Of(plant.State));
    }

    [Fact]
    public async Task The_entry_keeps_who_when_and_where()
    {
        var plant = await Plant.Create();
        var told = new DateTimeOffset(2026, 3, 2, 7, 0, 0, TimeSpan.FromHours(3));
        var answer = await plant.Do("receiving/receive", new ReceiveLarvae("Example farm", 10, told), "key-1");
        var entry = plant.Journal.Get(Plant.Code, answer.Seq)!.Entry;
        Assert.Equal(("Ann", "bench", told, told.Offset, plant.Now), (entry.Person, entry.Device, entry.HappenedAt, entry.HappenedAt.Offset, entry.RecordedAt));
        Assert.Equal([answer.Lot!], entry.Lots);
        Assert.Equal(("receiving.received", "key-1"), (entry.Type, entry.RequestKey));
    }

    /// <summary>Lets the disk catch up again and again until every call has its answer.</summary>
    private static async Task<Outcome[]> Await(Plant plant, Task<Outcome>[] calls)
    {
        var all = Task.WhenAll(calls);
        while (!all.IsCompleted)
        {
            plant.Journal.Flush();
            await Task.Yield();
        }

        plant.Journal.IsSlow = false;
        return await all;
    }
}
