using Trace.Core.Specifications;
using Trace.Core.Steps.Packing;
using Trace.Core.Units;
using static Trace.Web.Pages.Forms.Fields;

namespace Trace.Web.Pages.Forms;

internal static class WeighingForms
{
    internal static BenchForm Weigh { get; } = new(BenchForms.Op("packing/weigh"), "Weigh packs",
    [
        LotOf("Packed lot", Suggest.LotsOnHand(LotKind.Packed)),
        Masses("netGrams", "Net masses in grams") with { Hint = "One pack a line, on a balance that was set to zero with an empty pouch. A scale that types its lines may do so here, such as ST,GS,+ 0.2531 kg.", UnlessRecorded = "grossMilligrams" },
        Masses("grossGrams", "Or: gross masses in grams") with { Hint = "One pack a line, pouch included. Then give the empty pouches below." },
        Masses("tareGrams", "Empty pouches in grams") with { Hint = "Ten or more of the same lot of pouches; their mean is taken off." },
        Masses("ownTareGrams", "Or: the empty mass of each of these packs") with { Hint = "One a line, in the order of the gross masses." },
        Optional(Line("balance", "Balance")),
        Optional(Line("fixed", "What was done before weighing again")) with
        {
            Hint = "Only for packs that were weighed before and then topped up or sorted out. At least as many as before, or say below which.",
        },
        Masses("insteadGrams", "What these packs weighed before") with { Hint = "Net, one a line: the new masses take their place." },
        When("When they were weighed"),
    ], form => new WeighPacks(
        form.Code("lot"), form.Moment("happenedAt"), form.WeighedOrNull("netGrams", ScaleKind.Net),
        form.WeighedOrNull("grossGrams", ScaleKind.Gross),
        form.WeighedOrNull("tareGrams", ScaleKind.Tare), form.WeighedOrNull("ownTareGrams", ScaleKind.Tare), form.LineOrNull("balance"),
        form.LineOrNull("fixed"), form.WeighedOrNull("insteadGrams", ScaleKind.Net)));

    private static FormField Masses(string name, string label) => new(name, label, FieldKind.Codes) { IsOptional = true };
}
