using Trace.Core.Complaints;
using Trace.Core.Inspections;
using Trace.Core.Lots;
using Trace.Core.Specifications;
using static Trace.Web.Pages.Forms.BenchForms;
using static Trace.Web.Pages.Forms.Fields;

namespace Trace.Web.Pages.Forms;

/// <summary>Forms of complaints, of what is done after them, and of what is opened to inspectors.</summary>
internal static class ComplaintForms
{
    private static readonly FormField Complaint = new("complaint", "Complaint", FieldKind.Code) { Options = Suggest.OpenComplaints };

    internal static IReadOnlyList<BenchForm> All { get; } =
    [
        new(Op("complaints/open"), "Write down a complaint",
        [
            Choose("channel", "How it came", Suggest.Fixed(
                ("phone", "By telephone"), ("email", "By e-mail"), ("letter", "By letter"), ("visit", "In person"), ("authority", "From an authority"), ("other", "Otherwise"))),
            new("what", "What is wrong, in their words", FieldKind.Paragraph),
            Optional(Choose("harm", "Was anybody hurt", Suggest.Fixed(
                ("illness", "Somebody fell ill"), ("allergy", "Allergic reaction"), ("injury", "Injury"), ("animal", "An animal was harmed")))
                with { Hint = "Then the lot is held at once. Doctor or emergency service first, record second." }),
            Optional(LotOf("Lot", Suggest.LotsShipped)) with { Hint = "Leave it empty if you do not know: the next page helps to find it." },
            Optional(Line("labelText", "What can be read of the label")) with { Hint = "A part of the code, the dates, the address behind the symbol." },
            Optional(Line("customer", "Bought from")) with { Options = Suggest.Customers },
            Optional(new("packs", "Packs", FieldKind.Whole)), Optional(Line("storage", "How it was kept")),
            Optional(Line("from", "Who complains")), Optional(Line("contact", "How to reach them")), When("When it came"),
        ], form => new OpenComplaint(
            form.Choice<ComplaintChannel>("channel"), form.Line("what"), form.Moment("happenedAt"),
            form.LineOrNull("harm") is null ? [] : [form.Choice<ComplaintHarm>("harm")], form.CodeOrNull("lot"), form.LineOrNull("labelText"), null,
            form.WholeOrNull("packs"), form.LineOrNull("storage"), form.LineOrNull("customer"), form.LineOrNull("from"), form.LineOrNull("contact")))
        { Button = "Write down" },

        new(Op("complaints/assess"), "Judge a complaint",
        [
            Complaint,
            Optional(LotOf("Lot", Suggest.LotsShipped)) with { Hint = "As it was found. Empty: as it stands in the complaint." },
            Choose("fault", "What the fault is", Suggest.Fixed(
                ("foreign-body", "Something foreign in it"), ("mould", "Mould"), ("smell", "Smell or taste"), ("wet", "Wet or soft"), ("pests", "Pests"),
                ("label", "Label"), ("short-weight", "Too little in it"), ("packaging", "Packaging"), ("harm", "Harm, no fault seen"), ("other", "Something else"))),
            Choose("reach", "How far it reaches", Suggest.Fixed(
                ("no-fault", "No fault of ours was found"), ("isolated", "This pack alone"), ("lot", "The whole lot"), ("wider", "More than the lot: compare scopes next"))),
            new("note", "What was looked at and found", FieldKind.Paragraph) { Hint = "Batch record, kept sample, sister lots." },
            new("hold", "Hold the lot now?", FieldKind.YesNo),
        ], form => new AssessComplaint(
            form.Code("complaint"), form.Choice<ComplaintReach>("reach"), form.Choice<ComplaintFault>("fault"), form.Line("note"), form.CodeOrNull("lot"),
            form.YesNo("hold"))) { Button = "Judge" },

        new(Op("complaints/answer"), "Answer to a complaint",
        [
            Complaint, new("text", "What they were told", FieldKind.Paragraph), When("When"),
        ], form => new AnswerComplaint(form.Code("complaint"), form.Line("text"), form.Moment("happenedAt"))) { Button = "Write down" },

        new(Op("complaints/close"), "Close a complaint",
        [
            Complaint, new("conclusion", "What it came to", FieldKind.Paragraph) { Hint = "Its holds stay, and its actions go on." },
        ], form => new CloseComplaint(form.Code("complaint"), form.Line("conclusion"))) { Button = "Close" },

        new(Op("actions/plan"), "Plan an action",
        [
            new("about", "Complaint or recall", FieldKind.Code)
            {
                Options = state => [.. Suggest.OpenComplaints(state), .. Suggest.OpenRecalls(state)], Hint = "Such as K0001 or R01.",
            },
            Choose("kind", "Kind", Suggest.Fixed(
                ("corrective", "Corrective: so that it does not happen again"), ("preventive", "Preventive: so that it does not happen elsewhere"))),
            new("what", "What is to be done", FieldKind.Paragraph), Line("owner", "Who does it"),
            new("dueOn", "By when", FieldKind.Day),
        ], form => new PlanAction(
            form.Code("about"), form.Choice<ActionKind>("kind"), form.Line("what"), form.Line("owner"), form.Day("dueOn"))) { Button = "Plan" },

        new(Op("actions/done"), "An action was done",
        [
            new("action", "Action", FieldKind.Code) { Options = Suggest.OpenActions }, new("evidence", "What shows it", FieldKind.Paragraph),
        ], form => new NoteAction(form.Code("action"), form.Line("evidence"))),

        new(Op("actions/check"), "Does an action help",
        [
            new("action", "Action", FieldKind.Code) { Options = Suggest.OpenActions }, new("helps", "Does it help?", FieldKind.YesNo),
            new("note", "How you know", FieldKind.Paragraph) { Hint = "One that does not help is open again." },
        ], form => new CheckAction(form.Code("action"), form.YesNo("helps"), form.Line("note"))),

        new(Op("inspections/open"), "Open lots to an inspector",
        [
            Line("for", "Who it is for"),
            new("lots", "Agreed lots", FieldKind.Codes) { Hint = "One code a line. Of each, the record, what it came from and what it went into can be read, and nothing else." },
            new("days", "Good for", FieldKind.Whole) { Unit = "days", Preset = "7", Hint = $"1 to {OpenInspection.MostDays}." },
        ], form => new OpenInspection(form.Line("for"), form.Codes("lots"), form.Whole("days"))) { Button = "Open" },

        new(Op("inspections/end"), "End an inspection",
        [
            new("inspection", "Inspection", FieldKind.Code) { Options = Suggest.OpenInspections },
        ], form => new EndInspection(form.Code("inspection"))) { Button = "End" },
    ];
}
