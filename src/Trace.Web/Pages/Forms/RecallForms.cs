using Trace.Core.Lots;
using Trace.Core.Recall;
using Trace.Core.Shipments;
using static Trace.Web.Pages.Forms.BenchForms;
using static Trace.Web.Pages.Forms.Fields;

namespace Trace.Web.Pages.Forms;

/// <summary>Forms of recalls, withdrawals, drills, and of what comes back.</summary>
internal static class RecallForms
{
    private static readonly FormField Recall = new("recall", "Recall", FieldKind.Code) { Options = Suggest.OpenRecalls };

    private static readonly FormField By = Choose("by", "How", Suggest.Fixed(
        ("email", "By e-mail"), ("letter", "By letter"), ("phone", "By telephone; confirm it in writing"), ("visit", "In person")));

    private static readonly FormField Lots = new("lots", "Suspect lots", FieldKind.Codes)
    {
        Hint = "One code a line. Everything made from them is in the scope. What they were made from is not: name it too if it is suspect.",
    };

    internal static IReadOnlyList<BenchForm> All { get; } =
    [
        new(Op("recalls/open"), "Open a recall",
        [
            Lots,
            Choose("kind", "Kind", Suggest.Fixed(
                ("recall", "Recall: get it back from buyers"), ("withdrawal", "Withdrawal: stop it before buyers"), ("drill", "Drill: an exercise, holds nothing"))),
            Line("reason", "Why"),
            Optional(Choose("health", "How bad the harm may be", Suggest.Fixed(
                ("serious", "Serious harm is likely"), ("passing", "Harm that passes, or serious harm that is remote"), ("unlikely", "Harm is not likely")))),
            Optional(Choose("level", "Consignees to check afterwards", Suggest.Fixed(
                ("a", "All of them (A)"), ("b", "Half of them (B)"), ("c", "One in ten (C)"), ("d", "One in fifty (D)"), ("e", "None (E)")))),
            Optional(new("complaint", "Complaint that it answers", FieldKind.Code) { Options = Suggest.OpenComplaints }),
        ], form => new OpenRecall(
            form.Codes("lots"), form.Choice<RecallKind>("kind"), form.Line("reason"), form.CodeOrNull("complaint"),
            form.ChoiceOrNull<RecallHealth>("health"), form.ChoiceOrNull<CheckLevel>("level"))) { Button = "Open" },

        new(Op("recalls/drill"), "Start a drill",
        [
            Choose("start", "Start from", Suggest.Fixed(("pack", "A pack that was shipped, by chance"), ("supplier-lot", "A supplier's lot, by chance"))),
            Optional(Line("note", "Note")),
        ], form => new StartDrill(form.Choice<DrillStart>("start"), form.LineOrNull("note"))) { Button = "Start the clock" },

        new(Op("recalls/widen"), "Widen a recall", [Recall, Lots, Line("reason", "Why they are suspect too")],
            form => new WidenRecall(form.Code("recall"), form.Codes("lots"), form.Line("reason"))) { Button = "Widen" },

        new(Op("recalls/publish"), "What everybody is told",
        [
            Recall, Choose("language", "Language", Suggest.PageLanguages),
            Line("risk", "What may happen, in plain words") with { Hint = "No downplaying. It stands on the buyer's page of every lot in the scope, and in the notices." },
            Line("action", "What to do with the product"),
        ], form => new PublishRecall(form.Code("recall"), form.Line("language"), form.Line("risk"), form.Line("action"))) { Button = "Publish" },

        new(Op("recalls/notify"), "Tell consignees",
        [
            Recall, By,
            Optional(new("customers", "Only these", FieldKind.Paragraph) { Hint = "One name a line. Empty: all who have not been told of everything that they got." }),
            When("When"),
        ], form => new NotifyConsignees(form.Code("recall"), form.Choice<NoticeChannel>("by"), form.Moment("happenedAt"), form.LinesOrNull("customers")))
        { Button = "Tell them" },

        new(Op("recalls/answer"), "A consignee answers",
        [
            Recall, Line("customer", "Consignee") with { Options = Suggest.Customers }, new("receivedPacks", "Packs received", FieldKind.Whole),
            new("heldPacks", "Still there", FieldKind.Whole) { Preset = "0" }, new("soldPacks", "Sold on or used", FieldKind.Whole) { Preset = "0" },
            new("returnedPacks", "Sent back", FieldKind.Whole) { Preset = "0" }, new("destroyedPacks", "Destroyed there", FieldKind.Whole) { Preset = "0" },
            Optional(Line("name", "Who answers")), Optional(Line("note", "Note")), When("When"),
        ], form => new AnswerRecall(
            form.Code("recall"), form.Line("customer"), form.Whole("receivedPacks"), form.Whole("heldPacks"), form.Whole("soldPacks"),
            form.Whole("returnedPacks"), form.Whole("destroyedPacks"), form.Moment("happenedAt"), form.LineOrNull("name"), form.LineOrNull("note"))),

        new(Op("recalls/check"), "Check a consignee",
        [
            Recall, Line("customer", "Consignee") with { Options = Suggest.Customers }, By, new("reached", "Was somebody reached?", FieldKind.YesNo),
            new("acted", "Had they acted on the notice?", FieldKind.YesNo), Optional(Line("note", "Note")), When("When"),
        ], form => new CheckConsignee(
            form.Code("recall"), form.Line("customer"), form.Choice<NoticeChannel>("by"), form.YesNo("reached"), form.YesNo("acted"),
            form.Moment("happenedAt"), form.LineOrNull("note"))),

        new(Op("recalls/report"), "Status report", [Recall, Optional(Line("note", "Note"))],
            form => new ReportRecall(form.Code("recall"), form.LineOrNull("note"))) { Button = "Freeze the figures" },

        new(Op("recalls/close"), "Close a recall",
        [
            Recall,
            new("conclusion", "What was found and done", FieldKind.Paragraph) { Hint = "Its holds stay until each is released. Somebody else than who opened it closes it." },
            new("rootCause", "Why it happened", FieldKind.Paragraph) { IsOptional = true, Hint = "Needed unless it is a drill." },
            new("despite", "Why it is closed although something is left to do", FieldKind.Paragraph) { IsOptional = true },
        ], form => new CloseRecall(form.Code("recall"), form.Line("conclusion"), form.LineOrNull("rootCause"), form.LineOrNull("despite"))) { Button = "Close" },

        new(Op("returns/receive"), "Packs came back",
        [
            Line("customer", "From") with { Options = Suggest.Customers }, Line("reference", "Return note"),
            new("lines", "Lots", FieldKind.LotPacks) { Options = Suggest.LotsShipped }, Line("reason", "Why"),
            Optional(Recall with { Label = "For the recall" }), When("When they came"),
        ], form => new ReceiveReturn(
            form.Line("customer"), form.Line("reference"), form.LotPacks("lines"), form.Line("reason"), form.Moment("happenedAt"), form.CodeOrNull("recall"))),

        new(Op("returns/destroy"), "Packs were destroyed",
        [
            LotOf("Lot", Suggest.LotsShipped), new("packs", "Packs", FieldKind.Whole),
            Line("proof", "What shows it") with { Hint = "Number of a certificate, a photograph, who saw it." },
            Optional(Line("customer", "At whose place")) with { Options = Suggest.Customers, Hint = "Empty: here, of what came back." },
            Optional(Recall with { Label = "For the recall" }), When("When"),
        ], form => new DestroyReturned(
            form.Code("lot"), form.Whole("packs"), form.Line("proof"), form.Moment("happenedAt"), form.LineOrNull("customer"), form.CodeOrNull("recall"))),
    ];
}
