using Trace.Core.Figures;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Figures;

public sealed class RecallExposureTests
{
    [Fact]
    public async Task One_bad_batch_takes_back_the_whole_of_every_lot_it_reached()
    {
        var plant = await Plant.Create();
        var sanitised = await plant.Sanitise(await plant.Receive(1000), 1000);
        var one = await plant.Dry(sanitised);
        var other = await plant.Dry(sanitised);
        var alone = await plant.Dry(sanitised);
        var bulk = await plant.Fill("C1", one);
        await plant.Fill("C1", other);
        await plant.Pack(bulk);
        var exposure = RecallExposure.Of(plant.State, 30, plant.Now);

        // Both batches of 80 g went into one container lot, 80 g of it into packs: each pulls all 160 g back. The third only itself.
        Assert.Equal(3, exposure.Batches);
        Assert.Equal(80, exposure.MeanBatchGrams, 1e-9);
        Assert.Equal((160 + 160 + 80) / 3.0, exposure.MeanRecallGrams, 1e-9);
        Assert.Equal(160, exposure.WorstRecallGrams, 1e-9);
        Assert.Contains(exposure.WorstBatch, new[] { one, other });
        Assert.NotEqual(alone, exposure.WorstBatch);
        Assert.Equal((1, 160.0, 2.0), (exposure.BulkLots, exposure.MeanBulkGrams, exposure.MeanBatchesPerBulkLot));

        // Two batches with one packed lot each, and one packed lot with two batches.
        Assert.Equal(4, exposure.BatchDispersion);
        var open = exposure.Open.Single();
        Assert.Equal(("C1", bulk, 2, 80m, 160m, 0m), (open.Container, open.Lot, open.Batches, open.OnHandGrams, open.RecallGrams, open.ShippedGrams));
        Assert.Equal(["as now", "containers of half the size"], exposure.Habits.Select(habit => habit.Habit));
        Assert.Equal([240.0, 160.0], exposure.Habits.Select(habit => habit.RecallGrams));
    }

    [Fact]
    public async Task An_idle_plant_has_nothing_to_recall_and_a_wrong_period_is_refused()
    {
        var plant = await Plant.Create();
        var exposure = RecallExposure.Of(plant.State, 30, plant.Now);
        Assert.Equal((0, 0.0, null), (exposure.Batches, exposure.MeanRecallGrams, exposure.WorstBatch));
        Assert.Empty(exposure.Habits);
        Assert.Throws<ArgumentOutOfRangeException>("days", () => RecallExposure.Of(plant.State, 0, plant.Now));
        Assert.Throws<ArgumentOutOfRangeException>("days", () => RecallExposure.Of(plant.State, 367, plant.Now));
    }
}
