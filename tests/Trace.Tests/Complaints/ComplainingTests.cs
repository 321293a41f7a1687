using Trace.Core.Complaints;
using Trace.Core.Holds;
using Trace.Core.Lots;
using Trace.Core.Recall;
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

    [Fact]
    public async Task One_is_judged_answered_and_closed_in_that_order_and_all_of_it_stays()
    {
        var plant = await Plant.Create();
        var packs = await plant.Pack(await plant.DryFromFresh());
        await plant.Do("complaints/open", new OpenComplaint(ComplaintChannel.Phone, "mould", plant.Later(), LabelText: "P26..", Contact: "+000 555 0123"));
        var judge = new AssessComplaint("K0001", ComplaintReach.Lot, ComplaintFault.Mould, "Kept sample is mouldy too.");
        await plant.Refused("complaint.open", "complaints/close", new CloseComplaint("K0001", "done"));
        Assert.Equal("lot", (await plant.Refused("complaint.lot", "complaints/assess", judge)).Field);
        await plant.Do("complaints/assess", judge with { Reach = ComplaintReach.Isolated });
        await plant.Do("complaints/assess", judge with { Lot = packs, Hold = true });
        Assert.Equal("complaint.placed", Assert.Single(Holds(plant, packs)).Rule);
        await plant.Refused("complaint.open", "complaints/close", new CloseComplaint("K0001", "done"));
        await plant.Do("complaints/answer", new AnswerComplaint("K0001", "Money back.", plant.Later()));
        await plant.Do("complaints/close", new CloseComplaint("K0001", "Recalled."));
        await plant.Refused("complaint.closed", "complaints/assess", judge);
        await plant.Refused("complaint.unknown", "complaints/assess", judge with { Complaint = "K0007" });
        foreach (var state in new[] { plant.State, plant.Fresh(), SiteState.FromSnapshot(plant.State.ToSnapshot()) })
        {
            var complaint = Assert.Single(state.Complaints);
            Assert.Equal((packs, 2, "Money back.", "Recalled."), (complaint.Lot, complaint.Assessments.Count, complaint.Answer!.Text, complaint.Closed!.Conclusion));
        }
    }

    [Fact]
    public async Task An_action_that_does_not_help_is_open_again_with_its_history()
    {
        var plant = await Plant.Create();
        await plant.Do("complaints/open", new OpenComplaint(ComplaintChannel.Phone, "mould", plant.Later()));
        var today = plant.State.Zone.DateOf(plant.Now);
        var plan = new PlanAction("K0001", ActionKind.Corrective, "New seal on C-1", "Asha", today.AddDays(3));
        await plant.Refused("action.about", "actions/plan", plan with { About = "K0002" });
        Assert.Equal("dueOn", (await plant.Refused("time.order", "actions/plan", plan with { DueOn = today.AddDays(-1) })).Field);
        await plant.Do("actions/plan", plan);
        await plant.Refused("action.state", "actions/check", new CheckAction("A0001", true, "looks good"));
        await plant.Do("actions/done", new NoteAction("A0001", "invoice 12"));
        await plant.Refused("action.state", "actions/done", new NoteAction("A0001", "again"));
        await plant.Do("actions/check", new CheckAction("A0001", false, "still damp"));
        var action = Assert.Single(plant.State.Actions);
        Assert.Equal((ActionState.Open, 2), (action.State, action.Notes.Count));
        Assert.Equal((false, true), (action.IsOverdue(today.AddDays(3)), action.IsOverdue(today.AddDays(4))));
        await plant.Do("actions/done", new NoteAction("A0001", "invoice 13"));
        await plant.Do("actions/check", new CheckAction("A0001", true, "dry for a week"));
        Assert.Equal([ActionState.Done, ActionState.Open, ActionState.Done, ActionState.Effective], plant.State.Actions[0].Notes.Select(note => note.State));
        await plant.Refused("action.unknown", "actions/done", new NoteAction("A0002", "what"));
        Assert.Equal(StateText.Of(plant.State), StateText.Of(SiteState.FromSnapshot(plant.State.ToSnapshot())));
    }

    [Fact]
    public async Task The_trend_counts_by_month_against_the_packs_that_left()
    {
        var plant = await Plant.Create();
        var packs = await plant.Pack(await plant.DryFromFresh());
        await plant.Ship(packs, 2);
        for (var time = 0; time < 2; time++)
            await plant.Do("complaints/open", new OpenComplaint(ComplaintChannel.Phone, "mould", plant.Later(), Lot: packs));
        var trend = ComplaintTrend.Of(plant.State, 3, plant.Now);
        Assert.Equal([0, 0, 2], trend.Months.Select(month => month.Complaints));
        Assert.Equal((2L, 10_000.0), (trend.Months[2].Packs, trend.Months[2].Rate));
        Assert.Null(trend.Months[0].Rate);

        // Two alike on one lot are looked at; judged as different faults they are not alike.
        Assert.Equal(["K0001", "K0002"], Assert.Single(trend.Repeated).Complaints);
        await plant.Do("complaints/assess", new AssessComplaint("K0001", ComplaintReach.Isolated, ComplaintFault.Mould, "seen"));
        Assert.Empty(ComplaintTrend.RepeatedOf(plant.State));
    }

    private static IReadOnlyList<Hold> Holds(Plant plant, string lot) => HoldRules.StandingOn(plant.State, plant.Lot(lot), plant.Now);
}
