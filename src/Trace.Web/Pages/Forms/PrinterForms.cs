using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Printers;
using Trace.Core.Specifications;
using static Trace.Web.Pages.Forms.Fields;

namespace Trace.Web.Pages.Forms;

internal static class PrinterForms
{
    internal static IReadOnlyList<BenchForm> All { get; } =
    [
        new(BenchForms.Op("labels/send"), "Send labels to a printer",
        [
            LotOf("Lot", Suggest.LotsOnHand(LotKind.Packed, LotKind.Bulk, LotKind.Dried)),
            new("print", "Print", FieldKind.Code) { Hint = "The lot's newest, such as L00001." },
            Choose("printer", "Printer", Printers), new("copies", "Labels", FieldKind.Whole) { IsOptional = true, Hint = "Empty: all of the print." },
            Optional(Line("reason", "Reason for sending again")) with { Hint = "Needed when labels of this print may have come out already." },
        ], form => new SendLabels(
            form.Code("lot"), form.Code("print"), form.Line("printer"), form.WholeOrNull("copies"), form.LineOrNull("reason"))) { Button = "Send" },

        new(BenchForms.Op("labels/cancel"), "Cancel a label job",
        [
            LotOf("Lot", Suggest.LotsOnHand(LotKind.Packed, LotKind.Bulk, LotKind.Dried)), new("job", "Job", FieldKind.Code) { Hint = "Such as J00001." },
        ], form => new CancelJob(form.Code("lot"), form.Code("job"))) { Button = "Cancel the job" },

        new(BenchForms.Op("printers/describe"), "Printer",
        [
            Line("name", "Name") with { Hint = "By which people know it. A known name describes that printer anew." },
            Line("address", "Address") with { Hint = "Such as ipp://192.0.2.30/ipp/print. It stands in the printer's menu or handbook." },
            new("widthMm", "Width of the labels in it", FieldKind.Quantity) { Unit = "mm", Preset = "70" },
            new("heightMm", "Height of the labels", FieldKind.Quantity) { Unit = "mm", Preset = "50" },
            Optional(Line("certificateSha256", "SHA-256 of its certificate")) with { Hint = "Only with ipps or https, and only if the page Printers asks for it." },
        ], form => new DescribePrinter(
            form.Line("name"), form.Line("address"), form.Number("widthMm"), form.Number("heightMm"), form.LineOrNull("certificateSha256"))),

        new(BenchForms.Op("printers/remove"), "Remove a printer", [Choose("name", "Printer", Printers)],
            form => new RemovePrinter(form.Line("name"))) { Button = "Remove" },
    ];

    private static IEnumerable<FormOption> Printers(SiteState state) =>
        state.Printers.Keys.Order(StringComparer.Ordinal).Select(name => new FormOption(name, name));
}
