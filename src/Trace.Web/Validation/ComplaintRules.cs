using FluentValidation;
using Trace.Core.Complaints;

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
