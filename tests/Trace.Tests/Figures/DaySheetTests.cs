using Trace.Core.Figures;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Figures;

/// <summary>Expected figures are added up by hand.</summary>
public sealed class DaySheetTests
{
    [Fact]
    public async Task A_day_adds_up_to_what_was_told()
    {
        var plant = await Plant.Create();
        var harvest = await plant.Receive(1000);
        var sanitised = await plant.Sanitise(harvest, 980);
        var one = await plant.Dry(sanitised);
        var bulk = await plant.Fill("C1", one);
        var packed = await plant.Pack(bulk);
        var day = plant.State.Zone.DateOf(plant.State.Find(one)!.MadeAt);
        var sheet = DaySheet.Of(plant.State, day, [harvest, sanitised, one, bulk, packed, packed, "NOBODY"]);
        var batch = plant.State.Find(one)!;
        Assert.Equal((1000m, 1), (sheet.ReceivedGrams, sheet.Deliveries));
        Assert.Equal([("Sanitising", 1, 980m, 980m, 0m)], sheet.Steps.Take(1).Select(step => (step.Step, step.Count, step.InGrams, step.OutGrams, step.LossGrams)));
        var drying = (Core.Lots.DryingRecord)batch.Record;
        Assert.Equal(("Drying", 1, drying.MassIn.Grams, batch.Made.Grams), (sheet.Steps[1].Step, sheet.Steps[1].Count, sheet.Steps[1].InGrams, sheet.Steps[1].OutGrams));
        Assert.Equal((double)(batch.Made.Grams / drying.MassIn.Grams * 100), sheet.YieldPercent!.Value, 1e-9);
        Assert.Equal(((Core.Lots.PackedRecord)plant.State.Find(packed)!.Record).Packs, sheet.PacksMade);
        Assert.Equal(0, sheet.PacksShipped);
        Assert.Single(sheet.Batches);
    }

    [Fact]
    public async Task Another_day_has_nothing_of_it_and_no_yield()
    {
        var plant = await Plant.Create();
        var one = await plant.Dry(await plant.Sanitise(await plant.Receive(1000), 980));
        var sheet = DaySheet.Of(plant.State, plant.State.Zone.DateOf(plant.Now).AddDays(3), [one]);
        Assert.Equal((0m, null, 0.0, 0), (sheet.ReceivedGrams, sheet.YieldPercent, sheet.MainsKilowattHours, sheet.Batches.Count));
    }
}
