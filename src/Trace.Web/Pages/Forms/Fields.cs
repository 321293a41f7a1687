using Trace.Core.Lots;
using Trace.Core.Specifications;

namespace Trace.Web.Pages.Forms;

/// <summary>Fields that several forms have.</summary>
internal static class Fields
{
    internal static FormField Line(string name, string label) => new(name, label, FieldKind.Line);

    internal static FormField Optional(FormField field) => field with { IsOptional = true };

    internal static FormField Grams(string name, string label) => new(name, label, FieldKind.Quantity) { Unit = "g" };

    internal static FormField Celsius(string name, string label) => new(name, label, FieldKind.Quantity) { Unit = "°C" };

    internal static FormField When(string label) => new("happenedAt", label, FieldKind.Moment);

    internal static FormField Choose(string name, string label, Func<SiteState, IEnumerable<FormOption>> options) =>
        new(name, label, FieldKind.Choice) { Options = options };

    internal static FormField LotOf(string label, Func<SiteState, IEnumerable<FormOption>> options) =>
        new("lot", label, FieldKind.Code) { Options = options };

    internal static FormField Taken(string label, params LotKind[] kinds) =>
        new("inputs", label, FieldKind.LotMasses) { Options = Suggest.LotsOnHand(kinds) };

    internal static FormField ContainerField() => new("container", "Container", FieldKind.Code) { Options = Suggest.Containers };

    internal static IReadOnlyList<FormField> StockFields(string why) =>
    [
        LotOf("Lot", Suggest.LotsOnHand(Enum.GetValues<LotKind>())),
        Optional(Grams("massGrams", "Mass")) with { Hint = "Give the mass, or for packed lots the packs." },
        new("packs", "Packs", FieldKind.Whole) { IsOptional = true }, Line("reason", why), When("When"),
    ];
}
