using FluentValidation;
using Trace.Core.Figures;
using Trace.Core.Products;

namespace Trace.Web.Validation;

// What packs are made of, how their content takes up moisture, and what is asked of both.

internal sealed class MeasureIsothermRules : AbstractValidator<MeasureIsotherm>
{
    public MeasureIsothermRules()
    {
        RuleFor(request => request.Product).LotCodeText();
        RuleFor(request => request.Model).IsInEnum().WithMessage("gab, bet, oswin or peleg is wanted.");
        RuleFor(request => request.Branch).IsInEnum().WithMessage("desorption or adsorption is wanted.");
        RuleFor(request => request.TemperatureCelsius).Celsius(0, 60);
        RuleFor(request => request.Pairs).Items(200);
        RuleForEach(request => request.Pairs).ChildRules(pair =>
        {
            pair.RuleFor(one => one.WaterActivity).Between(0.01, 0.99, "(water activity; not in percent)");
            pair.RuleFor(one => one.MoistureFraction).Between(0.001, 0.9, "(fraction, wet basis; 8 % is 0.08)");
        });
        RuleFor(request => request.HappenedAt).Time();
        RuleFor(request => request.Reference).Line();
    }
}

internal sealed class DescribePackagingRules : AbstractValidator<DescribePackaging>
{
    public DescribePackagingRules()
    {
        RuleFor(request => request.Packaging).LotCodeText();
        RuleFor(request => request.Name).Line(100);
        RuleFor(request => request.TransmissionGramsPerSquareMetreDay).Between(0.0001, 1000, "g/(m²·d)");
        RuleFor(request => request.TestCelsius).Celsius(0, 60);
        RuleFor(request => request.TestRelativeHumidityPercent).Between(1, 100, "%");
        RuleFor(request => request.AreaSquareMetres).Between(0.0001, 10, "m²");
        RuleFor(request => request.Source).Line(300);
    }
}

internal sealed class KeepingQuestionRules : AbstractValidator<KeepingQuestion>
{
    public KeepingQuestionRules()
    {
        RuleFor(question => question.Product).LotCodeText();
        RuleFor(question => question.NetMassGrams).Between(1, 100_000, "g");
        RuleFor(question => question.StorageCelsius).Celsius(0, 60);
        RuleFor(question => question.StorageRelativeHumidityPercent).Between(1, 100, "%");
        RuleFor(question => question.PackedWaterActivity).Between(0.01, 0.9, "(water activity)");
        RuleFor(question => question.CriticalWaterActivity!.Value).Between(0.02, 0.95, "(water activity)")
            .When(question => question.CriticalWaterActivity is not null).OverridePropertyName("criticalWaterActivity");
        RuleFor(question => question.SafetyFactor).Between(0.05, 1, "");
        RuleFor(question => question.TestedDays!.Value).Between(1, 4000, "days")
            .When(question => question.TestedDays is not null).OverridePropertyName("testedDays");
        RuleFor(question => question.TestedCelsius!.Value).Celsius(0, 60)
            .Must((question, celsius) => Math.Abs(celsius - question.StorageCelsius) <= 40).WithMessage("a storage test speaks for storage within 40 K of it.")
            .When(question => question.TestedCelsius is not null).OverridePropertyName("testedCelsius");
        RuleFor(question => question.Q10!.Value).Between(1, 10, "").When(question => question.Q10 is not null).OverridePropertyName("q10");
    }
}
