using FluentValidation;
using Trace.Core.Shifts;

namespace Trace.Web.Validation;

internal sealed class HandOverRules : AbstractValidator<HandOver>
{
    public HandOverRules()
    {
        RuleFor(request => request.Note).NotEmpty().WithMessage("say what the next one has to know.").Paragraph(2000);
        RuleFor(request => request.HappenedAt).Time();
    }
}
