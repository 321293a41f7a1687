using Trace.Core.Lots;
using Trace.Core.Recall;
using Trace.Tests.Support;
using Trace.Web.Views;
using Xunit;

namespace Trace.Tests.Views;

public sealed class RecentPublicLotsTests
{
    [Fact]
    public async Task A_recall_shows_at_once()
    {
        var plant = await Plant.Create();
        var batch = await plant.DryFromFresh();
        var packs = await plant.Pack(batch);
        Assert.Equal("released", View(plant, packs).Status);
        await plant.Do("recalls/open", new OpenRecall([batch], RecallKind.Recall, "complaint"));
        Assert.Equal("recalled", View(plant, packs).Status);
    }

    [Fact]
    public async Task A_view_serves_for_five_seconds_while_nothing_is_recorded()
    {
        var plant = await Plant.Create();
        var packs = await plant.Pack(await plant.DryFromFresh());
        var first = View(plant, packs);
        plant.Clock.Advance(TimeSpan.FromSeconds(5));
        Assert.Same(first, View(plant, packs));
        plant.Clock.Advance(TimeSpan.FromSeconds(1));
        Assert.NotSame(first, View(plant, packs));
        plant.Clock.Advance(TimeSpan.FromDays(400));
        Assert.Equal("date-passed", View(plant, packs).Status);
    }

    [Fact]
    public async Task A_step_that_a_hold_doubts_is_not_told()
    {
        var plant = await Plant.Create();
        var packs = await plant.Pack(await plant.DryFromFresh());
        Assert.Equal(["sanitised", "dried", "cooled", "packed"], View(plant, packs).Verified.Select(step => step.Step).ToArray());
        var warm = await plant.Dry(await plant.Sanitise(await plant.Receive(250), 250));
        await plant.Do("cooling/reading", new Core.Steps.Cooling.ReadCooling(warm, 60, 20, plant.Later()));
        var view = PublicLot.Of(plant.State, plant.Lot(warm), plant.Now);
        Assert.Equal(("held", false), (view.Status, view.Verified.Any(step => step.Step == "cooled")));
    }

    private static PublicLotView View(Plant plant, string lot) => RecentPublicLots.Of(plant.State, plant.Lot(lot), plant.Now);
}
