using FluentValidation;
using Trace.Core.Complaints;
using Trace.Core.Inspections;

namespace Trace.Web.Validation;

internal sealed class OpenComplaintRules : AbstractValidator<OpenComplaint>
{
    public const int LongestText = 2000;

    public OpenComplaintRules()
    {
        RuleFor(request => request.Channel).IsInEnum().WithMessage("there is no such channel.");
        RuleFor(request => request.What).NotEmpty().WithMessage("say what is wrong with the product.").Paragraph(LongestText);
        RuleFor(request => request.HappenedAt).Time();
        RuleForEach(request => request.Harm).IsInEnum().WithMessage("there is no such harm.");
        RuleFor(request => request.Lot!).LotCodeText().When(request => request.Lot is not null);
        RuleFor(request => request.LabelText).Line(100);
        RuleFor(request => request.Pack).Line(20);
        RuleFor(request => request.Packs!.Value).Between(1, 1_000_000, "packs").When(request => request.Packs is not null)
            .OverridePropertyName("packs");
        RuleFor(request => request.Storage).Paragraph(500);
        RuleFor(request => request.Customer).Line();
        RuleFor(request => request.From).Line();
        RuleFor(request => request.Contact).Line();
    }
}

internal sealed class AssessComplaintRules : AbstractValidator<AssessComplaint>
{
    public AssessComplaintRules()
    {
        RuleFor(request => request.Complaint).Line(20);
        RuleFor(request => request.Note).NotEmpty().WithMessage("say what was looked at and found.").Paragraph(OpenComplaintRules.LongestText);
        RuleFor(request => request.Lot!).LotCodeText().When(request => request.Lot is not null);
    }
}

internal sealed class AnswerComplaintRules : AbstractValidator<AnswerComplaint>
{
    public AnswerComplaintRules()
    {
        RuleFor(request => request.Complaint).Line(20);
        RuleFor(request => request.Text).NotEmpty().WithMessage("say what they were told.").Paragraph(OpenComplaintRules.LongestText);
        RuleFor(request => request.HappenedAt).Time();
    }
}

internal sealed class CloseComplaintRules : AbstractValidator<CloseComplaint>
{
    public CloseComplaintRules()
    {
        RuleFor(request => request.Complaint).Line(20);
        RuleFor(request => request.Conclusion).NotEmpty().WithMessage("say what it came to.").Paragraph(OpenComplaintRules.LongestText);
    }
}

internal sealed class PlanActionRules : AbstractValidator<PlanAction>
{
    public PlanActionRules()
    {
        RuleFor(request => request.About).Line(20);
        RuleFor(request => request.What).NotEmpty().WithMessage("say what is to be done.").Paragraph(OpenComplaintRules.LongestText);
        RuleFor(request => request.Owner).Name();
        RuleFor(request => request.DueOn).Must(day => day.Year is >= 2000 and <= 2200).WithMessage("a day after the year 2000 is wanted.");
    }
}

internal sealed class NoteActionRules : AbstractValidator<NoteAction>
{
    public NoteActionRules()
    {
        RuleFor(request => request.Action).Line(20);
        RuleFor(request => request.Evidence).NotEmpty().WithMessage("say what shows that it was done.").Paragraph(OpenComplaintRules.LongestText);
    }
}

internal sealed class CheckActionRules : AbstractValidator<CheckAction>
{
    public CheckActionRules()
    {
        RuleFor(request => request.Action).Line(20);
        RuleFor(request => request.Note).NotEmpty().WithMessage("say how you know.").Paragraph(OpenComplaintRules.LongestText);
    }
}

internal sealed class OpenInspectionRules : AbstractValidator<OpenInspection>
{
    public OpenInspectionRules()
    {
        RuleFor(request => request.For).Name();
        RuleFor(request => request.Lots).Items(200);
        RuleForEach(request => request.Lots).LotCodeText();
        RuleFor(request => request.Days).Between(1, OpenInspection.MostDays, "days");
    }
}

internal sealed class EndInspectionRules : AbstractValidator<EndInspection>
{
    public EndInspectionRules() => RuleFor(request => request.Inspection).Line(20);
}
