using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Labels;

/// <summary>Labels that are no labels of goods: tags of held lots, samples, practice. None of them counts as a label of packs.</summary>
public sealed class HoldTagTests
{
    private static LabelsPrinted Printed(Plant plant, string print)
    {
        var entry = plant.Journal.Get(Plant.Code, plant.State.FindPrint(print)!.Value.Print.Seq)!.Entry;
        return (LabelsPrinted)Core.Areas.Codec.Read(entry.Type, entry.Payload);
    }

    [Fact]
    public async Task A_held_lot_gets_a_tag_that_says_why()
    {
        var plant = await Plant.Create();
        var lot = await plant.Pack(await plant.DryFromFresh());
        await plant.PlaceHold(lot);
        await plant.Held("labels/print", new PrintLabels(lot, 1));
        var printed = Printed(plant, (await plant.Do("labels/hold-tag", new PrintHoldTag(lot, 2))).Id!);
        Assert.Equal((TemplateKind.Hold, "hold-100x70", 2), (printed.For, printed.Template, printed.Copies));
        Assert.Contains("smells odd", printed.Label.HoldReason, StringComparison.Ordinal);
        var content = printed.Label.ToContent(plant.State.Logos);
        Assert.Equal("HOLD – DO NOT USE", LabelFields.Text("purpose", content));
        Assert.Equal(printed.Label.HoldReason, LabelFields.Text("holdReason", content));
        Assert.Null(LabelAccount.Of(plant.Lot(lot)));
    }

    /// <summary>A rule's hold too, of whatever lot, also one that has no other label.</summary>
    [Fact]
    public async Task Hot_batches_and_fresh_larvae_are_tagged_too()
    {
        var plant = await Plant.Create();
        var fresh = await plant.Receive(250);
        await plant.PlaceHold(fresh);
        Assert.Contains("smells odd", Printed(plant, (await plant.Do("labels/hold-tag", new PrintHoldTag(fresh, 1))).Id!).Label.HoldReason, StringComparison.Ordinal);
        var hot = await plant.DryWarm(await plant.Sanitise(await plant.Receive(250), 250), 250, 30);
        var label = Printed(plant, (await plant.Do("labels/hold-tag", new PrintHoldTag(hot, 1))).Id!).Label;
        Assert.True(label.HoldReason!.Length > 20);
    }

    [Fact]
    public async Task Without_a_hold_there_is_no_tag_and_no_other_way_to_one()
    {
        var plant = await Plant.Create();
        var lot = await plant.Pack(await plant.DryFromFresh());
        await plant.Refused("lot.not-held", "labels/hold-tag", new PrintHoldTag(lot, 1));
        Assert.Contains("labels/hold-tag", (await plant.Refused("labels.template", "labels/print", new PrintLabels(lot, 1, "hold-100x70"))).Detail, StringComparison.Ordinal);
        await plant.PlaceHold(lot);
        foreach (var other in new[] { "pack-70x50", "training-70x50", "sample-50x30", "container-70x50" })
            await plant.Refused("labels.template", "labels/hold-tag", new PrintHoldTag(lot, 1, other));
    }

    [Fact]
    public async Task Samples_and_practice_say_so_want_no_reason_and_count_nowhere()
    {
        var plant = await Plant.Create();
        var bulk = await plant.Fill("C-1", await plant.DryFromFresh());
        var lot = await plant.Pack(bulk, 1);
        foreach (var (template, words, kind) in new[] { ("sample-50x30", "SAMPLE – NOT FOR SALE", TemplateKind.Sample), ("training-70x50", "TRAINING – NOT FOR SALE", TemplateKind.Training) })
        {
            foreach (var one in new[] { bulk, lot, lot })
            {
                var printed = Printed(plant, (await plant.Do("labels/print", new PrintLabels(one, 1, template))).Id!);
                Assert.Equal((kind, words), (printed.For, LabelFields.Text("purpose", printed.Label.ToContent(plant.State.Logos))));
            }
        }

        Assert.Null(LabelAccount.Of(plant.Lot(lot)));
        await plant.Print(lot);
        await plant.PlaceHold(lot);
        await plant.Held("labels/print", new PrintLabels(lot, 1, "sample-50x30"));
        await plant.Held("labels/print", new PrintLabels(lot, 1, "training-70x50"));
    }

    [Fact]
    public async Task A_place_on_the_sheet_is_kept_with_the_print_and_must_be_there()
    {
        var plant = await Plant.Create();
        var lot = await plant.Pack(await plant.DryFromFresh());
        Assert.Contains("no place 25", (await plant.Refused("labels.content", "labels/print", new PrintLabels(lot, 1, "sheet-a4-3x8", StartAt: 25))).Detail, StringComparison.Ordinal);
        Assert.Equal("startAt", (await plant.Refused("labels.content", "labels/print", new PrintLabels(lot, 1, StartAt: 2))).Field);
        Assert.Equal(24, Printed(plant, (await plant.Do("labels/print", new PrintLabels(lot, 1, "sheet-a4-3x8", StartAt: 24))).Id!).StartAt);
    }
}
