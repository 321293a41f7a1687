using Trace.Core.Corrections;
using Trace.Core.Lots;
using Trace.Core.Steps.Checks;
using Trace.Core.Steps.Cooling;
using Trace.Core.Steps.Drying;
using Trace.Core.Steps.Filling;
using Trace.Core.Steps.Packing;
using Trace.Core.Steps.Receiving;
using Trace.Core.Steps.Sanitising;
using Trace.Core.Tracing;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Corrections;

public sealed class CorrectionTests
{
    [Fact]
    public async Task After_a_correction_the_site_is_as_if_it_had_been_told_right()
    {
        var wrong = await Story(87);
        var right = await Story(82);
        await wrong.Correct(Last(wrong).Seq, new WeighOutBatch(Dried(wrong), 82, true, true, Last(wrong).At));

        // What is left of the mistake: the correction itself, and who knows of it.
        Assert.Equal(Without(StateText.Of(right.State)), Without(StateText.Of(wrong.State)));
        Assert.Equal(StateText.Of(wrong.Fresh()), StateText.Of(wrong.State));
        Assert.Equal(right.State.Head + 1, wrong.State.Head);
    }

    [Fact]
    public async Task Both_values_stay_in_the_journal()
    {
        var plant = await Story(82);
        var seq = Last(plant).Seq;
        var before = plant.Journal.Get(Plant.Code, seq)!;
        var answer = await plant.Correct(seq, new WeighOutBatch(Dried(plant), 80.5m, true, true, Last(plant).At));
        Assert.Equal(before, plant.Journal.Get(Plant.Code, seq));
        Assert.Contains("82000", before.Entry.Payload);
        var correction = plant.Journal.Get(Plant.Code, answer.Seq)!.Entry;
        Assert.Equal(EntryCorrected.Type, correction.Type);
        Assert.Contains("80500", correction.Payload);
        Assert.Contains("a slip", correction.Payload);
        Assert.Equal((seq, answer.Seq, false), (plant.State.Corrections[0].Corrects, plant.State.Corrections[0].Seq, plant.State.Corrections[0].Voided));
    }

    [Fact]
    public async Task Rule_holds_follow_a_correction_onto_packs_that_are_shipped()
    {
        var plant = await Story(80);
        var packs = plant.State.Lots[^1];
        Assert.Empty(plant.Rules(packs.Code));
        await plant.Correct(Last(plant).Seq, new WeighOutBatch(Dried(plant), 112.5m, true, false, Last(plant).At));
        Assert.Equal(["drying.indicators", "drying.yield-high"], plant.Rules(packs.Code).Order());
        Assert.True(LotSummary.Of(plant.State, plant.Lot(packs.Code), plant.Now).ShippedWhileHeld);
        await plant.Held("shipping/ship", plant.Shipment(packs.Code));
        await plant.Correct(Last(plant).Seq, new WeighOutBatch(Dried(plant), 80, true, true, Last(plant).At));
        Assert.Empty(plant.Rules(packs.Code));
        Assert.Equal(2, plant.State.Corrections.Count);
        Assert.Equal(StateText.Of(plant.Fresh()), StateText.Of(plant.State));
    }

    [Fact]
    public async Task A_made_lot_keeps_its_code_when_it_is_corrected_also_to_another_day()
    {
        var plant = await Plant.Create();
        var fresh = await plant.Receive();
        plant.Later(60 * 24);
        await plant.Correct(plant.Lot(fresh).MadeBySeq, new ReceiveLarvae("Other farm", 1900, plant.Now, "IGNORED"));
        var lot = Assert.Single(plant.State.Lots);
        Assert.Equal((fresh, 1900m, plant.Now), (lot.Code, lot.OnHand.Grams, lot.MadeAt));
        Assert.Equal("Other farm", ((HarvestRecord)lot.Record).Supplier);
    }

    [Fact]
    public async Task A_void_entry_no_longer_counts_and_its_code_is_never_used_again()
    {
        var plant = await Plant.Create();
        var one = await plant.Receive();
        await plant.Correct(plant.Lot(one).MadeBySeq, null);
        Assert.Empty(plant.State.Lots);
        Assert.True(plant.State.IsTaken(one));
        Assert.NotEqual(one, await plant.Receive());
        await plant.Refused("lot.code-taken", "receiving/receive", new ReceiveLarvae("Example farm", 10, plant.Now, one));
        Assert.Equal(StateText.Of(plant.Fresh()), StateText.Of(plant.State));
    }

    [Fact]
    public async Task A_void_entry_can_be_made_to_count_again()
    {
        var plant = await Plant.Create();
        var one = await plant.Receive();
        var seq = plant.Lot(one).MadeBySeq;
        await plant.Correct(seq, null);
        await plant.Correct(seq, new ReceiveLarvae("Example farm", 1000, plant.Now));
        Assert.Equal((one, 1000m), (plant.State.Lots[0].Code, plant.State.Lots[0].OnHand.Grams));
    }

    [Fact]
    public async Task A_lot_in_use_is_not_voided_until_its_users_are()
    {
        var plant = await Plant.Create();
        var fresh = await plant.Receive();
        var madeBy = plant.Lot(fresh).MadeBySeq;
        var sanitised = await plant.Sanitise(fresh);
        await Refused(plant, "lot.gone-on", madeBy, null);
        await plant.Correct(plant.Lot(sanitised).MadeBySeq, null);
        await plant.Correct(madeBy, null);
        Assert.Empty(plant.State.Lots);
        Assert.Equal(StateText.Of(plant.Fresh()), StateText.Of(plant.State));
    }

    [Fact]
    public async Task A_lot_that_only_a_correction_uses_is_in_use()
    {
        var plant = await Plant.Create();
        var one = await plant.Receive();
        var two = await plant.Receive();
        var sanitised = await plant.Sanitise(one, 1000);
        var made = plant.Lot(sanitised).MadeAt;
        await plant.Correct(plant.Lot(sanitised).MadeBySeq, new RunSanitising([new(two, 1000)], "hot-water", Plant.Level(made, 75), 1000, made));
        await Refused(plant, "lot.gone-on", plant.Lot(two).MadeBySeq, null);
        await plant.Correct(plant.Lot(one).MadeBySeq, null);
        Assert.Equal([two, sanitised], plant.State.Lots.Select(lot => lot.Code));
    }

    [Fact]
    public async Task A_fill_told_for_the_wrong_container_is_corrected_or_refused_and_never_breaks_the_fold()
    {
        var plant = await Plant.Create();
        var sanitised = await plant.Sanitise(await plant.Receive());
        var first = await plant.Dry(sanitised);
        var second = await plant.Dry(sanitised);
        await plant.Cool(first, restMinutes: 1);
        var one = await plant.Fill("B1", first, 40);
        var two = await plant.Fill("B2", first, 40);
        await plant.Fill("B1", second);
        var at = plant.Now;
        var added = plant.State.Head;

        // Into the other container that has a lot: the mass follows.
        await plant.Correct(added, new FillContainer("B2", [new(second, 80)], at));
        Assert.Equal((40m, 120m), (plant.Lot(one).OnHand.Grams, plant.Lot(two).OnHand.Grams));

        // Into an empty one it would begin a lot: void it and tell it anew.
        await Refused(plant, "entry.not-correctable", added, new FillContainer("B3", [new(second, 80)], at));
        await plant.Correct(added, null);
        Assert.Equal(40, plant.Lot(two).OnHand.Grams);
        await plant.Fill("B3", second);

        // The first fill of a container that was used since stays where it was.
        await plant.Pack(two, 1);
        await Refused(plant, "lot.gone-on", plant.Lot(two).MadeBySeq, new FillContainer("B1", [new(first, 40)], plant.Lot(two).MadeAt));
        Assert.Equal(StateText.Of(plant.Fresh()), StateText.Of(plant.State));
    }

    [Fact]
    public async Task A_first_fill_moved_to_an_empty_container_takes_its_lot_along()
    {
        var plant = await Plant.Create();
        var dry = await plant.DryFromFresh();
        var bulk = await plant.Fill("B1", dry);
        await plant.Correct(plant.Lot(bulk).MadeBySeq, new FillContainer("B2", [new(dry, 80)], plant.Now));
        Assert.Equal(("B2", null), (plant.State.Containers.Values.Single(container => container.Lot == bulk).Code, plant.State.Containers.GetValueOrDefault("B1")?.Lot));
        Assert.Equal("B2", ((BulkRecord)plant.Lot(bulk).Record).Container);
        await plant.Do("filling/clean-break", new ContainerRequest("B2", plant.Later()));
        Assert.Null(plant.State.Containers["B2"].Lot);
    }

    [Fact]
    public async Task A_correction_is_refused_for_what_would_have_been_refused()
    {
        var plant = await Plant.Create();
        var fresh = await plant.Receive();
        var sanitised = await plant.Sanitise(fresh, 1000);
        var seq = plant.Lot(sanitised).MadeBySeq;
        var at = plant.Lot(sanitised).MadeAt;
        RunSanitising Run(decimal grams, string lot) => new([new(lot, grams)], "hot-water", Plant.Level(at, 75), grams, at);
        await Refused(plant, "mass.not-there", seq, Run(2500, fresh));
        await Refused(plant, "lot.unknown", seq, Run(100, "NONE"));

        // A lot that did not exist yet when it happened.
        await Refused(plant, "lot.unknown", seq, Run(100, sanitised));
        await Refused(plant, "time.future", seq, Run(100, fresh) with { HappenedAt = plant.Now.AddHours(1) });
        var refusal = await Refused(plant, "mass.more-out-than-in", seq, Run(100, fresh) with { MassOutGrams = 200 });
        Assert.Equal("replacement.massOutGrams", refusal.Field);
    }

    [Fact]
    public async Task A_fill_is_not_moved_into_a_container_that_a_later_clean_break_would_empty_of_another_lot()
    {
        var plant = await Plant.Create();
        var dry = await plant.DryFromFresh();
        await plant.Fill("B1", dry, 40);
        var (seq, at) = (plant.State.Head, plant.Now);
        var other = await plant.Fill("B2", dry, 40);
        await plant.Do("filling/clean-break", new ContainerRequest("B1", plant.Later()));
        await Refused(plant, "entry.not-correctable", seq, new FillContainer("B2", [new(dry, 40)], at));
        Assert.Equal(other, plant.State.Containers["B2"].Lot);
    }

    [Fact]
    public async Task Holds_prints_recalls_and_specifications_are_not_corrected()
    {
        var plant = await Plant.Create();
        var packs = await plant.Pack(await plant.DryFromFresh());
        await plant.Print(packs);
        await plant.PlaceHold(packs);
        await plant.Do("recalls/open", new Core.Recall.OpenRecall([packs], RecallKind.Drill, "exercise"));
        var correction = await plant.Correct(plant.Lot(packs).MadeBySeq, plant.Packs(plant.State.Lots[2].Code) with { HappenedAt = plant.Lot(packs).MadeAt });
        var types = plant.Journal.Read(Plant.Code).Where(entry => !Core.Areas.Operations.Any(one => one.Corrects == entry.Entry.Type)).ToList();
        Assert.Equal(
            ["holds.placed", "journal.corrected", "labels.printed", "products.approved", "products.specified", "recalls.opened", "site.described"],
            types.Select(entry => entry.Entry.Type).Distinct().Order());
        foreach (var entry in types) await Refused(plant, "entry.not-correctable", entry.Seq, null);
        await Refused(plant, "entry.unknown", correction.Seq + 1, null);
    }

    [Fact]
    public async Task A_replacement_of_another_kind_is_refused()
    {
        var plant = await Plant.Create();
        var lot = await plant.Receive();
        var request = new Core.Stock.StockRequest(lot, "mouldy", plant.Now, 10);
        var seq = (await plant.Do("stock/dispose", request)).Seq;
        await Refused(plant, "entry.not-correctable", seq, request, "stock/sample");
        await plant.Correct(seq, request with { MassGrams = 20 });
        Assert.Equal((20m, 0m), (plant.Lot(lot).Disposed.Grams, plant.Lot(lot).Sampled.Grams));
    }

    [Fact]
    public async Task Every_correctable_step_can_be_corrected_and_voided()
    {
        var plant = await Story(80);
        var dry = Dried(plant);
        var cycle = ((DryingRecord)plant.Lot(dry).Record).Cycles[0];
        await plant.Correct(cycle.Seq, new RecordCycle(dry, 100, cycle.At));
        Assert.Contains("drying.energy", plant.Rules(dry));
        await plant.Correct(cycle.Seq, null);
        Assert.Empty(((DryingRecord)plant.Lot(dry).Record).Cycles);
        await plant.Correct(cycle.Seq, new RecordCycle(dry, 600, cycle.At));
        var reading = plant.Lot(dry).Readings[0];
        await plant.Correct(reading.Seq, null);
        Assert.Contains("cooling.temperature", plant.Rules(plant.State.Lots[^1].Code));
        await plant.Correct(reading.Seq, new ReadCooling(dry, 22, 20, reading.At));
        Assert.Empty(plant.Rules(plant.State.Lots[^1].Code));
        var check = (await plant.Check(dry, "moisture", "0.6")).Seq;
        await plant.Correct(check, new RecordCheck(dry, "moisture", [new("0.06")], plant.Now));
        Assert.Equal(["0.06"], plant.Lot(dry).Checks.Single().Values);
        var shipment = plant.State.Lots[^1].Shipments[0];
        await plant.Correct(shipment.Seq, null);
        Assert.Empty(plant.State.Lots[^1].Shipments);
        Assert.Equal(StateText.Of(plant.Fresh()), StateText.Of(plant.State));
    }

    [Fact]
    public async Task A_weigh_out_voided_after_the_product_went_on_holds_all_of_it()
    {
        var plant = await Story(80);
        await plant.Correct(Last(plant).Seq, null);
        Assert.Contains("drying.indicators", plant.Rules(plant.State.Lots[^1].Code));
    }

    /// <summary>Two fills told the wrong way round can be corrected into a circle. No walk may run for ever or break on it.</summary>
    [Fact]
    public async Task A_circle_made_by_a_correction_is_walked_through_and_shown()
    {
        var plant = await Plant.Create();
        var sanitised = await plant.Sanitise(await plant.Receive());
        var first = await plant.Dry(sanitised);
        var second = await plant.Dry(sanitised);
        await plant.Cool(first, restMinutes: 1);
        var one = await plant.Fill("B1", first, 40);
        var two = await plant.Fill("B2", second, 40);
        await plant.Fill("B1", second, 10);
        var at = plant.Now;
        var seq = plant.State.Head;
        await plant.Fill("B2", one, 10);
        await plant.Correct(seq, new FillContainer("B1", [new(two, 10)], at));
        Assert.Equal([one, two], new[] { one, two }.Where(lot => plant.State.Graph.Reach([plant.Lot(one).Index], back: false).Contains(plant.Lot(lot).Index)));
        Assert.Empty(plant.Rules(one));
        Assert.NotNull(BestBefore.Of(plant.State, plant.Lot(two)));
        foreach (var direction in Enum.GetValues<TraceDirection>())
            Assert.Contains(one, TraceView.Of(plant.State, plant.Lot(two), direction).Lots.Select(lot => lot.Lot));
        await plant.PlaceHold(first);
        Assert.Contains("quality.placed", plant.Rules(two));
    }

    [Fact]
    public async Task A_correction_with_a_key_is_recorded_once()
    {
        var plant = await Plant.Create();
        var lot = await plant.Receive();
        var request = new CorrectEntry(plant.Lot(lot).MadeBySeq, "a slip", null);
        var operation = Core.Areas.Find("receiving/receive");
        var first = await plant.Path.Correct(plant.Site, request, operation, null, Plant.Ann, Plant.Around, "key-1");
        var again = await plant.Path.Correct(plant.Site, request, operation, null, Plant.Ann, Plant.Around, "key-1");
        Assert.Equal(first.AnswerText, again.AnswerText);
        Assert.Single(plant.State.Corrections);
    }

    /// <summary>Received, sanitised, dried with this mass out, packed and shipped.</summary>
    private static async Task<Plant> Story(decimal gramsOut)
    {
        var plant = await Plant.Create();
        var dry = await plant.StartDrying(await plant.Sanitise(await plant.Receive()));
        await plant.Cycle(dry);
        await plant.WeighOut(dry, gramsOut);
        await plant.Cool(dry);
        var packs = await plant.Pack(dry);
        await plant.Ship(packs);
        return plant;
    }

    private static string Dried(Plant plant) => plant.State.Lots.First(lot => lot.Kind == Core.Specifications.LotKind.Dried).Code;

    private static WeighOut Last(Plant plant) => ((DryingRecord)plant.Lot(Dried(plant)).Record).WeighOuts[^1];

    private static string Without(string state)
    {
        var lines = state.Split('\n').Where(line => !line.StartsWith("<Head>", StringComparison.Ordinal)).ToList();
        var from = lines.FindIndex(line => line.StartsWith("corrections", StringComparison.Ordinal));
        var to = lines.FindIndex(from + 1, line => !line.StartsWith(' '));
        lines.RemoveRange(from, to - from);
        return string.Join('\n', lines);
    }

    private static async Task<Core.Operations.Refusal> Refused(
        Plant plant, string code, long seq, Core.Operations.IRequest? replacement, string? operation = null)
    {
        var head = plant.State.Head;
        var before = StateText.Of(plant.State);
        var outcome = await plant.TryCorrect(seq, replacement, operation: operation);
        Assert.Contains(code, outcome.Refusals.Select(refusal => refusal.Code));
        Assert.Equal(head, plant.Journal.Head(Plant.Code));
        Assert.Equal(before, StateText.Of(plant.State));
        return outcome.Refusals[0];
    }
}
