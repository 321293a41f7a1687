using System.Globalization;
using Trace.Core;
using Trace.Core.Corrections;
using Trace.Core.Holds;
using Trace.Core.Journal;
using Trace.Core.Lots;
using Trace.Core.Recall;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Simulation;

/// <summary>
/// Random weeks of a plant through the real write path, wrong steps included. The seed is printed; <c>TRACE_SEED=n</c> replays one, and
/// <c>TRACE_STEPS=n</c> makes it longer.
/// </summary>
public sealed class SimulationTests(ITestOutputHelper output)
{
    private static readonly int Steps = int.Parse(Environment.GetEnvironmentVariable("TRACE_STEPS") ?? "1000", CultureInfo.InvariantCulture);

    public static TheoryData<int> Seeds() => Environment.GetEnvironmentVariable("TRACE_SEED") is { } seed
        ? [int.Parse(seed, CultureInfo.InvariantCulture)]
        : [1, 2, Random.Shared.Next()];

    [Theory]
    [MemberData(nameof(Seeds))]
    public async Task A_random_plant_keeps_its_promises(int seed)
    {
        output.WriteLine($"TRACE_SEED={seed}");
        try
        {
            await Run(seed);
        }
        catch (Exception fault)
        {
            throw new InvalidOperationException($"Replay with TRACE_SEED={seed} TRACE_STEPS={Steps}. {fault.Message}", fault);
        }
    }

    private async Task Run(int seed)
    {
        var plant = await Plant.Create();
        var chance = new Random(seed);
        var people = new RandomPlant(plant, chance);
        await plant.Receive();
        var model = EntryModel.Of(plant.Journal.Read(Plant.Code));
        var counts = new SortedDictionary<string, int>(StringComparer.Ordinal);
        for (var step = 1; step <= Steps; step++)
        {
            var head = plant.State.Head;
            var outcome = await people.Step();
            var what = outcome.IsRecorded ? plant.Journal.Get(Plant.Code, outcome.Answer!.Seq)!.Entry.Type : "refused: " + outcome.Refusals[0].Code;
            counts[what] = counts.GetValueOrDefault(what) + 1;
            Assert.Equal(outcome.IsRecorded ? head + 1 : head, plant.State.Head);
            Assert.Equal(plant.State.Head, plant.Journal.Head(Plant.Code));
            if (outcome.IsRecorded) model = Follow(plant, model, plant.Journal.Get(Plant.Code, plant.State.Head)!);
            if (step % 125 == 0) LookClosely(plant, model, chance);
        }

        LookClosely(plant, model, chance);
        foreach (var (what, count) in counts) output.WriteLine($"{count,6} {what}");
        output.WriteLine($"{plant.State.Lots.Count} lots, {plant.State.Graph.EdgeCount} passages, {plant.State.Corrections.Count} corrections");

        // A run in which nothing gets to the customer, or nothing is ever refused, shows nothing.
        if (Steps < 1000) return;
        Assert.True(counts.GetValueOrDefault("packing.packed") >= 3 && counts.GetValueOrDefault("shipping.shipped") >= 1);
        Assert.True(counts.GetValueOrDefault("refused: lot.held") > 20 && counts.GetValueOrDefault("refused: mass.not-there") > 5);
    }

    /// <summary>After every entry: it was right to record it, and the masses are those of the text.</summary>
    private static EntryModel Follow(Plant plant, EntryModel model, JournalEntry entry)
    {
        if (entry.Entry.Type == Core.Corrections.EntryCorrected.Type) return EntryModel.Of(plant.Journal.Read(Plant.Code));
        Assert.Null(model.Fault(entry));
        model.Take(entry);
        foreach (var code in entry.Entry.Lots) Assert.Equal(model.Lots[code].OnHand, plant.Lot(code).OnHand.Milligrams);
        return model;
    }

    /// <summary>State, text, a fresh fold and a snapshot say the same, and masses that cannot be are held.</summary>
    internal static void LookClosely(Plant plant, EntryModel model, Random chance)
    {
        var state = plant.State;
        var previous = EntryText.NoHash;
        var seq = 0L;
        foreach (var entry in plant.Journal.Read(Plant.Code))
        {
            Assert.Equal((++seq, previous), (entry.Seq, entry.PreviousHash));
            previous = entry.Hash;
        }

        Assert.Equal(model.Lots.Keys.Order(StringComparer.Ordinal), state.Lots.Select(lot => lot.Code).Order(StringComparer.Ordinal));
        foreach (var lot in state.Lots)
        {
            Assert.Equal(model.Lots[lot.Code].OnHand, lot.OnHand.Milligrams);
            Assert.Equal(model.Lots[lot.Code].Made, lot.Made.Milligrams);
            if (lot.Kind != Core.Specifications.LotKind.Harvest && !lot.IsInProcess && lot.Kind != Core.Specifications.LotKind.Bulk)
                Mass(plant, lot, lot.Made.Milligrams > model.Lots[lot.Code].Inputs.Sum(input => input.Milligrams) * (lot.Kind == Core.Specifications.LotKind.Sanitised ? 1.15 : 1) + 2000);
            Mass(plant, lot, !lot.IsInProcess && lot.OnHand.Milligrams < -2000);
        }

        // A container that is full and the lot in it know of each other.
        Assert.Equal(
            state.Lots.Where(lot => lot.Record is BulkRecord { IsClosedOff: false }).Select(lot => lot.Code).Order(StringComparer.Ordinal),
            state.Containers.Values.Select(container => container.Lot).OfType<string>().Order(StringComparer.Ordinal));

        // The scope of a recall is what the text says can contain it, with every gram that was shipped.
        var named = state.Lots[chance.Next(state.Lots.Count)];
        var scope = model.Descendants(named.Code);
        Assert.Equal(scope.Order(StringComparer.Ordinal), state.Graph.Reach([named.Index], back: false).Select(index => state.Lots[index].Code).Order(StringComparer.Ordinal));
        Assert.Equal(
            model.Ancestors(named.Code).Order(StringComparer.Ordinal),
            state.Graph.Reach([named.Index], back: true).Select(index => state.Lots[index].Code).Order(StringComparer.Ordinal));
        var report = RecallReport.Of(state, new RecallCase("R", RecallKind.Drill, [named.Code], "exercise", plant.Now, plant.Now, "Ann", 1), plant.Now);
        Assert.Equal(
            scope.Sum(code => model.Shipped.GetValueOrDefault(code)) / 1000m, report.Consignees.Sum(consignee => consignee.MassGrams));

        var balance = report.Balance;
        Assert.Equal(
            balance.MadeGrams,
            balance.OnHandGrams + balance.ShippedGrams + balance.ReturnedGrams + balance.SampledGrams + balance.DisposedGrams + balance.UnaccountedGrams);

        // The entries of a lot, told one by one, come to the figures that the fold came to.
        foreach (var lot in state.Lots.Where(_ => chance.Next(10) == 0))
            Assert.Equal(
                (lot.Made.Grams, lot.Used.Grams, lot.Shipped.Grams, lot.Returned.Grams, lot.Sampled.Grams, lot.Disposed.Grams, lot.Unaccounted.Grams),
                SumsOf(BalanceLines.Of(lot.Code, Counted(plant).Where(entry => entry.Happened.Lots.Contains(lot.Code)))));

        Assert.Equal(StateText.Of(plant.Fresh()), StateText.Of(state));
        Assert.Equal(StateText.Of(state), StateText.Of(SiteState.FromSnapshot(state.ToSnapshot())));
    }

    private static (decimal, decimal, decimal, decimal, decimal, decimal, decimal) SumsOf(IReadOnlyList<BalanceLine> lines)
    {
        decimal Sum(BalanceFigure figure) => lines.Where(line => line.Figure == figure).Sum(line => line.MassGrams);
        return (
            Sum(BalanceFigure.Made), Sum(BalanceFigure.Used), Sum(BalanceFigure.Shipped), Sum(BalanceFigure.Returned), Sum(BalanceFigure.Sampled),
            Sum(BalanceFigure.Disposed), Sum(BalanceFigure.Unaccounted));
    }

    /// <summary>What counts of the journal, with the newest correction in the place of what it corrects.</summary>
    private static List<CountedEntry> Counted(Plant plant)
    {
        var all = plant.Journal.Read(Plant.Code).Select(entry => (entry.Seq, entry.Entry.HappenedAt, Happened: Areas.Codec.Read(entry.Entry.Type, entry.Entry.Payload))).ToList();
        var corrections = all.Select(one => one.Happened).OfType<EntryCorrected>().GroupBy(one => one.Corrects).ToDictionary(group => group.Key, group => group.Last());
        return
        [
            .. from one in all
               let correction = corrections.GetValueOrDefault(one.Seq)
               where correction is null || correction.Replacement is not null
               select new CountedEntry(
                   one.Seq, one.HappenedAt, "", correction is null ? one.Happened : Areas.Codec.Read(correction.EventType, correction.Replacement!.Value.GetRawText()), null),
        ];
    }

    /// <summary>Masses that cannot be come only from corrections, and then they hold.</summary>
    private static void Mass(Plant plant, Lot lot, bool isImpossible)
    {
        if (!isImpossible) return;
        Assert.NotEmpty(plant.State.Corrections);
        var isAccepted = lot.Acceptances.Any(given => given.Rule == "mass.balance");
        Assert.True(isAccepted || HoldRules.HoldsOn(plant.State, lot, plant.Now).Any(hold => hold.Rule == "mass.balance" && hold.Lot == lot.Code), lot.Code);
    }
}
