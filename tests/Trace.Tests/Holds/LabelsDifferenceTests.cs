using Trace.Core.Holds;
using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Tests.Support;
using Xunit;
using Outcome = Trace.Core.Holds.Outcome;

namespace Trace.Tests.Holds;

/// <summary>Issued = applied + spoiled + returned + samples (common practice, no source), on a lot of which 40 labels were printed.</summary>
public sealed class LabelsDifferenceTests
{
    private const string Rule = "labels.difference";

    [Theory]
    [InlineData(0, 40, Outcome.Pass)]
    [InlineData(0, 39, Outcome.Hold)]
    [InlineData(0, 41, Outcome.Hold)]
    [InlineData(2, 39, Outcome.Pass)]
    [InlineData(2, 38, Outcome.Pass)]
    [InlineData(2, 37, Outcome.Hold)]
    [InlineData(2, 42, Outcome.Pass)]
    [InlineData(2, 43, Outcome.Hold)]
    public void More_missing_or_too_many_than_the_specification_allows_hold(int limit, int accounted, Outcome wanted)
    {
        var verdict = Printed(limit: limit).Counted(accounted - 6, spoiled: 1, returned: 2, samples: 3).One(Rule, "P");
        Assert.Equal(wanted, verdict.Outcome);
        Assert.Equal((40 - accounted, limit, "labels"), ((int)verdict.Value!, (int)verdict.Limit!, verdict.Unit));
    }

    [Fact]
    public void A_lot_that_was_never_counted_waits_only_where_the_specification_wants_the_count()
    {
        Assert.Empty(Printed().Judge(Rule, "P"));
        var asked = Printed(wants: true);
        Assert.Equal(Outcome.Undetermined, asked.One(Rule, "P").Outcome);
        Assert.Equal(Outcome.Pass, asked.Counted(40).One(Rule, "P").Outcome);
        Assert.Equal(Outcome.Undetermined, new Facts(made => made with { Handling = new(ReconcileLabels: true) }).Dried().Packed().One(Rule, "P").Outcome);
        Assert.Empty(asked.Judge(Rule, "D"));
    }

    [Fact]
    public void Labels_printed_after_the_count_neither_hide_a_difference_nor_make_one()
    {
        var short2 = Printed().Counted(38).Add(Print(2));
        Assert.Equal((Outcome.Hold, 2), (short2.One(Rule, "P").Outcome, (int)short2.One(Rule, "P").Value!));
        Assert.Equal(Outcome.Pass, Printed().Counted(40).Add(Print(5)).One(Rule, "P").Outcome);
        var asked = Printed(wants: true).Counted(40).Add(Print(5));
        Assert.Equal([Outcome.Pass, Outcome.Undetermined], asked.Judge(Rule, "P").Select(verdict => verdict.Outcome));
        Assert.Equal(Outcome.Pass, asked.Counted(5).One(Rule, "P").Outcome);
    }

    /// <summary>What a printer reports takes the place of what was asked for; what nobody knows holds until people say it.</summary>
    [Fact]
    public void How_many_came_out_is_the_printers_word_or_peoples()
    {
        Assert.Equal(Outcome.Pass, Printed().Sent(LabelJobState.Aborted, 12).Counted(12).One(Rule, "P").Outcome);
        Assert.Equal(Outcome.Hold, Printed().Sent(LabelJobState.Aborted, 12).Counted(40).One(Rule, "P").Outcome);
        var unknown = Printed().Sent(LabelJobState.Unknown, null).Counted(31);
        Assert.Equal(Outcome.Undetermined, unknown.One(Rule, "P").Outcome);
        Assert.Equal(Outcome.Pass, unknown.Counted(0, unreported: 31).One(Rule, "P").Outcome);

        // A file printed twice, or never, is told.
        Assert.Equal(Outcome.Hold, Printed().Counted(80).One(Rule, "P").Outcome);
        Assert.Equal(Outcome.Pass, Printed().Counted(80, unreported: 80).One(Rule, "P").Outcome);
    }

    [Fact]
    public void Labels_under_way_are_not_missing_yet()
    {
        var open = Printed().Add(Queue());
        Assert.Empty(open.Counted(0).Judge(Rule, "P"));
        Assert.Equal(Outcome.Hold, open.Add(new LabelJobEnded("J00001", "P", LabelJobState.Completed, 40, null)).One(Rule, "P").Outcome);
    }

    [Fact]
    public void Labels_counted_that_were_never_printed_decide_nothing_and_hold() =>
        Assert.Equal(Outcome.Undetermined, new Facts().Dried().Packed().Counted(1).One(Rule, "P").Outcome);

    [Fact]
    public void An_accepted_difference_covers_no_other_figures()
    {
        var facts = Printed().Counted(38);
        facts.Add(new HoldAccepted("P", Rule, facts.One(Rule, "P").EvidenceSeq, "two went into the bin with the backing paper"));
        Assert.False(facts.One(Rule, "P").Holds);
        Assert.True(facts.Counted(1).One(Rule, "P").Holds);
    }

    [Fact]
    public async Task A_difference_keeps_the_packs_here_but_not_the_labels_from_being_printed_and_a_further_count_ends_it()
    {
        var (plant, lot) = await Packed();
        await plant.Do("labels/reconcile", new ReconcileLabels(lot, 1, 0, 0));
        await plant.Refused("lot.held", "shipping/ship", plant.Shipment(lot));
        await plant.Print(lot, 1, "one was lost");
        var answer = await plant.Do("labels/reconcile", new ReconcileLabels(lot, 1, 0, 0, 1));
        Assert.Equal("The files of L00001, L00002, printed by hand, have 3 labels; 3 are accounted for.", answer.Finding);
        await plant.Ship(lot);
    }

    [Fact]
    public async Task A_corrected_count_ends_it_too_and_so_does_the_quality_officers_word()
    {
        var (plant, lot) = await Packed();
        await plant.Do("labels/reconcile", new ReconcileLabels(lot, 1, 0, 0));
        await plant.Do("holds/release", new ReleaseHold(lot, Rule, "seen in the bin"));
        Assert.Empty(plant.Rules(lot));
        await plant.Correct(plant.State.Head - 1, new ReconcileLabels(lot, 0, 0, 0));
        Assert.Equal([Rule], plant.Rules(lot));
        await plant.Correct(plant.State.Head - 2, new ReconcileLabels(lot, 1, 0, 0, 1, FirstKept: true));
        Assert.Empty(plant.Rules(lot));
        await plant.Ship(lot);
        Assert.Equal("The first label is kept; of the last nothing is said.", LabelAccount.Of(plant.Lot(lot))!.KeptWords);
    }

    [Fact]
    public async Task A_lot_whose_count_is_wanted_is_printed_counted_and_shipped_in_that_order()
    {
        var plant = await Plant.Create(made => made with { Handling = made.Handling with { ReconcileLabels = true } });
        var lot = await plant.Pack(await plant.DryFromFresh());
        await plant.Refused("lot.held", "shipping/ship", plant.Shipment(lot));
        await plant.Print(lot);
        await plant.Refused("lot.held", "shipping/ship", plant.Shipment(lot));
        await plant.Do("labels/reconcile", new ReconcileLabels(lot, 2, 0, 0));
        await plant.Ship(lot);
    }

    private static async Task<(Plant Plant, string Lot)> Packed()
    {
        var plant = await Plant.Create();
        var lot = await plant.Pack(await plant.DryFromFresh());
        await plant.Print(lot);
        return (plant, lot);
    }

    private static Facts Printed(int limit = 0, bool wants = false) =>
        new Facts(made => made with { Handling = new(ReconcileLabels: wants, LargestLabelDifference: limit) }).Dried().Packed().Add(Print(40));

    private static LabelsPrinted Print(int copies) => new(
        copies == 40 ? "L00001" : "L00002", "P", 1, copies, "pack-70x50", "",
        new PrintedLabel("en", "Dried larvae", "Feed", "P", new DateOnly(2026, 3, 2), null, null, "", "Plant", "", null, [], "https://example.org/lot/S1/P", null, "", 1, null),
        null, null);

    internal static LabelsQueued Queue() => new("J00001", "P", "L00001", 40, "Bench", "ipp://192.0.2.30/", null, null);
}

file static class Labelling
{
    public static Facts Counted(this Facts facts, int applied, int spoiled = 0, int returned = 0, int? samples = null, int? unreported = null) =>
        facts.Add(new LabelsReconciled("P", applied, spoiled, returned, samples, unreported));

    public static Facts Sent(this Facts facts, LabelJobState end, int? printed) =>
        facts.Add(LabelsDifferenceTests.Queue()).Add(new LabelJobEnded("J00001", "P", end, printed, null));
}
