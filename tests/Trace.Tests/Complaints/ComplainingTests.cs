using Trace.Core.Complaints;
using Trace.Core.Holds;
using Trace.Core.Lots;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Complaints;

public sealed class ComplainingTests
{
    [Fact]
    public async Task One_that_tells_of_harm_holds_the_lot_and_all_that_was_made_from_it_at_once()
    {
        var plant = await Plant.Create();
        var batch = await plant.DryFromFresh();
        var packs = await plant.Pack(batch);
        await plant.Do("complaints/open", new OpenComplaint(ComplaintChannel.Phone, "mould", plant.Later(), Lot: packs));
        Assert.Empty(Holds(plant, packs));
        await plant.Do("complaints/open", new OpenComplaint(
            ComplaintChannel.Phone, "vomiting", plant.Later(), [ComplaintHarm.Illness, ComplaintHarm.Animal, ComplaintHarm.Illness], batch));
        var hold = Assert.Single(Holds(plant, packs));
        Assert.Equal(("complaint.placed", batch, "Placed by Ann: K0002: vomiting"), (hold.Rule, hold.Lot, hold.Reason));
        Assert.Equal(["K0001", "K0002"], plant.State.Complaints.Select(one => one.Id));
        Assert.Equal([ComplaintHarm.Illness, ComplaintHarm.Animal], plant.State.Complaints[1].Harm);

        // A new start and a snapshot know them too.
        foreach (var state in new[] { plant.Fresh(), SiteState.FromSnapshot(plant.State.ToSnapshot()) })
            Assert.Equal(["mould", "vomiting"], state.Complaints.Select(one => one.What));
    }

    [Fact]
    public async Task One_of_a_lot_that_is_not_there_is_refused_and_without_a_lot_it_is_kept()
    {
        var plant = await Plant.Create();
        var refused = await plant.Refused("lot.unknown", "complaints/open", new OpenComplaint(ComplaintChannel.Letter, "stones", plant.Now, Lot: "P261125-999X"));
        Assert.Equal("lot", refused.Field);
        Assert.Empty(plant.State.Complaints);
        await plant.Do("complaints/open", new OpenComplaint(ComplaintChannel.Letter, "stones", plant.Now, [ComplaintHarm.Injury], LabelText: "P2611…"));
        Assert.Null(Assert.Single(plant.State.Complaints).Lot);
    }

    private static IReadOnlyList<Hold> Holds(Plant plant, string lot) => HoldRules.StandingOn(plant.State, plant.Lot(lot), plant.Now);
}
