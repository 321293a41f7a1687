using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Core.Steps.Packing;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Steps;

/// <summary>Packs weighed through the write path: what is taken, what is refused, and what holds.</summary>
public sealed class WeighingPacksTests
{
    private const string Rule = "packing.net-quantity";

    [Fact]
    public async Task A_weighing_answers_with_the_verdict()
    {
        var (plant, lot) = await Packed(made => made with { NetQuantity = new(PricePerKilogram: 24m, Currency: "EUR") });
        var answer = await plant.Do("packing/weigh", Weigh(plant, lot, 40.5m, 41m));
        Assert.DoesNotContain(answer.Holds, hold => hold.Rule == Rule);
        var report = answer.NetQuantity!;
        Assert.Equal((NetQuantityReport.Met, 2, 4), (report.Outcome, report.Weighed, report.Packs));
        Assert.Equal((36.4m, 32.8m), (report.T1Grams, report.T2Grams));
        Assert.Equal(40.75, report.MeanGrams!.Value, 1e-9);
        Assert.Equal((1.5m, 0.036m, "EUR"), (report.GivenAwayGrams, report.GivenAwayCost, report.Currency));
        Assert.Equal((3m, 0.072m), (report.LotGivenAwayGrams, report.LotGivenAwayCost));
        Assert.Equal(40.3m, report.AdvisedFillGrams);
        Assert.Contains("The other 2 packs were not weighed.", report.Words, StringComparison.Ordinal);
        Assert.Equal([2, 2], report.Inspectors!.Tests.Select(test => test.Missing));
    }

    [Fact]
    public async Task Short_packs_hold_the_lot_until_they_are_weighed_again_after_fixing()
    {
        var (plant, lot) = await Packed();
        var answer = await plant.Do("packing/weigh", Weigh(plant, lot, 40.2m, 30m));
        Assert.Contains(Rule, answer.Holds.Select(hold => hold.Rule));
        Assert.Equal(NetQuantityReport.Broken, answer.NetQuantity!.Outcome);
        await plant.Held("labels/print", new Core.Labels.PrintLabels(lot, 1));

        // Good packs beside it do not make the short one good.
        Assert.Contains(Rule, (await plant.Do("packing/weigh", Weigh(plant, lot, 42m, 42m))).Holds.Select(hold => hold.Rule));
        answer = await plant.Do("packing/weigh", Weigh(plant, lot, 40.3m) with { Fixed = "topped up", InsteadGrams = [30m] });
        Assert.Empty(answer.Holds);
        Assert.Equal((4, 0), (answer.NetQuantity!.Weighed, answer.NetQuantity.BelowT2));
        await plant.Print(lot);
    }

    [Fact]
    public async Task A_mean_below_nominal_is_cleared_by_more_weighings()
    {
        var (plant, lot) = await Packed();
        Assert.Contains(Rule, (await plant.Do("packing/weigh", Weigh(plant, lot, 39.5m))).Holds.Select(hold => hold.Rule));
        Assert.Empty((await plant.Do("packing/weigh", Weigh(plant, lot, 40.6m))).Holds);
    }

    [Fact]
    public async Task That_an_inspectors_sample_would_fail_holds_nothing()
    {
        // Just nominal on average: met by the packer's rules within the balance's uncertainty. A milligram short, whole, the reference test fails.
        var (plant, lot) = await Packed();
        var answer = await plant.Do("packing/weigh", Weigh(plant, lot, 40m, 40m, 40m, 39.999m));
        Assert.Equal(InspectorsTest.Fails, answer.NetQuantity!.Inspectors!.Tests[0].Outcome);
        Assert.Equal(NetQuantityReport.Met, answer.NetQuantity.Outcome);
        Assert.Empty(answer.Holds);
    }

    [Fact]
    public async Task After_fixing_as_many_packs_are_weighed_as_before()
    {
        var (plant, lot) = await Packed();
        await plant.Do("packing/weigh", Weigh(plant, lot, 40.2m, 30m, 41m));
        await plant.Refused("weighing.packs", "packing/weigh", Weigh(plant, lot, 41m, 41m) with { Fixed = "sorted out" });
        var answer = await plant.Do("packing/weigh", Weigh(plant, lot, 41m, 41m, 41m) with { Fixed = "sorted out" });
        Assert.Empty(answer.Holds);
        Assert.Equal(3, answer.NetQuantity!.Weighed);
    }

    [Fact]
    public async Task The_same_packs_are_not_weighed_until_the_mean_is_right()
    {
        var (plant, lot) = await Packed();
        await plant.Do("packing/weigh", Weigh(plant, lot, 39m, 41m, 41m));
        var refused = await plant.Refused("weighing.packs", "packing/weigh", Weigh(plant, lot, 42m, 42m));
        Assert.Equal("netGrams", refused.Field);
        await plant.Refused("weighing.packs", "packing/weigh", Weigh(plant, lot, 41m) with { Fixed = "topped up", InsteadGrams = [38m] });
        await plant.Refused("weighing.packs", "packing/weigh", Weigh(plant, lot, 41m, 41m) with { Fixed = "topped up", InsteadGrams = [39m, 39m] });
        var (fresh, other) = await Packed();
        Assert.Equal("fixed", (await fresh.Refused("weighing.packs", "packing/weigh", Weigh(fresh, other, 41m) with { Fixed = "topped up" })).Field);
    }

    [Fact]
    public async Task Gross_masses_lose_the_mean_tare_or_each_its_own()
    {
        var (plant, lot) = await Packed();
        decimal[] pouches = [6.1m, 6.2m, 6.0m, 6.3m, 6.2m, 6.1m, 6.2m, 6.1m, 6.2m, 6.1m];
        await plant.Do("packing/weigh", new WeighPacks(lot, plant.Later(), GrossGrams: [46.65m], TareGrams: pouches));
        await plant.Do("packing/weigh", new WeighPacks(lot, plant.Later(), GrossGrams: [46.7m, 47m], OwnTareGrams: [6m, 6.5m]));
        Assert.Equal([40_500L, 40_700L, 40_500L], Standing(plant, lot));

        // A tenth of 3.6 g: pouches that differ by more need tares of their own.
        decimal[] uneven = [.. pouches[..9], 6.361m];
        await plant.Refused("weighing.tare", "packing/weigh", new WeighPacks(lot, plant.Later(), GrossGrams: [46.65m], TareGrams: uneven));
    }

    [Fact]
    public async Task What_cannot_be_a_pack_of_the_lot_is_refused_at_its_place()
    {
        var (plant, lot) = await Packed();
        Assert.Equal("netGrams[1]", (await plant.Refused("weighing.packs", "packing/weigh", Weigh(plant, lot, 40m, 80.001m))).Field);
        await plant.Do("packing/weigh", Weigh(plant, lot, 80m));
        Assert.Equal("grossGrams[0]", (await plant.Refused(
            "weighing.packs", "packing/weigh", new WeighPacks(lot, plant.Later(), GrossGrams: [5m], OwnTareGrams: [6m]))).Field);
        await plant.Refused("time.order", "packing/weigh", Weigh(plant, lot, 40m) with { HappenedAt = Plant.Start });
        var dried = await plant.DryFromFresh();
        await plant.Refused("lot.wrong-kind", "packing/weigh", Weigh(plant, dried, 40m));
        var tiny = await plant.Pack(dried, packs: 2, netGrams: 4);
        await plant.Refused("weighing.range", "packing/weigh", Weigh(plant, tiny, 4m));
    }

    [Fact]
    public async Task A_lot_that_nobody_weighed_is_held_only_where_the_specification_wants_it()
    {
        var (free, lot) = await Packed();
        Assert.Empty(free.Rules(lot));
        var (asked, held) = await Packed(made => made with { NetQuantity = new(WeighingsWanted: true) });
        Assert.Equal([Rule], asked.Rules(held));
        await asked.Do("packing/weigh", Weigh(asked, held, 40.4m));
        Assert.Empty(asked.Rules(held));
    }

    [Fact]
    public async Task A_corrected_weighing_counts_as_it_should_have_been_told()
    {
        var (plant, lot) = await Packed();
        var answer = await plant.Do("packing/weigh", Weigh(plant, lot, 4.05m));
        Assert.Contains(Rule, plant.Rules(lot));
        await plant.Correct(answer.Seq, new WeighPacks(lot, plant.Now, [40.5m]));
        Assert.Empty(plant.Rules(lot));
        Assert.Equal([40_500L], Standing(plant, lot));
        await plant.Correct(answer.Seq, null);
        Assert.Empty(Standing(plant, lot));
    }

    [Fact]
    public async Task Weighings_outlive_a_snapshot_and_a_new_fold()
    {
        var (plant, lot) = await Packed();
        await plant.Do("packing/weigh", Weigh(plant, lot, 40.2m, 30m, 41m) with { Balance = "W1" });
        await plant.Do("packing/weigh", Weigh(plant, lot, 40.123m) with { Fixed = "topped up", InsteadGrams = [30m], Balance = "W1" });
        var text = StateText.Of(plant.State);
        Assert.Contains("topped up", text, StringComparison.Ordinal);
        Assert.Equal(text, StateText.Of(plant.Fresh()));
        Assert.Equal(text, StateText.Of(SiteState.FromSnapshot(plant.State.ToSnapshot())));
    }

    private static async Task<(Plant Plant, string Lot)> Packed(Func<ProductSpecification, ProductSpecification>? change = null)
    {
        var plant = await Plant.Create(change);
        return (plant, await plant.Pack(await plant.DryFromFresh(500), packs: 4));
    }

    private static WeighPacks Weigh(Plant plant, string lot, params decimal[] grams) => new(lot, plant.Later(), grams);

    private static List<long> Standing(Plant plant, string lot) =>
        WeighedPacks.Standing(((PackedRecord)plant.Lot(lot).Record).Weighings, plant.Now);
}
