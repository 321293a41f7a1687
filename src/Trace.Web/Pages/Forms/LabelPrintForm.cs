using Trace.Core.Labels;
using static Trace.Web.Pages.Forms.Fields;

namespace Trace.Web.Pages.Forms;

/// <summary>The form that prints labels: what a packer needs each day first, the rest folded away.</summary>
internal static class LabelPrintForm
{
    private const string Packs = "unit.packs";
    private const string Fold = "Another template, a case or a carton";

    internal static IReadOnlyList<FormField> Rare { get; } =
    [
        Rarely(Line("template", "Template")) with { Hint = "Empty: the product's own. The names stand on the page Label templates." },
        Rarely(new("startAt", "First free place of the sheet", FieldKind.Whole)) with { Hint = "Only for labels on sheets: row by row, from 1." },
        Rarely(new(Packs, "Packs in the case or carton", FieldKind.Whole)) with { Hint = "This and what follows only for labels of cases and shipping units." },
        Rarely(Line("unit.caseGtin", "GTIN of the case")), Rarely(Line("unit.sscc", "SSCC of the carton or pallet")),
        Rarely(Grams("unit.grossMassGrams", "Gross weight")),
        Rarely(Line("unit.customer", "Customer it goes to") with { Options = Suggest.Customers }),
    ];

    internal static PrintLabels Request(FormValues form) => new(
        form.Code("lot"), form.Whole("copies"), form.LineOrNull("template"), form.LineOrNull("language"), form.LineOrNull("reason"),
        Unit(form), form.WholeOrNull("startAt"));

    private static LabelUnit? Unit(FormValues form)
    {
        var (packs, gtin, sscc) = (form.WholeOrNull(Packs), form.LineOrNull("unit.caseGtin"), form.LineOrNull("unit.sscc"));
        var (gross, customer) = (form.QuantityOrNull("unit.grossMassGrams"), form.LineOrNull("unit.customer"));
        return packs is null && gtin is null && sscc is null && gross is null && customer is null
            ? null
            : new(packs ?? form.Whole(Packs), gtin, sscc, gross, customer);
    }

    private static FormField Rarely(FormField field) => field with { IsOptional = true, Fold = Fold };
}
