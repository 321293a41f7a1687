using System.Text.Json;
using Trace.Core;
using Trace.Core.Holds;
using Trace.Core.Operations;
using Trace.Core.Steps.Receiving;
using Trace.Tests.Simulation;
using Trace.Tests.Support;
using Outcome = Trace.Core.Operations.Outcome;

namespace Trace.Tests.Torture.Gate;

/// <summary>A move on its way, with its key and who says it.</summary>
/// <param name="Text">All that the program can tell one request from another by.</param>
internal sealed record Sent(Move Move, string Key, Caller Caller, string Text)
{
    public static Sent Of(Move move, string key, Caller caller)
    {
        var operation = move.Request is null ? null : Areas.Operations.FirstOrDefault(one => one.RequestInfo.Type == move.Request.GetType());
        var body = operation is null ? "void" : JsonSerializer.Serialize(move.Request, operation.RequestInfo);
        return new(move, key, caller, $"{move.Operation} {move.Corrects} {caller.Person} {body}");
    }
}

/// <summary>
/// Clients that all at once say things about the same few lots, say them twice, say others under the same key, hold or correct a lot
/// while it is being moved, and send late what they noted while they were offline; and a clock that somebody keeps setting.
/// </summary>
internal sealed class Attackers(Plant plant, Random chance)
{
    private static readonly Caller Bob = new("Bob", "tablet", Roles.Packer);

    private readonly RandomPlant people = new(plant, chance);
    private readonly List<Sent> offline = [];
    private int keys;
    private TimeSpan away;

    public int Repeats { get; private set; }

    public int Late { get; private set; }

    public int Jumps { get; private set; }

    /// <summary>What is said at once in the next round, chosen while nobody writes; two to eight, each client with one.</summary>
    public List<Sent> Round()
    {
        SetTheClock();
        var round = new List<Sent>();
        for (var clients = chance.Next(1, 5); clients > 0; clients--)
        {
            var sent = Sent.Of(people.Choose(), $"key-{++keys}", chance.Next(6) == 0 ? Bob : Plant.Ann);
            if (chance.Next(8) == 0)
            {
                offline.Add(sent);
                continue;
            }

            round.Add(sent);
            if (chance.Next(4) == 0) round.Add(Again(sent));
            if (round.Count < 6 && chance.Next(5) == 0 && Against(sent) is { } rival) round.Add(Sent.Of(rival, $"key-{++keys}", Plant.Ann));
        }

        // Else the plant would soon stand still, and nothing could be moved wrongly.
        if (Held() is { } release) round.Add(Sent.Of(release, $"key-{++keys}", Plant.Ann));
        while (offline.Count > 0 && round.Count < 8 && chance.Next(3) == 0)
        {
            var place = chance.Next(offline.Count);
            round.Add(offline[place]);
            Late++;

            // Sometimes its answer is lost, and it is sent once more another time.
            if (chance.Next(4) != 0) offline.RemoveAt(place);
        }

        return round;
    }

    /// <summary>The office looks at one of the late lots and releases it, mostly.</summary>
    private Move? Held() => chance.Next(3) == 0
        ? plant.State.Lots.TakeLast(40).SelectMany(lot => lot.PlacedHolds.Where(hold => hold.Released is null).Select(hold =>
            new Move("holds/release", new ReleaseHold(lot.Code, hold.Id, "looked at")))).FirstOrDefault()
        : null;

    /// <summary>The same again, by the letter or under a key or a name that does not fit.</summary>
    private Sent Again(Sent sent)
    {
        Repeats++;
        return chance.Next(5) switch
        {
            0 => Sent.Of(people.Choose(), sent.Key, sent.Caller),
            1 => Sent.Of(sent.Move, $"key-{++keys}", sent.Caller),
            2 => Sent.Of(sent.Move, sent.Key, sent.Caller == Bob ? Plant.Ann : Bob),
            _ => sent,
        };
    }

    /// <summary>What makes it wrong to do that: a hold on something in the lot, or the newest entry about it voided.</summary>
    private Move? Against(Sent sent)
    {
        if (sent.Move.Request is not { } request || request.Mentions.Select(mention => plant.State.Find(mention.Code)).FirstOrDefault() is not { } lot)
            return null;
        var inside = plant.State.Graph.Reach([lot.Index], back: true).ToList();
        var other = plant.State.Lots[inside[chance.Next(inside.Count)]];
        if (chance.Next(2) == 0) return new("holds/place", new PlaceHold(other.Code, "glass"));
        var about = plant.Journal.Read(Plant.Code).Where(entry => entry.Entry.Lots.Contains(other.Code)).ToList();
        return about.Count == 0 ? null : new("journal/correct", null, about[chance.Next(about.Count)].Seq);
    }

    /// <summary>Mostly some minutes on; now and then days or a year off, and back again.</summary>
    private void SetTheClock()
    {
        plant.Clock.Advance(TimeSpan.FromMinutes(chance.Next(1, 12)));
        if (chance.Next(60) == 0) Jump();
    }

    /// <summary>Also while the clients write.</summary>
    private void Jump()
    {
        Jumps++;
        var by = away != TimeSpan.Zero && chance.Next(3) != 0 ? -away
            : chance.Next(8) == 0 ? TimeSpan.FromDays(chance.Next(2) == 0 ? -400 : 400)
            : TimeSpan.FromMinutes(chance.Next(-4000, 4000));
        away = by == -away ? TimeSpan.Zero : away + by;
        plant.Clock.AdjustTime(plant.Now + by);
    }

    /// <summary>Everything at once, each client on a thread of its own; gives each outcome in the order of what was sent.</summary>
    /// <param name="second">Another program over the same journal that takes some of it; null if there is none.</param>
    public async Task<Outcome[]> Send(List<Sent> round, Plant? second)
    {
        // Two programs share only a disk that answers at once: see "What is open".
        var isSlow = chance.Next(3) == 0 && second is null;
        var jumps = isSlow && chance.Next(20) == 0;
        plant.Journal.IsSlow = isSlow;
        using var start = new Barrier(round.Count);
        var calls = round.Select((sent, place) => Task.Factory.StartNew(() =>
        {
            start.SignalAndWait();
            return sent.Move.Run(second is not null && place % 2 == 1 ? second : plant, sent.Key, sent.Caller);
        }, CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default).Unwrap()).ToArray();
        var all = Task.WhenAll(calls);
        while (isSlow && !all.IsCompleted)
        {
            if (jumps) Jump();
            jumps = false;
            plant.Journal.Flush();
            await Task.Yield();
        }

        plant.Journal.IsSlow = false;
        return await all;
    }

    /// <summary>A last delivery, so that a program that was left behind sees what the other wrote.</summary>
    public Task<Outcome> CatchUp() => plant.Run("receiving/receive", new ReceiveLarvae("Farm", 1000, plant.Now));
}
