using Trace.Core.Figures;
using Trace.Core.Lots;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Figures;

public sealed class OwnerFiguresTests
{
    [Fact]
    public async Task What_stands_in_the_house_is_told_apart_by_what_may_be_done_with_it()
    {
        var plant = await Plant.Create();
        var sanitised = await plant.Sanitise(await plant.Receive(1000), 1000);
        var one = await plant.Dry(sanitised);
        var bulk = await plant.Fill("C1", one);
        var packed = await plant.Pack(bulk);
        var packs = ((PackedRecord)plant.State.Find(packed)!.Record).Packs;
        var figures = OwnerFigures.Of(plant.State, 30, plant.Now);
        Assert.Equal((1, packs, packs, 0, 0), (figures.Batches, figures.PackedPacks, figures.WaitingPacks, figures.SellablePacks, figures.HeldLots));
        Assert.Equal(plant.State.Find(one)!.Made.GramsApprox, figures.DriedGrams, 1e-9);
        var dryer = Assert.Single(figures.ByDryer);
        Assert.Equal(dryer.OutGrams / dryer.InGrams * 100, dryer.YieldPercent, 1e-9);
        Assert.Equal(figures.DriedGrams, Assert.Single(figures.BySupplier).OutGrams, 1e-9);
        var risk = Assert.Single(figures.Open);
        Assert.Equal(("C1", bulk, 0, 0, 0m), (risk.Container, risk.Lot, risk.PacksShipped, risk.Customers, risk.ShippedGrams));
        Assert.Equal(plant.State.Find(bulk)!.OnHand.Grams + plant.State.Find(packed)!.OnHand.Grams, risk.RecallGrams);

        await plant.PlaceHold(packed);
        var held = OwnerFigures.Of(plant.State, 30, plant.Now);
        Assert.Equal((0, 1), (held.WaitingPacks, held.HeldLots));
        Assert.Equal(plant.State.Find(packed)!.OnHand.Grams, held.HeldGrams);
    }

    [Fact]
    public async Task An_idle_plant_has_no_figures_and_a_wrong_period_is_refused()
    {
        var plant = await Plant.Create();
        var figures = OwnerFigures.Of(plant.State, 30, plant.Now);
        Assert.Equal((0, 0.0, null, 0m), (figures.Batches, figures.DriedGrams, figures.EnergyCostPerKilogram, figures.GivenAwayGrams));
        Assert.Empty(figures.Open);
        Assert.Throws<ArgumentOutOfRangeException>("days", () => OwnerFigures.Of(plant.State, 0, plant.Now));
    }
}
