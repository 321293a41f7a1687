using System.Reflection;
using Trace.Core.Lots;
using Trace.Tests.Support;
using Trace.Web.Pages;
using Xunit;

namespace Trace.Tests.Views;

public sealed class BenchViewTests
{
    private static readonly FieldInfo Content = typeof(Lot).GetField("content", BindingFlags.Instance | BindingFlags.NonPublic)!;

    /// <summary>A plant has thousands of finished lots for each that stands somewhere, and the bench is looked at all day.</summary>
    [Fact]
    public async Task The_bench_does_not_unpack_what_is_gone()
    {
        var plant = await Plant.Create();
        var direct = await plant.Pack(await plant.DryFromFresh());
        await plant.Ship(direct, 2);
        var inContainer = await plant.Fill("B1", await plant.DryFromFresh());
        await plant.Ship(await plant.Pack(inContainer), 2);
        await plant.Do("filling/clean-break", new Core.Steps.Filling.ContainerRequest("B1", plant.Later()));
        var finished = plant.State.Lots.Count;
        Assert.Equal(9, finished);
        var waiting = await plant.Receive();
        var state = SiteState.FromSnapshot(plant.State.ToSnapshot());
        Assert.All(state.Lots, lot => Assert.True(IsPacked(lot)));
        var view = BenchView.Of(state, plant.Now);
        Assert.Equal(waiting, Assert.Single(view.Places.SelectMany(place => place.Cards)).Lot);
        Assert.All(state.Lots.Take(finished), lot => Assert.True(IsPacked(lot), lot.Code));
    }

    [Fact]
    public async Task Each_lot_stands_where_it_waits_for_the_next_step()
    {
        var plant = await Plant.Create();
        var fresh = await plant.Receive(4000);
        var clean = await plant.Sanitise(fresh, 3000);
        var dryer = await plant.StartDrying(clean);
        var cooling = await plant.DryWarm(clean);
        var dry = await plant.Dry(clean);
        var bulk = await plant.Fill("B1", dry);
        var unlabelled = await plant.Pack(bulk, 1);
        var labelled = await plant.Pack(bulk, 1);
        await plant.Print(labelled);
        var again = await plant.DryWarm(clean);
        await plant.Cycle(again);
        string[][] places = [[fresh], [clean], [again, dryer], [cooling], [bulk], [unlabelled], [labelled]];
        Assert.Equal(places, BenchView.Of(plant.State, plant.Now).Places.Select(place => place.Cards.Select(card => card.Lot).ToArray()));
    }

    private static bool IsPacked(Lot lot) => Content.GetValue(lot) is byte[];
}
