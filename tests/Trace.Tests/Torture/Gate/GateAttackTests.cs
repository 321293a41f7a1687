using System.Globalization;
using Trace.Tests.Simulation;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Torture.Gate;

/// <summary>
/// The gate under attack, over a journal in memory. However clients race, repeat, correct, come late and set the clock: no held lot is
/// moved, labelled or shipped, no more comes out than went in, no number is given twice and no key is recorded twice. The journal is
/// audited in its own order, so the judgement does not depend on which thread was first. <c>TRACE_OPERATIONS=n</c> sends so many.
/// </summary>
[Collection(TortureCollection.Name)]
public sealed class GateAttackTests(ITestOutputHelper output)
{
    /// <summary>A correction folds its plant anew, so a plant costs the square of its age.</summary>
    private const int OperationsPerPlant = 2500;

    private static readonly int Operations = Environment.GetEnvironmentVariable("TRACE_OPERATIONS") is { } wanted
        ? int.Parse(wanted, CultureInfo.InvariantCulture)
        : LongRun.Of(20_000, 1_000_000);

    private readonly SortedDictionary<string, long> counts = new(StringComparer.Ordinal);
    private readonly Dictionary<string, long> sums = [];

    [Fact]
    public Task No_attack_moves_a_held_lot() => LongRun.Seeded(output, async seed =>
    {
        var chance = new Random(seed);
        var figures = new Figures(output, "The gate under attack", seed);
        for (var left = Operations; left > 0; left -= OperationsPerPlant) await OnePlant(chance.Next());
        figures.Add("Operations sent", $"{sums["sent"]}, by up to eight clients at once");
        figures.Add("Entries recorded", $"{sums["recorded"]}, each answered and audited");
        figures.Add("Passages through the gate, all right", $"{sums["passages"]}");
        figures.Add("Refused by a hold", $"{counts.GetValueOrDefault("lot.held")}");
        figures.Add("Corrections recorded", $"{sums["corrections"]}");
        figures.Add("Sent again, by the letter or not", $"{sums["repeats"]}; {counts.GetValueOrDefault("request.key-reused")} refused as another's key, {sums["answeredAgain"]} got the first answer");
        figures.Add("Arrived late from offline clients", $"{sums["late"]}");
        figures.Add("Jumps of the clock", $"{sums["jumps"]}");
        figures.Publish();
        foreach (var (code, count) in counts) output.WriteLine($"{count,8} refused: {code}");

        // An attack that never gets to the customer, or is never refused, shows nothing.
        foreach (var code in new[] { "lot.held", "mass.not-there", "request.key-reused", "time.late" })
            Assert.True(counts.GetValueOrDefault(code) > 0, $"Nothing was refused with {code}.");
        foreach (var what in new[] { "shipped", "labelled", "corrections", "answeredAgain" }) Assert.True(sums[what] > 0, $"None were {what}.");
    });

    private async Task OnePlant(int seed)
    {
        var chance = new Random(seed);
        var plant = await Plant.Create();
        var attackers = new Attackers(plant, chance);
        var audit = new GateAudit(plant.Journal);
        Assert.Null(audit.Follow());
        var setUp = audit.Count;
        var said = new Dictionary<string, string>(StringComparer.Ordinal);
        var answered = new Dictionary<long, string>();
        for (var sent = 0; sent < OperationsPerPlant;)
        {
            var round = attackers.Round();
            if (round.Count == 0) continue;
            var second = chance.Next(60) == 0 ? plant.Beside() : null;
            var outcomes = await attackers.Send(round, second);
            sent += round.Count;
            Sum("sent", round.Count);
            if (second is not null) Assert.True((await attackers.CatchUp()).IsRecorded);
            foreach (var (one, outcome) in round.Zip(outcomes))
            {
                if (outcome.IsRecorded) Answered(plant, one, outcome, said, answered);
                else Count(outcome.Refusals[0].Code);
            }

            var fault = audit.Follow();
            Assert.True(fault is null, $"Plant {seed}: {fault}");
        }

        Assert.True((await attackers.CatchUp()).IsRecorded);
        Assert.Null(audit.Follow());
        TakenTogether(plant, audit, answered, setUp);
        SimulationTests.LookClosely(plant, audit.Model, chance);
        Sum("passages", audit.Passages);
        Sum("corrections", audit.Corrections);
        Sum("repeats", attackers.Repeats);
        Sum("late", attackers.Late);
        Sum("jumps", attackers.Jumps);
    }

    /// <summary>What was answered stands in the journal under that key, and the key is that request's alone.</summary>
    private void Answered(Plant plant, Sent one, Core.Operations.Outcome outcome, Dictionary<string, string> said, Dictionary<long, string> answered)
    {
        var entry = plant.Journal.Get(Plant.Code, outcome.Answer!.Seq)!.Entry;
        Assert.Equal((one.Key, outcome.AnswerText), (entry.RequestKey, entry.Answer));
        Assert.True(one.Caller.Person == entry.Person, $"{one.Text} got the answer of {entry.Person}, entry {outcome.Answer.Seq}: {entry.Type} {entry.Payload}");
        if (!said.TryAdd(one.Key, one.Text)) Assert.Equal(said[one.Key], one.Text);
        if (!answered.TryAdd(outcome.Answer.Seq, one.Key)) Sum("answeredAgain", 1);
        Assert.Equal(one.Key, answered[outcome.Answer.Seq]);
    }

    /// <summary>Each entry of the attackers was told to somebody as recorded: what was refused left nothing behind.</summary>
    private void TakenTogether(Plant plant, GateAudit audit, Dictionary<long, string> answered, int setUp)
    {
        var entries = plant.Journal.Read(Plant.Code).Skip(setUp).ToList();
        Assert.All(entries.Where(entry => entry.Entry.RequestKey is not null), entry => Assert.True(answered.ContainsKey(entry.Seq), $"Entry {entry.Seq} was not answered."));
        Assert.Equal(audit.Count, plant.State.Head);
        Sum("recorded", entries.Count);
        Sum("shipped", entries.Count(entry => entry.Entry.Type == "shipping.shipped"));
        Sum("labelled", entries.Count(entry => entry.Entry.Type == "labels.printed"));
    }

    private void Count(string code) => counts[code] = counts.GetValueOrDefault(code) + 1;

    private void Sum(string what, long by) => sums[what] = sums.GetValueOrDefault(what) + by;
}
