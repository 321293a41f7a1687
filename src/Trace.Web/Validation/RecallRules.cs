using FluentValidation;
using Trace.Core.Labels;
using Trace.Core.Recall;
using Trace.Core.Shipments;
using Trace.Web.Wording;

namespace Trace.Web.Validation;

internal sealed class OpenRecallRules : AbstractValidator<OpenRecall>
{
    public OpenRecallRules()
    {
        RuleFor(request => request.Lots).Items(200);
        RuleForEach(request => request.Lots).LotCodeText();
        RuleFor(request => request.Reason).Line();
        RuleFor(request => request.Complaint).Line(20);
        RuleFor(request => request.CheckShare!.Value).Between(0.1, 1, "").When(request => request.CheckShare is not null)
            .OverridePropertyName("checkShare");
        RuleFor(request => request.CheckShare).Null().When(request => request.Level is not Core.Lots.CheckLevel.B)
            .WithMessage("only level B has a share of its own; the other levels have theirs by 21 CFR 7.42.");
    }
}

internal sealed class StartDrillRules : AbstractValidator<StartDrill>
{
    public StartDrillRules()
    {
        RuleFor(request => request.Start).IsInEnum().WithMessage("pack or supplier-lot is wanted.");
        RuleFor(request => request.Note).Line();
    }
}

internal sealed class WidenRecallRules : AbstractValidator<WidenRecall>
{
    public WidenRecallRules()
    {
        RuleFor(request => request.Recall).Line(20);
        RuleFor(request => request.Lots).Items(200);
        RuleForEach(request => request.Lots).LotCodeText();
        RuleFor(request => request.Reason).Line();
    }
}

internal sealed class PublishRecallRules : AbstractValidator<PublishRecall>
{
    public PublishRecallRules()
    {
        RuleFor(request => request.Recall).Line(20);
        RuleFor(request => request.Language).Must(PageWords.Languages.Contains)
            .WithMessage($"one of {string.Join(", ", PageWords.Languages)} is wanted.");
        RuleFor(request => request.Risk).NotEmpty().WithMessage("say what may happen to whom.").Line(500);
        RuleFor(request => request.Action).NotEmpty().WithMessage("say what to do with the product.").Line(500);
    }
}

internal sealed class NotifyConsigneesRules : AbstractValidator<NotifyConsignees>
{
    public NotifyConsigneesRules()
    {
        RuleFor(request => request.Recall).Line(20);
        RuleFor(request => request.By).IsInEnum().WithMessage("letter, email, phone or visit is wanted.");
        RuleFor(request => request.HappenedAt).Time();
        RuleFor(request => request.Customers!).Items(5000).When(request => request.Customers is not null);
        RuleForEach(request => request.Customers).Name();
    }
}

internal sealed class AnswerRecallRules : AbstractValidator<AnswerRecall>
{
    private const int Most = 1_000_000;

    public AnswerRecallRules()
    {
        RuleFor(request => request.Recall).Line(20);
        RuleFor(request => request.Customer).Name();
        RuleFor(request => request.ReceivedPacks).Between(0, Most, "packs");
        RuleFor(request => request.HeldPacks).Between(0, Most, "packs");
        RuleFor(request => request.SoldPacks).Between(0, Most, "packs");
        RuleFor(request => request.ReturnedPacks).Between(0, Most, "packs");
        RuleFor(request => request.DestroyedPacks).Between(0, Most, "packs");
        RuleFor(request => request.HappenedAt).Time();
        RuleFor(request => request.Name).Line(100);
        RuleFor(request => request.Note).Paragraph(1000);
    }
}

internal sealed class CheckConsigneeRules : AbstractValidator<CheckConsignee>
{
    public CheckConsigneeRules()
    {
        RuleFor(request => request.Recall).Line(20);
        RuleFor(request => request.Customer).Name();
        RuleFor(request => request.By).IsInEnum().WithMessage("letter, email, phone or visit is wanted.");
        RuleFor(request => request.HappenedAt).Time();
        RuleFor(request => request.Note).Paragraph(1000);
    }
}

internal sealed class ReportRecallRules : AbstractValidator<ReportRecall>
{
    public ReportRecallRules()
    {
        RuleFor(request => request.Recall).Line(20);
        RuleFor(request => request.Note).Line(500);
    }
}

internal sealed class CloseRecallRules : AbstractValidator<CloseRecall>
{
    public CloseRecallRules()
    {
        RuleFor(request => request.Recall).Line(20);
        RuleFor(request => request.Conclusion).Paragraph(2000);
        RuleFor(request => request.RootCause).Paragraph(2000);
        RuleFor(request => request.Despite).Paragraph(2000);
    }
}

internal sealed class ReceiveReturnRules : AbstractValidator<ReceiveReturn>
{
    public ReceiveReturnRules()
    {
        RuleFor(request => request.Customer).Name();
        RuleFor(request => request.Reference).Line(60);
        RuleFor(request => request.Lines).Items(200);
        RuleForEach(request => request.Lines).SetValidator(new ShipmentLineRules());
        RuleFor(request => request.Reason).Line();
        RuleFor(request => request.HappenedAt).Time();
        RuleFor(request => request.Recall).Line(20);
    }
}

internal sealed class DestroyReturnedRules : AbstractValidator<DestroyReturned>
{
    public DestroyReturnedRules()
    {
        RuleFor(request => request.Lot).LotCodeText();
        RuleFor(request => request.Packs).Between(1, 100_000, "packs");
        RuleFor(request => request.Proof).NotEmpty().WithMessage("say what shows that it was destroyed.").Line();
        RuleFor(request => request.HappenedAt).Time();
        RuleFor(request => request.Customer).Name();
        RuleFor(request => request.Recall).Line(20);
    }
}
