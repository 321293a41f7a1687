using FluentValidation;
using Trace.Core.Operations;
using Trace.Core.Science;
using Trace.Core.Steps.Checks;
using Trace.Core.Steps.Cooling;
using Trace.Core.Steps.Drying;
using Trace.Core.Steps.Filling;
using Trace.Core.Steps.Packing;
using Trace.Core.Steps.Receiving;
using Trace.Core.Steps.Sanitising;

namespace Trace.Web.Validation;

internal sealed class LotInputRules : AbstractValidator<LotInput>
{
    public LotInputRules()
    {
        RuleFor(input => input.Lot).LotCodeText();
        RuleFor(input => input.MassGrams).Grams();
    }
}

internal sealed class ReceiveLarvaeRules : AbstractValidator<ReceiveLarvae>
{
    public ReceiveLarvaeRules()
    {
        RuleFor(request => request.Supplier).Name();
        RuleFor(request => request.MassGrams).Grams();
        RuleFor(request => request.HappenedAt).Time();
        RuleFor(request => request.Lot!).LotCodeText().When(request => request.Lot is not null);
        RuleFor(request => request.Species).Line();
        RuleFor(request => request.Substrate).Line();
        RuleFor(request => request.Note).Line(1000);
        RuleFor(request => request.MoistureFraction!.Value).Between(0.01, 0.99, "(a fraction, not a percentage)")
            .When(request => request.MoistureFraction is not null).OverridePropertyName("moistureFraction");
        RuleFor(request => request.MoistureUncertainty!.Value).Between(0, 0.5, "(a fraction)")
            .When(request => request.MoistureUncertainty is not null).OverridePropertyName("moistureUncertainty");
    }
}

internal sealed class CoreReadingRules : AbstractValidator<CoreReading>
{
    public CoreReadingRules()
    {
        RuleFor(reading => reading.At).Time();
        RuleFor(reading => reading.CoreCelsius).Celsius();
    }
}

internal sealed class RunSanitisingRules : AbstractValidator<RunSanitising>
{
    public RunSanitisingRules()
    {
        RuleFor(request => request.Inputs).Items(50);
        RuleForEach(request => request.Inputs).SetValidator(new LotInputRules());
        RuleFor(request => request.Method).Line(60);
        RuleFor(request => request.Readings).Items(5000);
        RuleForEach(request => request.Readings).SetValidator(new CoreReadingRules());
        RuleFor(request => request.MassOutGrams).Grams();
        RuleFor(request => request.HappenedAt).Time();
        RuleFor(request => request.Instrument).Line(60);
        RuleFor(request => request.Readings)
            .Must((request, readings) =>
                readings.All(reading => reading.At <= request.HappenedAt && request.HappenedAt - reading.At < TimeSpan.FromHours(24)))
            .WithMessage("readings lie in the 24 hours before the end of the run ('happenedAt').");
    }
}

internal sealed class StartDryingRules : AbstractValidator<StartDrying>
{
    public StartDryingRules()
    {
        RuleFor(request => request.Inputs).Items(50);
        RuleForEach(request => request.Inputs).SetValidator(new LotInputRules());
        RuleFor(request => request.Dryer).Line(40);
        RuleFor(request => request.PowerWatts).Between(50, 200_000, "W");
        RuleFor(request => request.HappenedAt).Time();
        RuleFor(request => request.Product!).LotCodeText().When(request => request.Product is not null);
    }
}

internal sealed class RecordCycleRules : AbstractValidator<RecordCycle>
{
    public RecordCycleRules()
    {
        RuleFor(request => request.Lot).LotCodeText();
        RuleFor(request => request.Seconds).Between(1, 14_400, "s");
        RuleFor(request => request.VentSeconds!.Value).Between(0, 14_400, "s").When(request =>
            request.VentSeconds is not null).OverridePropertyName("ventSeconds");
        RuleFor(request => request.MassGrams!.Value).Grams().When(request => request.MassGrams is not null).OverridePropertyName("massGrams");
        RuleFor(request => request.HappenedAt).Time();
    }
}

internal sealed class WeighOutBatchRules : AbstractValidator<WeighOutBatch>
{
    public WeighOutBatchRules()
    {
        RuleFor(request => request.Lot).LotCodeText();
        RuleFor(request => request.MassOutGrams).Grams();
        RuleFor(request => request.HappenedAt).Time();
        RuleFor(request => request.CoreCelsius!.Value).Celsius().When(request => request.CoreCelsius is not null).OverridePropertyName("coreCelsius");
        RuleFor(request => request.Balance).Line(60);
    }
}

internal sealed class ReadCoolingRules : AbstractValidator<ReadCooling>
{
    public ReadCoolingRules()
    {
        RuleFor(request => request.Lot).LotCodeText();
        RuleFor(request => request.CoreCelsius).Celsius();
        RuleFor(request => request.RoomCelsius).Celsius(-20, 50);
        RuleFor(request => request.HappenedAt).Time();
        RuleFor(request => request.RelativeHumidityPercent!.Value).Between(1, 100, "%")
            .When(request => request.RelativeHumidityPercent is not null).OverridePropertyName("relativeHumidityPercent");
        RuleFor(request => request.Instrument).Line(60);
    }
}

internal sealed class RecordCheckRules : AbstractValidator<RecordCheck>
{
    public RecordCheckRules()
    {
        RuleFor(request => request.Lot).LotCodeText();
        RuleFor(request => request.Kind).Matches("^[a-z0-9][a-z0-9-]{0,39}\\z")
            .WithMessage("a kind has 1 to 40 small letters, digits and hyphens, such as 'water-activity'.");
        RuleFor(request => request.Values).Items(100);
        RuleForEach(request => request.Values).Must(value => value.Text.Length <= 40 && value.IsUsable)
            .WithMessage("a value is a number with a point as decimal sign, or a text such as \"<10\" or \">300\".");
        RuleFor(request => request.Values)
            .Must(values => values.All(value => SampleValue.TryParse(value.Text, out var read) && read.Value is >= 0 and <= 1))
            .When(request => request.Kind is "moisture" or "water-activity")
            .WithMessage("values of this kind are fractions from 0 to 1: 8 % is 0.08.");
        RuleFor(request => request.HappenedAt).Time();
        RuleFor(request => request.Instrument).Line(60);
        RuleFor(request => request.TemperatureCelsius!.Value).Celsius().When(request =>
            request.TemperatureCelsius is not null).OverridePropertyName("temperatureCelsius");
        RuleFor(request => request.Laboratory).Line();
        RuleFor(request => request.Reference).Line();
        RuleFor(request => request.Unit).Line(30);
        RuleFor(request => request.Unit).Null().When(request => request.Kind is "moisture" or "water-activity")
            .WithMessage("values of this kind are fractions from 0 to 1 and have no unit.");
    }
}

internal sealed class FillContainerRules : AbstractValidator<FillContainer>
{
    public FillContainerRules()
    {
        RuleFor(request => request.Container).LotCodeText();
        RuleFor(request => request.Inputs).Items(50);
        RuleForEach(request => request.Inputs).SetValidator(new LotInputRules());
        RuleFor(request => request.HappenedAt).Time();
    }
}

internal sealed class ContainerRequestRules : AbstractValidator<ContainerRequest>
{
    public ContainerRequestRules()
    {
        RuleFor(request => request.Container).LotCodeText();
        RuleFor(request => request.HappenedAt).Time();
    }
}

internal sealed class PackLotRules : AbstractValidator<PackLot>
{
    public PackLotRules()
    {
        RuleFor(request => request.Inputs).Items(50);
        RuleForEach(request => request.Inputs).SetValidator(new LotInputRules());
        RuleFor(request => request.Product).LotCodeText();
        RuleFor(request => request.Packs).Between(1, 100_000, "packs");
        RuleFor(request => request.NetMassGrams).Grams();
        RuleFor(request => request.HappenedAt).Time();
        RuleFor(request => request.Packaging).Line(60);
    }
}
