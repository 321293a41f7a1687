using Trace.Core.Holds;
using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Products;
using Trace.Core.Specifications;
using Trace.Core.Steps.Drying;
using Trace.Core.Steps.Filling;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Holds;

/// <summary>Ways around a hold that somebody in a hurry could find; each is shut.</summary>
public sealed class BypassTests
{
    [Fact]
    public async Task A_batch_that_was_not_dry_is_not_weighed_out_anew_without_a_further_cycle()
    {
        var plant = await Plant.Create();
        var batch = await plant.StartDrying(await plant.Sanitise(await plant.Receive()));
        await plant.Cycle(batch);
        await plant.WeighOut(batch, crumbles: false);
        await plant.Refused("batch.weighed-out", "drying/weigh-out", new WeighOutBatch(batch, 80, true, true, plant.Later()));
        Assert.Contains("drying.indicators", plant.Rules(batch));
        await plant.Cycle(batch, 60);
        await plant.WeighOut(batch, 79);
        Assert.DoesNotContain("drying.indicators", plant.Rules(batch));
    }

    [Fact]
    public async Task A_reading_too_wet_holds_although_the_specification_wants_none()
    {
        var plant = await Plant.Create();
        var bulk = await plant.Fill("B1", await plant.DryFromFresh());
        await plant.Check(bulk, "water-activity", "0.45");
        Assert.Empty(plant.Rules(bulk));
        await plant.Check(bulk, "water-activity", "0.85");
        var refusal = await plant.Held("packing/pack", plant.Packs(bulk, 1));
        Assert.Equal(["drying.measured"], refusal.Holds!.Select(hold => hold.Rule));
    }

    [Fact]
    public async Task A_measurement_of_a_container_does_not_speak_for_what_was_poured_in_later()
    {
        var plant = await Plant.Create(made => made with { Drying = made.Drying with { MeasuredAt = MeasuredAt.EachBulkLot } });
        var (first, second) = (await plant.DryFromFresh(), await plant.DryFromFresh());
        var bulk = await plant.Fill("B1", first);
        await plant.Check(bulk, "moisture", "0.05");
        Assert.Empty(plant.Rules(bulk));
        await plant.Fill("B1", second);
        Assert.Equal(["drying.measured"], plant.Rules(bulk));
        await plant.Check(bulk, "moisture", "0.05");
        Assert.Empty(plant.Rules(bulk));
    }

    [Fact]
    public async Task A_clean_result_of_a_container_does_not_speak_for_what_was_poured_in_later_but_a_bad_one_stays()
    {
        AwaitedTest[] tests = [new("salmonella", LotKind.Bulk, 1, 0, 0, 0, false, "in 25 g", "example")];
        var plant = await Plant.Create(made => made with { Tests = tests });
        var (first, second) = (await plant.DryFromFresh(), await plant.DryFromFresh());
        var bulk = await plant.Fill("B1", first, 40);
        await plant.Check(bulk, "salmonella", "0");
        Assert.Empty(plant.Rules(bulk));
        await plant.Fill("B1", second, 40);
        Assert.Equal(["tests.awaited"], plant.Rules(bulk));
        await plant.Check(bulk, "salmonella", "1");
        Assert.Equal(["tests.failed"], plant.Rules(bulk));
        await plant.Fill("B1", second, 40);
        Assert.Contains("tests.failed", plant.Rules(bulk));
    }

    [Fact]
    public async Task What_a_product_asks_of_sanitising_and_its_tests_holds_the_batches_of_that_product()
    {
        AwaitedTest[] tests = [new("salmonella", LotKind.Sanitised, 1, 0, 0, 0, false, "in 25 g", "example")];
        var plant = await Plant.Create();
        await plant.Specify(made => made with { Product = "STRICT", Sanitising = new SanitisingLimits(LethalityMinutes: 60), Tests = tests });
        var sanitised = await plant.Sanitise(await plant.Receive());
        Assert.Empty(plant.Rules(await plant.Dry(sanitised)));
        var strict = (await plant.Do("drying/start", new StartDrying([new(sanitised, 250)], "M1", 900, plant.Later(), "STRICT"))).Lot!;
        await plant.Cycle(strict);
        await plant.WeighOut(strict);
        await plant.Cool(strict);
        var refusal = await plant.Held("filling/fill", new FillContainer("B1", [new(strict, 80)], plant.Later()));
        Assert.Equal(["sanitising.lethality", "tests.awaited"], refusal.Holds!.Select(hold => hold.Rule).Order());
        Assert.All(refusal.Holds!, hold => Assert.Equal(sanitised, hold.Lot));
    }

    [Fact]
    public async Task A_container_is_not_closed_before_it_was_opened()
    {
        var plant = await Plant.Create();
        var bulk = await plant.Fill("B1", await plant.DryFromFresh());
        var before = plant.Later();
        await plant.Do("filling/open", new ContainerRequest("B1", plant.Later()));
        plant.Later(600);
        await plant.Refused("time.order", "filling/close", new ContainerRequest("B1", before));
        Assert.Equal(["container.open"], plant.Rules(bulk));
    }

    [Fact]
    public async Task What_was_recorded_in_the_container_before_the_packs_counts_for_their_date_whatever_time_was_told()
    {
        var plant = await Plant.Create();
        var old = await plant.DryFromFresh();
        var ends = BestBefore.Of(plant.State, plant.Lot(old));
        plant.Later(60 * 24 * 90);
        var fresh = await plant.DryFromFresh();
        var bulk = await plant.Fill("B1", fresh);
        var between = plant.Later();
        await plant.Cool(old, restMinutes: 1);
        await plant.Fill("B1", old);
        plant.Later();
        var packs = (await plant.Do("packing/pack", plant.Packs(bulk) with { HappenedAt = between })).Lot!;
        Assert.Equal(ends, BestBefore.Of(plant.State, plant.Lot(packs)));
    }

    [Fact]
    public async Task Packs_do_not_get_a_container_tag_which_lacks_cautions_and_net_quantity()
    {
        var plant = await Plant.Create();
        var packs = await plant.Pack(await plant.Fill("B1", await plant.DryFromFresh()));
        await plant.Refused("labels.template", "labels/print", new PrintLabels(packs, 1, PrintingLabels.ContainerTemplate));
        await plant.Do("labels/print", new PrintLabels(packs, 1));
    }

    [Fact]
    public async Task An_older_version_is_not_approved_as_if_it_judged_again()
    {
        var plant = await Plant.Create();
        await plant.Specify();
        await plant.Refused("product.version", "products/approve", new ApproveProduct(DefaultSpecification.Product, 1));
        await plant.Refused("product.version", "products/approve", new ApproveProduct(DefaultSpecification.Product, 2));
    }

    [Fact]
    public async Task A_shipments_number_is_not_used_again_when_a_shipment_was_voided()
    {
        var plant = await Plant.Create();
        var packs = await plant.Pack(await plant.Fill("B1", await plant.DryFromFresh()));
        Assert.Equal("V0001", (await plant.Ship(packs)).Id);
        var second = await plant.Ship(packs);
        await plant.Correct(second.Seq, null);
        var third = await plant.Ship(packs);
        Assert.Equal("V0003", third.Id);
        Assert.Equal("V0003", plant.Fresh().Find(packs)!.Shipments[^1].Shipment);
    }

    [Fact]
    public void Hours_of_power_told_within_minutes_do_not_explain_the_water_lost()
    {
        var hurried = new Facts().Harvest().Sanitised().InDryer(atMinutes: -3).Cycled(6000, atMinutes: -1).Out().One("drying.energy", "D");
        Assert.Equal(Outcome.Hold, hurried.Outcome);
        var slow = new Facts().Harvest().Sanitised().InDryer(atMinutes: -13).Cycled(600, atMinutes: -1).Out().One("drying.energy", "D");
        Assert.Equal(Outcome.Pass, slow.Outcome);
    }

    [Fact]
    public async Task A_batch_found_short_at_a_count_is_not_weighed_out_anew_so_that_its_masses_still_add_up()
    {
        var plant = await Plant.Create();
        var batch = await plant.DryWarm(await plant.Sanitise(await plant.Receive()));
        await plant.Count(batch, 70);
        await plant.Refused("lot.gone-on", "drying/cycle", new RecordCycle(batch, 60, plant.Later(2)));
        Assert.Equal(70m, plant.Lot(batch).OnHand.Grams);
    }

    [Fact]
    public async Task Packs_do_not_leave_under_labels_that_say_a_later_date_than_is_known_now()
    {
        var plant = await Plant.Create();
        var sanitised = await plant.Sanitise(await plant.Receive());
        var before = plant.Later();
        plant.Later(60 * 24 * 10);
        var batch = await plant.Dry(sanitised);
        var packs = await plant.Pack(await plant.Fill("B1", batch));
        await plant.Print(packs);
        await plant.Ship(packs);
        await plant.Correct(plant.Lot(batch).MadeBySeq, new StartDrying([new(sanitised, 250)], "M1", 900, before));
        Assert.Empty(plant.Rules(packs));
        await plant.Refused("labels.outdated", "shipping/ship", plant.Shipment(packs));
        await plant.Print(packs, reason: "earlier date");
        await plant.Ship(packs);
    }
}
