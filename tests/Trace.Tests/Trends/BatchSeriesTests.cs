using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Steps.Drying;
using Trace.Core.Steps.Receiving;
using Trace.Core.Trends;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Trends;

public sealed class BatchSeriesTests
{
    private static BatchFact One(Plant plant, Measure measure) => Assert.Single(BatchSeries.Of(plant.State, measure));

    [Fact]
    public async Task A_batch_has_its_values_its_dryer_product_supplier_and_operator()
    {
        var plant = await Plant.Create();
        var batch = await plant.DryWarm(await plant.Sanitise(await plant.Receive()), 250, 30);
        var fact = One(plant, Measure.Yield);
        Assert.Equal((batch, "M1", "DRIED", "Example farm", "Ann"), (fact.Lot, fact.Dryer, fact.Product, fact.Supplier, fact.Operator));
        Assert.Equal(plant.Now, fact.At);
        Assert.Equal(30, fact.Value, 1e-9);

        // By hand: 1 − (1 − 0.70)/0.30 = 0 with the book value; 900 W for 600 s is 0.15 kWh for 175 g.
        Assert.Equal(0, One(plant, Measure.PredictedMoisture).Value, 1e-9);
        Assert.Equal(0.15 / 0.175, One(plant, Measure.Energy).Value, 1e-9);
        Assert.Empty(BatchSeries.Of(plant.State, Measure.MeasuredMoisture));
        Assert.Empty(BatchSeries.Of(plant.State, Measure.WaterActivity));
    }

    [Fact]
    public async Task Only_what_was_measured_after_the_last_weigh_out_counts()
    {
        var plant = await Plant.Create();
        var batch = await plant.DryWarm(await plant.Sanitise(await plant.Receive()), 250, 36);
        await plant.Check(batch, "moisture", "0.20");
        Assert.Equal(20, One(plant, Measure.MeasuredMoisture).Value, 1e-9);
        await plant.Cycle(batch, 60);
        Assert.Empty(BatchSeries.Of(plant.State, Measure.Yield));
        await plant.WeighOut(batch, 80);
        Assert.Equal(32, One(plant, Measure.Yield).Value, 1e-9);
        Assert.Empty(BatchSeries.Of(plant.State, Measure.MeasuredMoisture));
        await plant.Check(batch, "moisture", "0.05", "0.07");
        await plant.Check(batch, "water-activity", "0.41");
        Assert.Equal(6, One(plant, Measure.MeasuredMoisture).Value, 1e-9);
        Assert.Equal(0.41, One(plant, Measure.WaterActivity).Value, 1e-9);
        await plant.Check(batch, "moisture", "<0.05");
        Assert.Empty(BatchSeries.Of(plant.State, Measure.MeasuredMoisture));
    }

    [Fact]
    public async Task A_corrected_weighing_counts_as_corrected_and_stays_the_operators()
    {
        var plant = await Plant.Create();
        var batch = await plant.DryWarm(await plant.Sanitise(await plant.Receive()), 250, 30);
        var weighed = ((DryingRecord)plant.Lot(batch).Record).LastWeighOut!;
        var outcome = await plant.TryCorrect(
            weighed.Seq, new WeighOutBatch(batch, 80, true, true, weighed.At), caller: new Caller("Kofi", "office", Roles.Owner));
        Assert.True(outcome.IsRecorded);
        var fact = One(plant, Measure.Yield);
        Assert.Equal((32.0, "Ann"), (Math.Round(fact.Value, 9), fact.Operator));
    }

    [Fact]
    public async Task Rework_is_judged_against_fresh_mass_and_several_suppliers_are_named_so()
    {
        var plant = await Plant.Create();
        var other = (await plant.Do("receiving/receive", new ReceiveLarvae("Other farm", 2000, plant.Later()))).Lot!;
        var (left, right) = (await plant.Sanitise(await plant.Receive()), await plant.Sanitise(other));
        var mixed = (await plant.Do("drying/start", new StartDrying([new(left, 125), new(right, 125)], "M1", 900, plant.Later()))).Lot!;
        await plant.Cycle(mixed);
        await plant.WeighOut(mixed, 100);
        Assert.Equal(BatchSeries.SeveralSuppliers, One(plant, Measure.Yield).Supplier);
        var again = await plant.StartDrying(mixed, 100);
        await plant.Cycle(again, 200);
        await plant.WeighOut(again, 80);
        var facts = BatchSeries.Of(plant.State, Measure.Yield);
        Assert.Equal([mixed, again], facts.Select(fact => fact.Lot));
        Assert.Equal([40.0, 32.0], facts.Select(fact => Math.Round(fact.Value, 9)));
        Assert.All(facts, fact => Assert.Equal(BatchSeries.SeveralSuppliers, fact.Supplier));
    }

    [Fact]
    public async Task A_site_read_in_slices_is_the_whole_site_and_packed_lots_keep_the_operator()
    {
        var plant = await Plant.Create();
        var run = await plant.Sanitise(await plant.Receive());
        for (var batch = 0; batch < 4; batch++) await plant.DryWarm(run, 250, 30 + batch);
        foreach (var measure in Enum.GetValues<Measure>())
        {
            var whole = BatchSeries.Of(plant.State, measure);
            Assert.Equal(whole, Enumerable.Range(0, plant.State.Lots.Count).SelectMany(at => BatchSeries.Of(plant.State, measure, at, at + 1)));
            Assert.Equal(whole, BatchSeries.Of(SiteState.FromSnapshot(plant.State.ToSnapshot()), measure));
        }

        Assert.Equal(4, BatchSeries.Of(plant.State, Measure.Yield).Count);
        Assert.Empty(BatchSeries.Of(plant.State, Measure.Yield, -5, 0));
    }
}
