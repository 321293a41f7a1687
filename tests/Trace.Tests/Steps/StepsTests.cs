using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Shipments;
using Trace.Core.Specifications;
using Trace.Core.Steps.Checks;
using Trace.Core.Steps.Cooling;
using Trace.Core.Steps.Drying;
using Trace.Core.Steps.Filling;
using Trace.Core.Steps.Packing;
using Trace.Core.Steps.Receiving;
using Trace.Core.Steps.Sanitising;
using Trace.Core.Stock;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Steps;

/// <summary>Each step as it should go, and every way in which it is refused.</summary>
public sealed class StepsTests
{
    [Fact]
    public async Task A_delivery_gets_a_code_and_keeps_one_that_it_brings()
    {
        var plant = await Plant.Create();
        Assert.Matches("^H260302-[0-9]{3}[0-9A-Z]$", await plant.Receive(2000.5m));
        var own = await plant.Receive(lot: "FARM-7");
        Assert.Equal("FARM-7", own);
        await plant.Refused("lot.code-taken", "receiving/receive", new ReceiveLarvae("Other farm", 10, plant.Now, "FARM-7"));
        Assert.Equal([2_000_500L, 2_000_000L], plant.State.Lots.Select(lot => lot.OnHand.Milligrams));
    }

    [Theory]
    [InlineData(2, true)]
    [InlineData(2.01, false)]
    public async Task A_clock_may_be_two_minutes_ahead(double minutes, bool isTaken)
    {
        var plant = await Plant.Create();
        var outcome = await plant.Run("receiving/receive", new ReceiveLarvae("Example farm", 10, plant.Now.AddMinutes(minutes)));
        Assert.Equal(isTaken, outcome.IsRecorded);
        if (!isTaken) Assert.Equal("time.future", Assert.Single(outcome.Refusals).Code);
    }

    [Fact]
    public async Task An_unknown_lot_is_named_and_a_slip_in_one_of_ours_is_pointed_out()
    {
        var plant = await Plant.Create();
        var lot = await plant.Receive();
        var slip = lot[..^1] + (lot[^1] == 'X' ? 'Y' : 'X');
        var refusal = await plant.Refused("lot.unknown", "sanitising/run", plant.Run(slip, 10));
        Assert.Contains("mistyped", refusal.Detail);
        Assert.Equal("inputs[0].lot", refusal.Field);
        Assert.DoesNotContain("mistyped", (await plant.Refused("lot.unknown", "sanitising/run", plant.Run("FARM-9", 10))).Detail);
    }

    [Fact]
    public async Task A_sanitising_run_takes_from_its_inputs_and_no_more_than_is_there()
    {
        var plant = await Plant.Create();
        var fresh = await plant.Receive();
        var lot = await plant.Sanitise(fresh, 1500);
        Assert.Equal((500m, 1500m), (plant.Lot(fresh).OnHand.Grams, plant.Lot(lot).OnHand.Grams));
        await plant.Refused("mass.not-there", "sanitising/run", plant.Run(fresh, 502.001m));
        await plant.Refused("mass.not-there", "sanitising/run", Twice(plant, fresh));
        await plant.Refused("mass.more-out-than-in", "sanitising/run", plant.Run(fresh, 100) with { MassOutGrams = 115.001m });
        await plant.Refused("time.order", "sanitising/run", plant.Run(fresh, 100) with { HappenedAt = Plant.Start });
        await plant.Do("sanitising/run", plant.Run(fresh, 100) with { MassOutGrams = 115 });
        var dry = await plant.Dry(lot);
        await plant.Refused("lot.wrong-kind", "sanitising/run", plant.Run(dry, 10));
    }

    [Fact]
    public async Task Drying_refuses_what_cannot_be()
    {
        var plant = await Plant.Create();
        var sanitised = await plant.Sanitise(await plant.Receive());
        await plant.Refused("product.unknown", "drying/start", new StartDrying([new(sanitised, 250)], "M1", 900, plant.Later(), "OTHER"));
        await plant.Refused("mass.not-there", "drying/start", new StartDrying([new(sanitised, 2003)], "M1", 900, plant.Later()));
        await plant.Refused("time.order", "drying/start", new StartDrying([new(sanitised, 250)], "M1", 900, Plant.Start));
        var batch = await plant.StartDrying(sanitised);
        var started = plant.Now;
        await plant.Refused("lot.wrong-kind", "drying/cycle", new RecordCycle(sanitised, 60, plant.Later()));
        await plant.Refused("time.order", "drying/cycle", new RecordCycle(batch, 60, started.AddSeconds(-1)));
        await plant.Refused("mass.more-out-than-in", "drying/cycle", new RecordCycle(batch, 60, plant.Later(), MassGrams: 252.001m));
        await plant.Do("drying/cycle", new RecordCycle(batch, 600, plant.Later(10), MassGrams: 100));
        await plant.Refused("time.order", "drying/cycle", new RecordCycle(batch, 60, plant.Now.AddMinutes(-1)));
        await plant.Refused("mass.more-out-than-in", "drying/weigh-out", new WeighOutBatch(batch, 102.001m, true, true, plant.Later()));
        await plant.Refused("time.order", "drying/weigh-out", new WeighOutBatch(batch, 80, true, true, plant.Now.AddMinutes(-2)));
        await plant.Refused("lot.wrong-kind", "drying/weigh-out", new WeighOutBatch(sanitised, 80, true, true, plant.Later()));
        await plant.Refused("lot.in-process", "stock/dispose", new StockRequest(batch, "burnt", plant.Later(), 10));
        await plant.WeighOut(batch);
        await plant.Cool(batch);
        await plant.Pack(batch, 1);
        await plant.Refused("lot.gone-on", "drying/cycle", new RecordCycle(batch, 60, plant.Later()));
        await plant.Refused("lot.gone-on", "drying/weigh-out", new WeighOutBatch(batch, 40, true, true, plant.Later()));
    }

    [Fact]
    public async Task A_batch_in_the_dryer_goes_nowhere()
    {
        var plant = await Plant.Create();
        var sanitised = await plant.Sanitise(await plant.Receive());
        var batch = await plant.StartDrying(sanitised);
        await plant.Refused("lot.in-process", "drying/start", new StartDrying([new(batch, 10)], "M1", 900, plant.Later()));
        await plant.Held("packing/pack", plant.Packs(batch, 1));
        await plant.Cycle(batch);
        await plant.WeighOut(batch);
        await plant.Cool(batch);
        await plant.Cycle(batch, 60);
        await plant.Held("packing/pack", plant.Packs(batch, 1));
    }

    [Fact]
    public async Task Cooling_and_checks_want_a_lot_that_was_there()
    {
        var plant = await Plant.Create();
        var sanitised = await plant.Sanitise(await plant.Receive());
        await plant.Refused("lot.wrong-kind", "cooling/reading", new ReadCooling(sanitised, 22, 20, plant.Later()));
        var dry = await plant.Dry(sanitised);
        await plant.Refused("time.order", "cooling/reading", new ReadCooling(dry, 22, 20, Plant.Start));
        await plant.Refused("time.order", "checks/record", new RecordCheck(dry, "moisture", [new("0.06")], Plant.Start));
        await plant.Check(dry, "salmonella", "<10");
        Assert.Equal(["<10"], plant.Lot(dry).Checks[^1].Values);
    }

    [Fact]
    public async Task A_container_holds_one_lot_until_it_is_empty_and_clean()
    {
        var plant = await Plant.Create();
        var sanitised = await plant.Sanitise(await plant.Receive());
        var first = await plant.Dry(sanitised);
        var bulk = await plant.Fill("B1", first);
        var opened = plant.Now;
        var second = await plant.Dry(sanitised);
        Assert.Equal(bulk, await plant.Fill("B1", second, 60));
        Assert.Equal(140, plant.Lot(bulk).OnHand.Grams);
        await plant.Refused("mass.not-there", "filling/fill", new FillContainer("B1", [new(second, 22.1m)], plant.Later()));
        await plant.Refused("lot.wrong-kind", "filling/fill", new FillContainer("B1", [new(await plant.Pack(second, 1, 20), 20)], plant.Later()));
        await plant.Do("filling/open", new ContainerRequest("B1", plant.Later()));
        await plant.Do("filling/close", new ContainerRequest("B1", plant.Later()));
        await plant.Refused("time.order", "filling/clean-break", new ContainerRequest("B1", opened.AddMinutes(-1)));
        await plant.Do("filling/clean-break", new ContainerRequest("B1", plant.Later()));
        Assert.Equal((0m, 140m), (plant.Lot(bulk).OnHand.Grams, plant.Lot(bulk).Unaccounted.Grams));
        foreach (var verb in new[] { "open", "close", "clean-break" })
            await plant.Refused("container.empty", "filling/" + verb, new ContainerRequest("B1", plant.Later()));
        var third = await plant.Dry(sanitised);
        Assert.NotEqual(bulk, await plant.Fill("B1", third));
    }

    [Fact]
    public async Task A_fill_before_its_container_was_opened_is_refused()
    {
        var plant = await Plant.Create();
        var sanitised = await plant.Sanitise(await plant.Receive());
        var first = await plant.Dry(sanitised);
        var second = await plant.Dry(sanitised);
        var before = plant.Now;
        await plant.Cool(first, restMinutes: 1);
        await plant.Fill("B1", first);
        await plant.Refused("time.order", "filling/fill", new FillContainer("B1", [new(second, 80)], before));
    }

    [Fact]
    public async Task Product_does_not_go_into_itself()
    {
        var plant = await Plant.Create();
        var dry = await plant.DryFromFresh();
        var one = await plant.Fill("B1", dry);
        await plant.Refused("lot.circle", "filling/fill", new FillContainer("B1", [new(one, 10)], plant.Later()));
        var two = await plant.Fill("B2", one, 40);
        await plant.Refused("lot.circle", "filling/fill", new FillContainer("B1", [new(two, 10)], plant.Later()));
    }

    [Fact]
    public async Task Two_products_are_not_mixed()
    {
        var plant = await Plant.Create();
        await plant.Specify(made => made with { Product = "OTHER", Name = "Other larvae" });
        var sanitised = await plant.Sanitise(await plant.Receive());
        var one = await plant.Dry(sanitised);
        var other = (await plant.Do("drying/start", new StartDrying([new(sanitised, 250)], "M1", 900, plant.Later(), "OTHER"))).Lot!;
        await plant.Cycle(other);
        await plant.WeighOut(other);
        await plant.Cool(other);
        await plant.Cool(one, restMinutes: 1);
        await plant.Fill("B1", one, 40);
        await plant.Refused("product.mixed", "filling/fill", new FillContainer("B1", [new(other, 40)], plant.Later()));
        await plant.Refused("product.mixed", "filling/fill", new FillContainer("B2", [new(one, 20), new(other, 20)], plant.Later()));
        await plant.Refused("product.mixed", "packing/pack", plant.Packs(other, 1));
        await plant.Refused("product.mixed", "drying/start", new StartDrying([new(one, 20), new(other, 20)], "M1", 900, plant.Later()));
    }

    [Fact]
    public async Task Packs_weigh_no_more_than_was_taken_and_have_an_approved_size()
    {
        var plant = await Plant.Create(made => made with { Label = made.Label with { PackSizesGrams = [40m, 20m] } });
        var dry = await plant.DryFromFresh();
        await plant.Refused("mass.pack-size", "packing/pack", plant.Packs(dry, 1, 30));
        await plant.Refused("mass.more-out-than-in", "packing/pack", plant.Packs(dry, 2) with { Inputs = [new(dry, 77.999m)] });
        await plant.Refused("mass.not-there", "packing/pack", plant.Packs(dry, 3));
        await plant.Refused("product.unknown", "packing/pack", plant.Packs(dry, 1) with { Product = "NONE" });
        await plant.Refused("time.order", "packing/pack", plant.Packs(dry, 1) with { HappenedAt = plant.Lot(dry).MadeAt.AddMinutes(-1) }, true);
        var packs = await plant.Pack(dry);
        Assert.Equal((80m, 0m), (plant.Lot(packs).OnHand.Grams, plant.Lot(dry).OnHand.Grams));
        await plant.Held("packing/pack", plant.Packs(await plant.Sanitise(await plant.Receive(), 100, 62), 1));
        await plant.Refused("lot.wrong-kind", "packing/pack", plant.Packs(packs, 1));
    }

    [Fact]
    public async Task Labels_say_what_they_are_for_and_a_reprint_says_why()
    {
        var plant = await Plant.Create();
        var sanitised = await plant.Sanitise(await plant.Receive());
        var dry = await plant.Dry(sanitised);
        var packs = await plant.Pack(dry, 1);
        await plant.Refused("lot.wrong-kind", "labels/print", new PrintLabels(sanitised, 1));
        await plant.Refused("labels.template", "labels/print", new PrintLabels(packs, 1, "no-such"));
        await plant.Refused("labels.template", "labels/print", new PrintLabels(dry, 1, "pack-70x50"));
        await plant.Refused("labels.not-printed", "labels/reconcile", new ReconcileLabels(packs, 1, 0, 0));
        var print = await plant.Print(packs);
        await plant.Refused("labels.reprint-reason", "labels/print", new PrintLabels(packs, 1));
        await plant.Refused("labels.reprint-reason", "labels/print", new PrintLabels(packs, 1, Reason: " "));
        Assert.NotEqual(print.Id, (await plant.Print(packs, reason: "torn")).Id);
        await plant.Do("labels/reconcile", new ReconcileLabels(packs, 1, 1, 0));
        await plant.Refused("lot.wrong-kind", "labels/reconcile", new ReconcileLabels(dry, 1, 0, 0));
        Assert.Equal([1, 2], plant.Lot(packs).Prints.Select(made => made.Number));
        var first = (LabelsPrinted)Core.Areas.Codec.Read(LabelsPrinted.Type, plant.Journal.Get(Plant.Code, print.Seq)!.Entry.Payload);
        Assert.Equal((packs, new DateOnly(2026, 3, 2), new DateOnly(2026, 9, 2)), (first.Label.LotCode, first.Label.ProductionDate, first.Label.BestBefore));
        Assert.Equal($"https://trace.example.org/lot/S1/{packs}", first.Label.Uri);
    }

    [Fact]
    public async Task Only_packs_that_are_there_are_shipped()
    {
        var plant = await Plant.Create();
        var dry = await plant.DryFromFresh();
        var packs = await plant.Pack(dry, 1);
        await plant.Refused("lot.wrong-kind", "shipping/ship", plant.Shipment(dry));
        await plant.Refused("mass.not-there", "shipping/ship", plant.Shipment(packs, 2));
        await plant.Refused("mass.not-there", "shipping/ship", plant.Shipment(packs) with { Lines = [new(packs, 1), new(packs, 1)] });
        await plant.Refused("time.order", "shipping/ship", plant.Shipment(packs) with { HappenedAt = plant.Lot(packs).MadeAt.AddSeconds(-1) }, true);
        var shipped = await plant.Ship(packs);
        Assert.Equal("V0001", shipped.Id);
        Assert.Equal(0, shipped.OnHandGrams);
        await plant.Refused("mass.not-there", "shipping/ship", plant.Shipment(packs));
        Assert.Equal("Example shop", Assert.Single(plant.Lot(packs).Shipments).Customer);
    }

    [Fact]
    public async Task Stock_is_disposed_of_sampled_and_counted()
    {
        var plant = await Plant.Create();
        var dry = await plant.DryFromFresh();
        var packs = await plant.Pack(dry, 1);
        await plant.Do("stock/dispose", new StockRequest(dry, "burnt", plant.Later(), 10));
        await plant.Do("stock/sample", new StockRequest(dry, "laboratory", plant.Later(), 5));
        await plant.Count(dry, 24);
        var lot = plant.Lot(dry);
        Assert.Equal((10m, 5m, 1m, 24m), (lot.Disposed.Grams, lot.Sampled.Grams, lot.Unaccounted.Grams, lot.OnHand.Grams));
        await plant.Refused("mass.not-there", "stock/dispose", new StockRequest(dry, "burnt", plant.Later(), 26.001m));
        await plant.Refused("lot.wrong-kind", "stock/sample", new StockRequest(dry, "taste", plant.Later(), Packs: 1));
        await plant.Refused("time.order", "stock/count", new StockRequest(dry, "counted", Plant.Start, 24));
        await plant.Do("stock/dispose", new StockRequest(packs, "torn", plant.Later(), Packs: 1));
        Assert.Equal(0, plant.Lot(packs).OnHand.Grams);
        await plant.Refused("mass.not-there", "shipping/ship", plant.Shipment(packs));
    }

    [Fact]
    public async Task Recalls_are_opened_and_closed_once_and_their_holds_stay()
    {
        var plant = await Plant.Create();
        var fresh = await plant.Receive();
        var opened = await plant.Do("recalls/open", new Core.Recall.OpenRecall([fresh, fresh], RecallKind.Recall, "glass"));
        Assert.Equal("R01", opened.Id);
        Assert.Single(plant.Lot(fresh).PlacedHolds);
        await plant.Refused("recall.unknown", "recalls/close", new Core.Recall.CloseRecall("R02", "none"));
        await plant.Do("recalls/close", new Core.Recall.CloseRecall("R01", "all back", "glass in the larvae"), caller: Plant.Ben);
        await plant.Refused("recall.closed", "recalls/close", new Core.Recall.CloseRecall("R01", "again"));
        Assert.Contains("recall.placed", plant.Rules(fresh));
    }

    [Fact]
    public async Task A_version_that_is_not_there_is_not_approved()
    {
        var plant = await Plant.Create();
        foreach (var (product, version) in new[] { (DefaultSpecification.Product, 2), (DefaultSpecification.Product, 0), ("NONE", 1) })
            await plant.Refused("product.version", "products/approve", new Core.Products.ApproveProduct(product, version));
    }

    [Fact]
    public async Task Numbers_go_on_after_those_that_were_assigned_and_a_huge_foreign_number_stops_nothing()
    {
        var plant = await Plant.Create();
        await plant.Receive(lot: "H260302-2147483647X");
        Assert.Matches("^H260302-00[1-9]", await plant.Receive());
        await plant.Receive(lot: "H260302-040X");
        Assert.Matches("^H260302-04[1-9]", await plant.Receive());
    }

    private static RunSanitising Twice(Plant plant, string lot)
    {
        var run = plant.Run(lot, 300);
        return run with { Inputs = [.. run.Inputs, .. run.Inputs] };
    }
}
