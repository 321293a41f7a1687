using Trace.Core.Holds;
using Trace.Core.Labels;
using Trace.Core.Shipments;
using Trace.Core.Specifications;
using Trace.Core.Steps.Cooling;
using Trace.Core.Steps.Drying;
using Trace.Core.Steps.Filling;
using Trace.Core.Steps.Packing;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Holds;

/// <summary>The gate in the real write path: what a hold stops, what it does not, and what is kept of a passage.</summary>
public sealed class GateTests
{
    [Fact]
    public async Task Fresh_larvae_are_not_dried()
    {
        var plant = await Plant.Create();
        var fresh = await plant.Receive();
        var refusal = await plant.Held("drying/start", new StartDrying([new(fresh, 250)], "M1", 900, plant.Later()));
        Assert.Equal(["sanitising.missing"], refusal.Holds!.Select(hold => hold.Rule));
        Assert.Equal(["A sanitising run."], refusal.Holds!.Select(hold => hold.Clears));
    }

    [Fact]
    public async Task Larvae_sanitised_too_cool_are_not_dried_and_a_new_run_cures_them()
    {
        var plant = await Plant.Create();
        var cool = await plant.Sanitise(await plant.Receive(), celsius: 62);
        var refusal = await plant.Held("drying/start", new StartDrying([new(cool, 250)], "M1", 900, plant.Later()));
        Assert.Equal(["sanitising.lethality"], refusal.Holds!.Select(hold => hold.Rule));
        var again = await plant.Sanitise(cool, 2000);
        Assert.Empty(plant.Rules(await plant.Dry(again)));
    }

    [Fact]
    public async Task A_warm_batch_is_neither_filled_nor_packed_nor_labelled()
    {
        var plant = await Plant.Create();
        var warm = await plant.DryWarm(await plant.Sanitise(await plant.Receive()));
        foreach (var refusal in new[]
        {
            await plant.Held("filling/fill", new FillContainer("B1", [new(warm, 80)], plant.Later())),
            await plant.Held("packing/pack", plant.Packs(warm)),
            await plant.Held("labels/print", new PrintLabels(warm, 1)),
        })
        {
            Assert.Equal(["cooling.rest", "cooling.temperature"], refusal.Holds!.Select(hold => hold.Rule).Order());
        }

        await plant.Cool(warm);
        await plant.Fill("B1", warm, 40);
        await plant.Pack(warm, 1);
        await plant.Print(warm);
    }

    [Fact]
    public async Task Every_operation_that_moves_or_labels_a_lot_names_its_door()
    {
        var plant = await Plant.Create();
        var dry = await plant.DryFromFresh();
        var bulk = await plant.Fill("B1", dry, 40);
        var packs = await plant.Pack(bulk, 1);
        await plant.Print(packs);
        var hold = await plant.PlaceHold(dry);
        Assert.Equal(["quality.placed"], plant.Rules(packs));
        await plant.Held("drying/start", new StartDrying([new(dry, 40)], "M1", 900, plant.Later()));
        await plant.Held("filling/fill", new FillContainer("B1", [new(dry, 40)], plant.Later()));
        await plant.Held("packing/pack", plant.Packs(dry, 1));
        await plant.Held("labels/print", new PrintLabels(packs, 1, Reason: "torn"));
        await plant.Held("shipping/ship", plant.Shipment(packs));

        await plant.Do("holds/release", new ReleaseHold(dry, hold, "was the bin"));
        await plant.Print(packs, reason: "torn");
        await plant.Ship(packs);
    }

    [Fact]
    public async Task A_hold_on_an_ancestor_holds_the_container_that_is_being_filled_and_packs_that_were_shipped_at_once()
    {
        var plant = await Plant.Create();
        var sanitised = await plant.Sanitise(await plant.Receive());
        var first = await plant.Dry(sanitised);
        var bulk = await plant.Fill("B1", first);
        var packs = await plant.Pack(bulk, 1);
        await plant.Ship(packs);
        var second = await plant.Dry(sanitised);
        Assert.Equal(bulk, await plant.Fill("B1", second));
        await plant.PlaceHold(second);
        Assert.Equal(["quality.placed"], plant.Rules(bulk));
        Assert.Equal(["quality.placed"], plant.Rules(packs));
        Assert.Empty(plant.Rules(first));
        await plant.Held("packing/pack", plant.Packs(bulk, 1));
    }

    [Fact]
    public async Task A_wet_batch_is_cured_by_drying_it_again_and_its_old_packs_stay_held()
    {
        var plant = await Plant.Create();
        var wet = await plant.DryWarm(await plant.Sanitise(await plant.Receive()), yieldPercent: 45);
        await plant.Cool(wet);
        Assert.Equal(["drying.yield-high"], plant.Rules(wet));
        await plant.Held("packing/pack", plant.Packs(wet, 1));
        var again = await plant.StartDrying(wet, 112.5m);
        await plant.Cycle(again, 120);
        await plant.WeighOut(again, 80);
        await plant.Cool(again);

        // Yield is counted on the fresh mass: 80 of 250 g, not of 112.5 g.
        Assert.Empty(plant.Rules(again));
        await plant.Pack(again);
    }

    /// <summary>The moisture of rework must not stand for that of fresh larvae, or every reworked batch would be an impossible yield.</summary>
    [Fact]
    public async Task A_wet_batch_that_was_measured_is_cured_too()
    {
        var plant = await Plant.Create(made => made with { Drying = made.Drying with { MeasuredAt = MeasuredAt.EachDriedLot } });
        var wet = await plant.DryWarm(await plant.Sanitise(await plant.Receive()), yieldPercent: 34);
        await plant.Cool(wet);
        await plant.Check(wet, "moisture", "0.20");
        Assert.Equal(["drying.measured"], plant.Rules(wet));
        var again = await plant.StartDrying(wet, 85);
        await plant.Cycle(again, 60);
        await plant.WeighOut(again, 72);
        await plant.Check(again, "moisture", "0.06");
        await plant.Cool(again);
        Assert.Empty(plant.Rules(again));
    }

    [Fact]
    public async Task Drying_again_cures_no_bad_sanitising_and_no_placed_hold()
    {
        var plant = await Plant.Create();
        var fresh = await plant.Receive();
        var sanitised = await plant.Sanitise(fresh);
        var wet = await plant.DryWarm(sanitised, yieldPercent: 45);
        await plant.Cool(wet);
        var hold = await plant.PlaceHold(fresh);
        await plant.Held("drying/start", new StartDrying([new(wet, 112.5m)], "M1", 900, plant.Later()));
        await plant.Do("holds/release", new ReleaseHold(fresh, hold, "checked"));
        var again = await plant.StartDrying(wet, 112.5m);
        var end = plant.State.Find(sanitised)!.MadeAt;
        await plant.Correct(
            plant.Lot(sanitised).MadeBySeq, new Core.Steps.Sanitising.RunSanitising([new(fresh, 2000)], "hot-water", Plant.Level(end, 62), 2000, end));
        await plant.Cycle(again, 120);
        await plant.WeighOut(again, 80);
        await plant.Cool(again);
        Assert.Equal(["sanitising.lethality"], plant.Rules(again));
    }

    [Fact]
    public async Task An_acceptance_is_bound_to_its_evidence()
    {
        var plant = await Plant.Create();
        var low = await plant.DryWarm(await plant.Sanitise(await plant.Receive()), yieldPercent: 24);
        await plant.Cool(low);
        Assert.Equal(["drying.yield-low"], plant.Rules(low));
        await plant.Do("holds/release", new ReleaseHold(low, "drying.yield-low", "a handful was spilled"));
        Assert.Empty(plant.Rules(low));

        // Another weighing is other evidence.
        await plant.Cycle(low, 60);
        await plant.WeighOut(low, 58);
        await plant.Cool(low);
        Assert.Equal(["drying.yield-low"], plant.Rules(low));
        await plant.Do("holds/release", new ReleaseHold(low, "drying.yield-low", "still the handful"));
        Assert.Empty(plant.Rules(low));

        // So is the same weighing with other figures.
        var weighOut = ((Core.Lots.DryingRecord)plant.Lot(low).Record).LastWeighOut!;
        await plant.Correct(weighOut.Seq, new WeighOutBatch(low, 40, true, true, weighOut.At));
        Assert.Equal(["drying.yield-low"], plant.Rules(low));
    }

    [Fact]
    public async Task Only_a_loss_of_mass_or_of_labels_may_be_accepted()
    {
        var plant = await Plant.Create();
        var wet = await plant.DryWarm(await plant.Sanitise(await plant.Receive()), yieldPercent: 45);
        foreach (var rule in HoldRules.All.Where(rule => !rule.MayBeAccepted))
            await plant.Refused("hold.not-releasable", "holds/release", new ReleaseHold(wet, rule.Code, "we are in a hurry"));
        Assert.Equal(["drying.yield-low", "labels.difference", "mass.balance"], HoldRules.All.Where(rule => rule.MayBeAccepted).Select(rule => rule.Code).Order());
        await plant.Refused("hold.unknown", "holds/release", new ReleaseHold(wet, "drying.yield-low", "does not hold it"));
        await plant.Refused("hold.unknown", "holds/release", new ReleaseHold(wet, "Q0001", "there is none"));
        var hold = await plant.PlaceHold(wet);
        await plant.Do("holds/release", new ReleaseHold(wet, hold, "checked"));
        await plant.Refused("hold.not-releasable", "holds/release", new ReleaseHold(wet, hold, "twice"));
    }

    [Fact]
    public async Task A_new_version_judges_new_lots_and_old_lots_keep_theirs()
    {
        var plant = await Plant.Create();
        var sanitised = await plant.Sanitise(await plant.Receive());
        var old = await plant.Dry(sanitised);
        var bulk = await plant.Fill("B1", old, 40);
        await plant.Specify(made => made with { Drying = made.Drying with { YieldHighPercent = 31.9 } });
        var made = await plant.Dry(sanitised);
        Assert.Empty(plant.Rules(old));
        Assert.Empty(plant.Rules(bulk));
        Assert.Equal(["drying.yield-high"], plant.Rules(made));
        Assert.Equal((1, 2), (plant.Lot(old).Specification!.Value.Version, plant.Lot(made).Specification!.Value.Version));
    }

    [Fact]
    public async Task A_version_that_is_not_approved_judges_nothing()
    {
        var plant = await Plant.Create();
        await plant.Do("products/specify", new Core.Products.SpecifyProduct(
            DefaultSpecification.Product, "Dried", Drying: new DryingLimits { YieldHighPercent = 1, YieldLowPercent = 0 }));
        Assert.Empty(plant.Rules(await plant.DryFromFresh()));
    }

    [Fact]
    public async Task A_passage_keeps_what_it_passed_on()
    {
        var plant = await Plant.Create();
        var dry = await plant.DryFromFresh();
        var packs = await plant.Pack(dry);
        var packed = (LotPacked)Core.Areas.Codec.Read(
            LotPacked.Type, plant.Journal.Get(Plant.Code, plant.Lot(packs).MadeBySeq)!.Entry.Payload);
        Assert.All(packed.Evidence!, evidence => Assert.Equal((dry, "pass"), (evidence.Lot, evidence.Outcome)));
        var rules = packed.Evidence!.ToDictionary(evidence => evidence.Rule);
        Assert.Equal((32, 35, "%"), (rules["drying.yield-high"].Value, rules["drying.yield-high"].Limit, rules["drying.yield-high"].Unit));
        Assert.Equal((22, 25), (rules["cooling.temperature"].Value, rules["cooling.temperature"].Limit));
        Assert.Contains("cooling.rest", rules.Keys);
        Assert.Contains("drying.energy", rules.Keys);
    }

    [Fact]
    public async Task The_answer_to_a_step_tells_the_holds_that_stand_now()
    {
        var plant = await Plant.Create();
        var lot = await plant.StartDrying(await plant.Sanitise(await plant.Receive()));
        await plant.Cycle(lot);
        var answer = await plant.WeighOut(lot, 112.5m, crumbles: false);
        Assert.Equal(
            ["cooling.rest", "cooling.temperature", "drying.indicators", "drying.yield-high"], answer.Holds.Select(hold => hold.Rule).Order());
        Assert.Equal(112.5m, answer.OnHandGrams);
    }

    [Fact]
    public async Task A_passage_is_judged_at_the_time_it_happened()
    {
        var plant = await Plant.Create();
        var warm = await plant.DryWarm(await plant.Sanitise(await plant.Receive()));
        var hot = plant.Now;
        await plant.Cool(warm);
        await plant.Held("filling/fill", new FillContainer("B1", [new(warm, 80)], hot));
        plant.Later(60 * 24);

        // Told a day late: it was filled while the reading was fresh.
        await plant.Do("filling/fill", new FillContainer("B1", [new(warm, 40)], plant.Now.AddDays(-1)));
        await plant.Held("filling/fill", new FillContainer("B1", [new(warm, 40)], plant.Now));
        await plant.Do("cooling/reading", new ReadCooling(warm, 21, 20, plant.Now));
        await plant.Do("filling/fill", new FillContainer("B1", [new(warm, 40)], plant.Now));
    }

    [Fact]
    public async Task Packs_past_their_date_are_not_shipped()
    {
        var plant = await Plant.Create();
        var packs = await plant.Pack(await plant.DryFromFresh());
        plant.Clock.Advance(TimeSpan.FromDays(200));
        var refusal = await plant.Held("shipping/ship", new Ship("Example shop", "N1", [new(packs, 1)], plant.Now));
        Assert.Equal(["date.passed"], refusal.Holds!.Select(hold => hold.Rule).Distinct());
    }
}
