using FluentValidation;
using Trace.Core.Corrections;
using Trace.Core.Holds;
using Trace.Core.Labels;
using Trace.Core.Products;
using Trace.Core.Shipments;
using Trace.Core.Sites;
using Trace.Core.Specifications;
using Trace.Core.Stock;
using Trace.Core.Time;

namespace Trace.Web.Validation;

internal sealed class PrintLabelsRules : AbstractValidator<PrintLabels>
{
    public PrintLabelsRules()
    {
        RuleFor(request => request.Lot).LotCodeText();
        RuleFor(request => request.Copies).Between(1, PrintLabels.MostCopies, "copies");
        RuleFor(request => request.Template).Line(60);
        RuleFor(request => request.Language).Line(10);
        RuleFor(request => request.Reason).Line();
        RuleFor(request => request.StartAt!.Value).Between(1, 2500, "places").When(request => request.StartAt is not null)
            .OverridePropertyName("startAt");
        When(request => request.Unit is not null, () =>
        {
            RuleFor(request => request.Unit!.Packs).Between(1, 1_000_000, "packs").OverridePropertyName("unit.packs");
            RuleFor(request => request.Unit!.CaseGtin).Custom((told, context) =>
            {
                if (told is not null && !Gtin.TryParse(told, out _, out var problem)) context.AddFailure("unit.caseGtin", problem);
            });
            RuleFor(request => request.Unit!.Sscc).Custom((told, context) =>
            {
                if (told is not null && !Sscc.TryParse(told, out _, out var problem)) context.AddFailure("unit.sscc", problem);
            });
            RuleFor(request => request.Unit!.GrossMassGrams!.Value).Grams().When(request => request.Unit!.GrossMassGrams is not null)
                .OverridePropertyName("unit.grossMassGrams");
            RuleFor(request => request.Unit!.Customer).Line().OverridePropertyName("unit.customer");
        });
    }
}

internal sealed class PrintHoldTagRules : AbstractValidator<PrintHoldTag>
{
    public PrintHoldTagRules()
    {
        RuleFor(request => request.Lot).LotCodeText();
        RuleFor(request => request.Copies).Between(1, 2000, "copies");
        RuleFor(request => request.Template).Line(60);
        RuleFor(request => request.Language).Line(10);
    }
}

internal sealed class WriteTemplateRules : AbstractValidator<WriteTemplate>
{
    public WriteTemplateRules()
    {
        RuleFor(request => request.Template).Matches("^[a-z0-9][a-z0-9-]{0,59}\\z")
            .WithMessage("a template's name has 1 to 60 small letters, digits and hyphens, such as pack-70x50.");
        RuleFor(request => request.Text).NotEmpty().WithMessage("the text of the template is missing.")
            .MaximumLength(WriteTemplate.LongestText).WithMessage($"a template has at most {WriteTemplate.LongestText} characters.");
    }
}

internal sealed class ApproveTemplateRules : AbstractValidator<ApproveTemplate>
{
    public ApproveTemplateRules()
    {
        RuleFor(request => request.Template).Line(60);
        RuleFor(request => request.Version).Between(1, 100_000, "");
    }
}

internal sealed class WriteLogoRules : AbstractValidator<WriteLogo>
{
    public WriteLogoRules()
    {
        RuleFor(request => request.Logo).Matches("^[a-z0-9][a-z0-9-]{0,29}\\z")
            .WithMessage("a logo's name has 1 to 30 small letters, digits and hyphens, such as house.");
        RuleFor(request => request.Content).NotEmpty().WithMessage("the file is missing.")
            .MaximumLength((WriteLogo.LargestFile + 2) / 3 * 4).WithMessage($"a logo's file has at most {WriteLogo.LargestFile} bytes.");
    }
}

internal sealed class ApproveLogoRules : AbstractValidator<ApproveLogo>
{
    public ApproveLogoRules()
    {
        RuleFor(request => request.Logo).Line(30);
        RuleFor(request => request.Version).Between(1, 100_000, "");
    }
}

internal sealed class ReconcileLabelsRules : AbstractValidator<ReconcileLabels>
{
    private static int Kept(bool? said) => said == true ? 1 : 0;

    public ReconcileLabelsRules()
    {
        RuleFor(request => request.Lot).LotCodeText();
        RuleFor(request => request.Applied).Between(0, 100_000, "labels");
        RuleFor(request => request.Spoiled).Between(0, 100_000, "labels");
        RuleFor(request => request.Returned).Between(0, 100_000, "labels");
        RuleFor(request => request.Samples!.Value).Between(0, 100_000, "labels").When(request => request.Samples is not null)
            .OverridePropertyName("samples");
        RuleFor(request => request.Unreported!.Value).Between(0, 100_000, "labels").When(request => request.Unreported is not null)
            .OverridePropertyName("unreported");
        RuleFor(request => request.Samples).Must((request, samples) => (samples ?? 0) >= Kept(request.FirstKept) + Kept(request.LastKept))
            .WithMessage("labels kept count as samples too: the first and the last label kept are two samples.");
    }
}

internal sealed class ShipmentLineRules : AbstractValidator<ShipmentLineRequest>
{
    public ShipmentLineRules()
    {
        RuleFor(one => one.Lot).LotCodeText();
        RuleFor(one => one.Packs).Between(1, 100_000, "packs");
    }
}

internal sealed class ShipRules : AbstractValidator<Ship>
{
    public ShipRules()
    {
        RuleFor(request => request.Customer).Name();
        RuleFor(request => request.Reference).Line(60);
        RuleFor(request => request.Lines).Items(200);
        RuleForEach(request => request.Lines).SetValidator(new ShipmentLineRules());
        RuleFor(request => request.HappenedAt).Time();
    }
}

internal sealed class DescribeCustomerRules : AbstractValidator<DescribeCustomer>
{
    public DescribeCustomerRules()
    {
        RuleFor(request => request.Customer).Name();
        RuleFor(request => request.Address).Line(400);
        RuleFor(request => request.Country).Line(60);
        RuleFor(request => request.Phone).Line(60);
        RuleFor(request => request.Email).Line(200).Must(text => text is null || System.Net.Mail.MailAddress.TryCreate(text, out _))
            .WithMessage("'{PropertyValue}' is no e-mail address; one such as shop@example.org is wanted.");
        RuleFor(request => request.Language).Must(language => language is null || Wording.PageWords.Languages.Contains(language))
            .WithMessage($"one of {string.Join(", ", Wording.PageWords.Languages)} is wanted.");
    }
}

internal sealed class StockRequestRules : AbstractValidator<StockRequest>
{
    public StockRequestRules()
    {
        RuleFor(request => request.Lot).LotCodeText();
        RuleFor(request => request.Reason).Line();
        RuleFor(request => request.HappenedAt).Time();
        RuleFor(request => request.MassGrams).Must((request, mass) => mass is null != request.Packs is null)
            .WithMessage("give either 'massGrams' or 'packs', one of the two.");

        // A count may find nothing; taking nothing away is refused by the decision.
        RuleFor(request => request.MassGrams!.Value).Must(mass => mass is >= 0 and <= 10_000_000m
            && Core.Units.Mass.IsWholeMilligrams(mass))
            .WithMessage("a mass from 0 g to ten tonnes with at most three decimals is wanted; {PropertyValue} was given.")
            .When(request => request.MassGrams is not null).OverridePropertyName("massGrams");
        RuleFor(request => request.Packs!.Value).Between(0, 100_000, "packs").When(request =>
            request.Packs is not null).OverridePropertyName("packs");
    }
}

internal sealed class PlaceHoldRules : AbstractValidator<PlaceHold>
{
    public PlaceHoldRules()
    {
        RuleFor(request => request.Lot).LotCodeText();
        RuleFor(request => request.Reason).Line();
    }
}

internal sealed class ReleaseHoldRules : AbstractValidator<ReleaseHold>
{
    public ReleaseHoldRules()
    {
        RuleFor(request => request.Lot).LotCodeText();
        RuleFor(request => request.Hold).Line(60);
        RuleFor(request => request.Reason).Line();
    }
}

internal sealed class CorrectEntryRules : AbstractValidator<CorrectEntry>
{
    public CorrectEntryRules()
    {
        RuleFor(request => request.Seq).GreaterThan(0).WithMessage("a sequence number above 0 is wanted.");
        RuleFor(request => request.Reason).Line();
    }
}

internal sealed class ApproveProductRules : AbstractValidator<ApproveProduct>
{
    public ApproveProductRules()
    {
        RuleFor(request => request.Product).LotCodeText();
        RuleFor(request => request.Version).Between(1, 100_000, "");
    }
}

internal sealed class DescribeSiteRules : AbstractValidator<DescribeSite>
{
    public DescribeSiteRules()
    {
        RuleFor(request => request.Name).Line(100);
        RuleFor(request => request.Address).Line(200).When(request => request.Address.Length > 0);
        RuleFor(request => request.Zone).Must(zone => SiteZone.TryFind(zone, out _))
            .WithMessage("'{PropertyValue}' is no time zone that this machine knows; give one such as 'Africa/Nairobi'.");
        RuleFor(request => request.ApprovalNumber).Line(40);
        RuleFor(request => request.Gln).Must(gln => gln is null || (gln.Length == 13 && Core.Labels.Gtin.TryParse(gln, out _, out _)))
            .WithMessage("a Global Location Number has 13 digits with a good check digit.");
        RuleFor(request => request.PublicCodes)
            .Must(codes => codes is null or Core.Labels.PublicCode.Open or Core.Labels.PublicCode.Unguessable)
            .WithMessage("'{PropertyValue}' is neither 'open' nor 'unguessable'.");
        RuleFor(request => request.EnergyPrice).Must(price => price is null or (>= 0 and <= 1000)).WithMessage("a price from 0 to 1000 a kilowatt-hour is wanted.");
        RuleFor(request => request.Currency).Must(code => code is null || (code.Length == 3 && code.All(char.IsAsciiLetterUpper)))
            .WithMessage("a currency has three capital letters (ISO 4217), such as KES.");
        RuleFor(request => request.Currency).NotNull().When(request => request.EnergyPrice is not null).WithMessage("say in which currency the price is.");
    }
}

internal sealed class SpecifyProductRules : AbstractValidator<SpecifyProduct>
{
    public SpecifyProductRules()
    {
        RuleFor(request => request.Product).LotCodeText();
        RuleFor(request => request.Name).Line(100);
        RuleFor(request => request.Sources).Line(2000).When(request => request.Sources.Length > 0);
        RuleFor(request => request.Sanitising).SetValidator(new SanitisingLimitsRules());
        RuleFor(request => request.Drying).SetValidator(new DryingLimitsRules());
        RuleFor(request => request.Cooling).SetValidator(new CoolingLimitsRules());
        RuleFor(request => request.Handling).SetValidator(new HandlingLimitsRules());
        RuleFor(request => request.Label).SetValidator(new LabelFactsRules());
        RuleFor(request => request.NetQuantity).SetValidator(new NetQuantityLimitsRules());
        RuleFor(request => request.Tests).Must(tests => tests.Count <= 20).WithMessage("at most 20 tests.");
        RuleForEach(request => request.Tests).SetValidator(new AwaitedTestRules());
    }
}

internal sealed class SanitisingLimitsRules : AbstractValidator<SanitisingLimits>
{
    public SanitisingLimitsRules()
    {
        RuleFor(limits => limits.LethalityMinutes).Between(0.01, 1000, "min");
        RuleFor(limits => limits.ReferenceCelsius).Between(50, 130, "°C");
        RuleFor(limits => limits.ZKelvin).Between(2, 30, "K");
        RuleFor(limits => limits.CountFromCelsius).Between(50, 130, "°C");
        RuleFor(limits => limits.CreditToCelsius).Between(50, 130, "°C");
        RuleFor(limits => limits.CreditToCelsius).Must((limits, credit) => credit > limits.CountFromCelsius).WithMessage("it must lie above countFromCelsius.");
        RuleFor(limits => limits.LargestReadingGapSeconds).Between(1, 600, "s");
        RuleFor(limits => limits.LargestMassGainFraction).Between(0, 1, "");
        RuleFor(limits => limits.ProbeUncertaintyKelvin).Between(0, 10, "K");
        RuleFor(limits => limits.DecimalReductionMinutes!.Value).Between(0.001, 1000, "min").When(limits =>
            limits.DecimalReductionMinutes is not null).OverridePropertyName("decimalReductionMinutes");
    }
}

internal sealed class DryingLimitsRules : AbstractValidator<DryingLimits>
{
    public DryingLimitsRules()
    {
        RuleFor(limits => limits.YieldLowPercent).Between(1, 99, "%");
        RuleFor(limits => limits.YieldHighPercent).Between(1, 99, "%");
        RuleFor(limits => limits.YieldHighPercent).Must((limits, high) => high > limits.YieldLowPercent).WithMessage("it must lie above yieldLowPercent.");
        RuleFor(limits => limits.FreshMoistureFraction).Between(0.3, 0.95, "");
        RuleFor(limits => limits.FreshMoistureUncertainty).Between(0, 0.2, "");
        RuleFor(limits => limits.YieldToleranceFraction).Between(0, 0.2, "");
        RuleFor(limits => limits.LargestMoistureFraction!.Value).Between(0.01, 0.3, "").When(limits =>
            limits.LargestMoistureFraction is not null).OverridePropertyName("largestMoistureFraction");
        RuleFor(limits => limits.LargestWaterActivity!.Value).Between(0.1, 0.85, "").When(limits =>
            limits.LargestWaterActivity is not null).OverridePropertyName("largestWaterActivity");
        RuleFor(limits => limits.MeasuredAt)
            .Must((limits, at) => at == MeasuredAt.None || limits.LargestMoistureFraction is not null
                || limits.LargestWaterActivity is not null)
            .WithMessage("a measured dryness needs a limit: largestMoistureFraction or largestWaterActivity.");
        RuleFor(limits => limits.MoistureMeterUncertainty).Between(0, 0.2, "");
        RuleFor(limits => limits.WaterActivityMeterUncertainty).Between(0, 0.2, "");
        RuleFor(limits => limits.OutputOfMainsFraction).Between(0.1, 1, "");
    }
}

internal sealed class CoolingLimitsRules : AbstractValidator<CoolingLimits>
{
    public CoolingLimitsRules()
    {
        RuleFor(limits => limits.AboveRoomKelvin).Between(0, 20, "K");
        RuleFor(limits => limits.AssumedWaterActivity).Between(0.1, 0.95, "");
        RuleFor(limits => limits.ThermometerUncertaintyKelvin).Between(0, 5, "K");
        RuleFor(limits => limits.LargestReadingAgeMinutes).Between(1, 1440, "min");
        RuleFor(limits => limits.LeastRestMinutes).Between(0, 1440, "min");
    }
}

internal sealed class HandlingLimitsRules : AbstractValidator<HandlingLimits>
{
    public HandlingLimitsRules()
    {
        RuleFor(limits => limits.BalanceToleranceGrams).Between(0, 1000, "g");
        RuleFor(limits => limits.LargestUnexplainedLossFraction).Between(0, 0.5, "");
        RuleFor(limits => limits.LargestContainerOpenMinutes).Between(0, 10_080, "min");
        RuleFor(limits => limits.InstrumentCheckDays).Between(1, 400, "days");
        RuleFor(limits => limits.LargestLabelDifference).Between(0, 1000, "labels");
    }
}

internal sealed class LabelFactsRules : AbstractValidator<LabelFacts>
{
    public LabelFactsRules()
    {
        RuleFor(facts => facts.Gtin).Must(gtin => gtin is null || Core.Labels.Gtin.TryParse(gtin, out _, out _))
            .WithMessage("a GTIN has 8, 12, 13 or 14 digits with a good check digit.");
        RuleForEach(facts => facts.PackSizesGrams).Grams();
        RuleFor(facts => facts.ShelfLifeMonths).Between(1, 6, "months (the ceiling; common practice)");
        RuleFor(facts => facts.KeepingDays!.Value).Between(1, 200, "days").When(facts =>
            facts.KeepingDays is not null).OverridePropertyName("keepingDays");
        RuleFor(facts => facts.Purpose).Line(60);
        RuleFor(facts => facts.Storage).Line(200);
        RuleFor(facts => facts.Cautions).Must(cautions => cautions.Count <= 10).WithMessage("at most 10 cautions.");
        RuleForEach(facts => facts.Cautions).Line(200);
        RuleFor(facts => facts.Use).IsInEnum().WithMessage($"a use is {string.Join(", ", Enum.GetNames<LabelUse>())}.");
        RuleFor(facts => facts.Species).Line(100);
        RuleFor(facts => facts.Authorisation).Line(200);
        RuleFor(facts => facts.FeedParticulars).Line(400).When(facts => facts.FeedParticulars.Length > 0);
        RuleFor(facts => facts.Ingredients).Line(400).When(facts => facts.Ingredients.Length > 0);
        RuleFor(facts => facts.Allergens).Line(300).When(facts => facts.Allergens.Length > 0);
        RuleFor(facts => facts.Contact).Line(200).When(facts => facts.Contact.Length > 0);
        When(facts => facts.Use == LabelUse.Food, () =>
        {
            RuleFor(facts => facts.Species).NotEmpty().WithMessage("food needs the scientific name of the species.");
            RuleFor(facts => facts.Authorisation).NotEmpty()
                .WithMessage("food needs the authorisation under which the species may be sold; without one, choose another use.");
            RuleFor(facts => facts.Ingredients).NotEmpty().WithMessage("food needs its list of ingredients.");
            RuleFor(facts => facts.Allergens).NotEmpty().WithMessage("food of insects needs an allergen statement.");
        });
        RuleFor(facts => facts.Template).Line(60);
        RuleFor(facts => facts.Logo).Line(30);
        RuleFor(facts => facts.Language).Must(language => language is null || DateMark.Languages.Contains(language))
            .WithMessage(LabelWordsRules.LanguageList);
        RuleFor(facts => facts.Translations).Must((facts, translations) => facts.Language is not null || translations.Count == 0)
            .WithMessage("say in 'language' which language the other texts are written in.");
        RuleFor(facts => facts.Translations).Must((facts, _) => facts.Languages.Distinct().Count() == facts.Languages.Count)
            .WithMessage("each language stands there once.");
        RuleForEach(facts => facts.Translations).SetValidator(new LabelWordsRules());
        RuleForEach(facts => facts.Translations).Must((facts, words, context) =>
        {
            context.MessageFormatter.AppendArgument("Missing", LabelWordsRules.Missing(facts, words));
            return LabelWordsRules.Missing(facts, words) is null;
        }).WithMessage("it says as much as the specification in its own language, no less and no more; '{Missing}' differs.");
        RuleFor(facts => facts.MonthOnly).Must((facts, only) => !only || (facts.ShelfLifeMonths > 3 && facts.KeepingDays is null or > 92))
            .WithMessage("a product that keeps three months or less shows the day (Regulation (EU) No 1169/2011, Annex X).");
    }
}

internal sealed class AwaitedTestRules : AbstractValidator<AwaitedTest>
{
    public AwaitedTestRules()
    {
        RuleFor(test => test.Kind).Matches("^[a-z0-9][a-z0-9-]{0,39}\\z").WithMessage("a kind has 1 to 40 small letters, digits and hyphens.");
        RuleFor(test => test.N).Between(1, 100, "units");
        RuleFor(test => test.C).Must((test, c) => c >= 0 && c < test.N).WithMessage("c lies from 0 to n − 1.");
        RuleFor(test => test.LowerLimit).Between(0, 1e9, "");
        RuleFor(test => test.UpperLimit).Must((test, upper) => double.IsFinite(upper) && upper >= test.LowerLimit && upper <= 1e9)
            .WithMessage("M must not lie below m.");
        RuleFor(test => test.Unit).Line(30);
        RuleFor(test => test.Source).Line(300);
    }
}
