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

    /// <summary>A logger's file, and what it may leave open.</summary>
    internal static IReadOnlyList<FormField> LoggerFields { get; } =
    [
        new(LoggerForm.FileField, "Or the logger's file", FieldKind.File)
        {
            IsOptional = true, IsOfFile = true, Hint = "CSV text, at most 1 MB. You see what was read before anything is recorded.",
        },
        Open(Line(LoggerForm.Name("column"), "Column of the temperature"), "Its heading or number. Empty: all probes, and the coldest counts."),
        Open(Choose(LoggerForm.Name("unit"), "Unit", Suggest.Fixed(("c", "°C"), ("f", "°F"))), "Only if the file does not say."),
        Open(Choose(LoggerForm.Name("order"), "Dates such as 03/04/2026", Suggest.Fixed(("day-first", "day first"), ("month-first", "month first"))), null),
        Open(Line(LoggerForm.Name("timeColumn"), "Column of the time"), "Only if several may be it."),
        Open(Line(LoggerForm.Name("start"), "Start of the record"), "If the file counts from its start. Such as 2026-11-25T08:00:00, at the site."),
        Open(Choose(LoggerForm.Name("elapsed"), "It counts", Suggest.Fixed(("seconds", "seconds"), ("minutes", "minutes"))), null),
        Open(Line(LoggerForm.Name("zone"), "The logger's time zone"), "Empty: the site's. Such as UTC."),
    ];

    private static FormField Open(FormField field, string? hint) => field with { IsOptional = true, IsOfFile = true, Hint = hint };

    internal static FormField ContainerField() => new("container", "Container", FieldKind.Code) { Options = Suggest.Containers };

    internal static IReadOnlyList<FormField> StockFields(string why) =>
    [
        LotOf("Lot", Suggest.LotsOnHand(Enum.GetValues<LotKind>())),
        Optional(Grams("massGrams", "Mass")) with { Hint = "Give the mass, or for packed lots the packs." },
        new("packs", "Packs", FieldKind.Whole) { IsOptional = true }, Line("reason", why), When("When"),
    ];
}
