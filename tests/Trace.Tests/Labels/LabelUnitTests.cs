using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Shipments;
using Trace.Core.Specifications;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Labels;

/// <summary>Labels of cases and shipping units: which unit, with which number, and that they are no labels of packs.</summary>
public sealed class LabelUnitTests
{
    private const string Gtin = "09520123456788";
    private const string CaseGtin = "19520123456785";
    private const string Shop = "Example shop";

    private static readonly string Sscc = Core.Labels.Sscc.Of(0, "9520123", "1").Digits;

    private static async Task<(Plant Plant, string Lot)> Packed()
    {
        var plant = await Plant.Create(made => made with { Label = made.Label with { Gtin = Gtin } });
        await plant.Do("customers/describe", new DescribeCustomer(Shop, "3 Harbour Street", "DE"));
        return (plant, await plant.Pack(await plant.DryFromFresh()));
    }

    private static PrintLabels Case(string lot, LabelUnit? unit = null) => new(lot, 1, "case-100x60", Unit: unit ?? new(2, CaseGtin));

    private static PrintLabels Shipping(string lot, string? sscc = null, string? reason = null, int packs = 2) =>
        new(lot, 1, "shipping-105x148", Reason: reason, Unit: new(packs, Sscc: sscc ?? Sscc, GrossMassGrams: 100, Customer: Shop));

    private static LabelsPrinted Printed(Plant plant, string print)
    {
        var entry = plant.Journal.Get(Plant.Code, plant.State.FindPrint(print)!.Value.Print.Seq)!.Entry;
        return (LabelsPrinted)Core.Areas.Codec.Read(entry.Type, entry.Payload);
    }

    [Fact]
    public async Task What_the_label_said_of_its_unit_stands_in_the_journal()
    {
        var (plant, lot) = await Packed();
        var ofCase = Printed(plant, (await plant.Do("labels/print", Case(lot))).Id!);
        Assert.Equal((TemplateKind.Case, new LabelledUnit(2, CaseGtin)), (ofCase.For, ofCase.Label.Unit));
        var shipping = Printed(plant, (await plant.Do("labels/print", Shipping(lot))).Id!);
        Assert.Equal((TemplateKind.Shipping, new LabelledUnit(2, Sscc: Sscc, GrossMassMilligrams: 100_000, Customer: Shop)), (shipping.For, shipping.Label.Unit));
        Assert.Equal("Example shop, 3 Harbour Street, DE", shipping.Label.ShipTo);
        var content = shipping.Label.ToContent(plant.State.Logos);
        Assert.Equal((shipping.Label.Unit, shipping.Label.ShipTo), (content.Unit, content.ShipTo));
    }

    [Fact]
    public async Task They_are_no_labels_of_packs()
    {
        var (plant, lot) = await Packed();
        await plant.Do("labels/print", Case(lot));
        await plant.Do("labels/print", Case(lot));
        await plant.Do("labels/print", Shipping(lot));
        Assert.Null(LabelAccount.Of(plant.Lot(lot)));
        Assert.True(LabelAccount.IsNothingPrinted(plant.Lot(lot)));
        Assert.Empty(LabelAccount.OnPacks(plant.Lot(lot)));
        await plant.Refused("labels.not-printed", "labels/reconcile", new ReconcileLabels(lot, 1, 0, 0));

        // The first label of the packs is the first, and wants no reason.
        var first = Printed(plant, (await plant.Print(lot)).Id!);
        Assert.Equal((1, null, TemplateKind.Pack), (first.Number, first.Label.ReprintReason, first.For));
        await plant.Do("labels/print", Case(lot));
        var account = LabelAccount.Of(plant.Lot(lot))!;
        Assert.Equal([first.Print], account.ByHand);
        await plant.Refused("labels.reprint-reason", "labels/print", new PrintLabels(lot, 1));
        Assert.Equal(2, Printed(plant, (await plant.Print(lot, reason: "torn")).Id!).Number);
    }

    [Fact]
    public async Task A_number_that_was_used_is_refused_but_for_the_same_unit_with_a_reason()
    {
        var (plant, lot) = await Packed();
        var first = (await plant.Do("labels/print", Shipping(lot))).Id!;
        await plant.Refused("labels.sscc-used", "labels/print", Shipping(lot, packs: 1, reason: "torn"));
        var other = await plant.Pack(await plant.DryFromFresh());
        var refused = await plant.Refused("labels.sscc-used", "labels/print", Shipping(other, reason: "torn"));
        Assert.Contains(first, refused.Detail, StringComparison.Ordinal);
        await plant.Refused("labels.reprint-reason", "labels/print", Shipping(lot));
        await plant.Do("labels/print", Shipping(lot, reason: "torn"));
        await plant.Do("labels/print", Shipping(other, Core.Labels.Sscc.Of(0, "9520123", "2").Digits));
    }

    [Fact]
    public async Task A_number_stays_used_after_a_start_from_a_snapshot()
    {
        var (plant, lot) = await Packed();
        await plant.Do("labels/print", Shipping(lot));
        var state = SiteState.FromSnapshot(plant.State.ToSnapshot());
        Assert.Equal(plant.State.FindSscc(Sscc)!.Value.Print, state.FindSscc(Sscc)!.Value.Print);
        Assert.Null(state.FindSscc(Core.Labels.Sscc.Of(0, "9520123", "2").Digits));
    }

    public static TheoryData<string, string?, int, string?, string?, double?, string?, string> Wrong => new()
    {
        { "case-100x60", "unit.caseGtin", 2, null, null, null, null, "give 'caseGtin'" },
        { "case-100x60", "unit.caseGtin", 2, Gtin, null, null, null, "the GTIN of one pack" },
        { "case-100x60", "unit.packs", 3, CaseGtin, null, null, null, "has 2 packs" },
        { "case-100x60", "unit.grossMassGrams", 2, CaseGtin, null, 79.9, null, "without any packaging" },
        { "case-100x60", "unit.sscc", 2, CaseGtin, "095201234567891235", null, null, "of shipping units" },
        { "case-100x60", "unit.customer", 2, CaseGtin, null, null, Shop, "of shipping units" },
        { "shipping-105x148", "unit.sscc", 2, null, null, null, Shop, "give 'sscc'" },
        { "shipping-105x148", "unit.customer", 2, null, "095201234567891235", null, null, "give 'customer'" },
        { "shipping-105x148", "unit.customer", 2, null, "095201234567891235", null, "Nobody", "not described" },
        { "shipping-105x148", "unit.caseGtin", 2, CaseGtin, "095201234567891235", null, Shop, "labels of cases" },
        { "pack-70x50", "unit", 2, CaseGtin, null, null, null, "for labels of cases and shipping units" },
    };

    [Theory]
    [MemberData(nameof(Wrong))]
    public async Task A_unit_that_does_not_fit_its_label_is_refused_by_field(
        string template, string? field, int packs, string? caseGtin, string? sscc, double? gross, string? customer, string words)
    {
        var (plant, lot) = await Packed();
        var refused = await plant.Refused("labels.unit", "labels/print",
            new PrintLabels(lot, 1, template, Unit: new(packs, caseGtin, sscc, (decimal?)gross, customer)));
        Assert.Equal(field, refused.Field);
        Assert.Contains(words, refused.Detail, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_label_of_a_unit_without_its_unit_is_refused()
    {
        var (plant, lot) = await Packed();
        Assert.Contains("'caseGtin'", (await plant.Refused("labels.unit", "labels/print", new PrintLabels(lot, 1, "case-100x60"))).Detail, StringComparison.Ordinal);
        Assert.Contains("'sscc'", (await plant.Refused("labels.unit", "labels/print", new PrintLabels(lot, 1, "shipping-105x148"))).Detail, StringComparison.Ordinal);
    }

    [Fact]
    public async Task While_a_hold_stands_no_unit_is_labelled()
    {
        var (plant, lot) = await Packed();
        await plant.PlaceHold(lot);
        await plant.Held("labels/print", Case(lot));
        await plant.Held("labels/print", Shipping(lot));
    }

    [Fact]
    public async Task A_container_has_no_label_of_a_case()
    {
        var (plant, _) = await Packed();
        await plant.Refused("labels.template", "labels/print", Case(await plant.DryFromFresh()));
    }
}
