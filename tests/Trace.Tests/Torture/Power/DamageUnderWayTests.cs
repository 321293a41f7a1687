using Microsoft.Extensions.Time.Testing;
using Trace.Core;
using Trace.Core.Corrections;
using Trace.Core.Journal;
using Trace.Core.Operations;
using Trace.Core.Sites;
using Trace.Core.Steps.Receiving;
using Trace.Storage;
using Trace.Tests.CommandLine;
using Trace.Tests.Storage;
using Trace.Web.Hosting;
using Xunit;

namespace Trace.Tests.Torture.Power;

/// <summary>
/// A reader finds a damaged entry while others write: what was decided by then is written and answered, so that the state in memory stays
/// what the disk says and can be read on; nothing new is decided. A state ahead of the disk could not be folded anew from what is damaged.
/// </summary>
public sealed class DamageUnderWayTests : IDisposable
{
    private static readonly Caller Bench = new("Amina", "tablet-1", Roles.Operator);

    private readonly Folder folder = new();
    private readonly FakeTimeProvider clock = new(new DateTimeOffset(2026, 11, 25, 6, 0, 0, TimeSpan.Zero));

    [Fact]
    public async Task Found_while_appends_are_in_flight_they_are_answered_and_reading_goes_on()
    {
        using var gate = new ManualResetEventSlim();
        using var flushing = new ManualResetEventSlim();
        var plan = new FaultyFile.Plan();
        using (var app = await Plant(plan))
        {
            var site = app.Site("S1")!;
            plan.AtFlush = () =>
            {
                flushing.Set();
                gate.Wait();
            };
            var receives = new List<Task<Outcome>> { Receive(app, site) };
            flushing.Wait(TestContext.Current.CancellationToken);
            for (var more = 0; more < 3; more++) receives.Add(Receive(app, site));
            Damage();
            Assert.Throws<JournalDamagedException>(() => app.Journal.Get("S1", 2));
            await Assert.ThrowsAsync<JournalStoppedException>(() => Receive(app, site));
            gate.Set();
            Assert.All(await Task.WhenAll(receives), outcome => Assert.NotNull(outcome.Answer));
            await ReadsOn(app, site, 5);
            await Assert.ThrowsAsync<JournalStoppedException>(() => Receive(app, site));
            await Assert.ThrowsAsync<JournalStoppedException>(() => app.Journal.AppendAsync(new EntryBatch("S2", 0, [Some.Entry()])));
            await ReadsOn(app, site, 5);
        }

        // All of it is on the disk, behind the damage.
        var stream = TraceStorage.Verify(folder["plant"], "S1").Streams.Single();
        Assert.Equal((2, 8), (stream.FirstBad!.Seq, stream.Behind[^1].LastSeq));
    }

    [Fact]
    public async Task Found_between_a_decision_and_its_append_the_append_is_still_taken()
    {
        using var app = await Plant(new FaultyFile.Plan());
        var between = new Between(app.Journal, () =>
        {
            Damage();
            Assert.Throws<JournalDamagedException>(() => app.Journal.Get("S1", 2));
        });
        var path = new WritePath(between, Areas.Codec, new Trace.Core.Holds.HoldGate(), clock);
        var site = path.Load("S1");
        var receive = Areas.Operations.Single(operation => operation.Name == "receiving/receive");
        var outcome = await path.Run(site, receive, new ReceiveLarvae("Farm", 1000, clock.GetUtcNow()), Bench, app.Surroundings);
        Assert.Equal(5, outcome.Answer!.Seq);
        await ReadsOn(app, site, 2);
        await Assert.ThrowsAsync<JournalStoppedException>(
            () => path.Run(site, receive, new ReceiveLarvae("Farm", 1000, clock.GetUtcNow()), Bench, app.Surroundings));
        await ReadsOn(app, site, 2);
    }

    public void Dispose() => folder.Dispose();

    /// <summary>Four entries: the site's three and a lot.</summary>
    private async Task<TraceApp> Plant(FaultyFile.Plan plan)
    {
        var settings = new TraceSettings(folder["plant"], "https://trace.example.org", Path.Combine(AppContext.BaseDirectory, "label-templates"));
        var app = new TraceApp(settings, clock, null, new StorageOptions { OpenFile = plan.Open });
        await app.AddSite(new SiteDescribed(TraceApp.FirstSite, "Test site", "1 Test Road", "Africa/Nairobi", null, null), "setup");
        await Receive(app, app.Site("S1")!);
        return app;
    }

    private Task<Outcome> Receive(TraceApp app, SiteLedger site) => app.Path.Run(
        site, Areas.Operations.Single(operation => operation.Name == "receiving/receive"),
        new ReceiveLarvae("Farm", 1000, clock.GetUtcNow()), Bench, app.Surroundings);

    /// <summary>Changes a byte of the second entry.</summary>
    private void Damage()
    {
        using var file = new FileStream(Path.Combine(folder["plant"], "sites", "S1.jsonl"), FileMode.Open, FileAccess.ReadWrite, FileShare.ReadWrite | FileShare.Delete);
        var line = new StreamReader(file).ReadLine()!;
        file.Position = line.Length + 1 + 60;
        file.WriteByte((byte)'#');
    }

    private static async Task ReadsOn(TraceApp app, SiteLedger site, int lots)
    {
        Assert.NotNull(app.Journal.Stopped);
        Assert.Equal(lots, await site.ReadAsync(state => state.Lots.Count));
        Assert.Equal(lots + 3, app.Journal.Head("S1"));
        Assert.Equal(lots + 3, app.Journal.Get("S1", lots + 3)!.Seq);
    }

    /// <summary>Lets something happen between the call of an append and the append.</summary>
    private sealed class Between(IJournal journal, Action happens) : IJournal
    {
        private Action? next = happens;

        public IReadOnlyList<string> Streams => journal.Streams;

        public JournalStop? Stopped => journal.Stopped;

        public long Head(string stream) => journal.Head(stream);

        public Task<Appended> AppendAsync(EntryBatch batch)
        {
            Interlocked.Exchange(ref next, null)?.Invoke();
            return journal.AppendAsync(batch);
        }

        public IEnumerable<JournalEntry> Read(string stream, long fromSeq = 1) => journal.Read(stream, fromSeq);

        public JournalEntry? Get(string stream, long seq) => journal.Get(stream, seq);

        public EntryPage Query(EntryQuery query) => journal.Query(query);
    }
}
