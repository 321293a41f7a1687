using FluentValidation;
using Trace.Core.Labels;
using Trace.Core.Printers;
using Trace.Web.Printers;

namespace Trace.Web.Validation;

// Printers of the site, and labels on their way to them.

internal sealed class DescribePrinterRules : AbstractValidator<DescribePrinter>
{
    public DescribePrinterRules()
    {
        RuleFor(request => request.Name).Line(40).Name();
        RuleFor(request => request.Address).Must(address => PrinterAddress.Of(address) is not null).WithMessage(PrinterAddress.Rule + ".");
        RuleFor(request => request.WidthMm).Between(10, 300, "mm");
        RuleFor(request => request.HeightMm).Between(10, 300, "mm");
        RuleFor(request => request.CertificateSha256).Must(sum => sum is null || (sum.Length == 64 && sum.All(char.IsAsciiHexDigit)))
            .WithMessage("the SHA-256 of a certificate has 64 hex digits.");
    }
}

internal sealed class RemovePrinterRules : AbstractValidator<RemovePrinter>
{
    public RemovePrinterRules() => RuleFor(request => request.Name).Line(40);
}

internal sealed class SendLabelsRules : AbstractValidator<SendLabels>
{
    public SendLabelsRules()
    {
        RuleFor(request => request.Lot).LotCodeText();
        RuleFor(request => request.Print).Line(20);
        RuleFor(request => request.Printer).Line(40);
        RuleFor(request => request.Copies).Must(copies => copies is null or (>= 1 and <= PrintLabels.MostCopies))
            .WithMessage($"a whole number from 1 to {PrintLabels.MostCopies} copies is wanted; {{PropertyValue}} was given.");
        RuleFor(request => request.Reason).Line();
    }
}

internal sealed class CancelJobRules : AbstractValidator<CancelJob>
{
    public CancelJobRules()
    {
        RuleFor(request => request.Lot).LotCodeText();
        RuleFor(request => request.Job).Line(20);
    }
}
