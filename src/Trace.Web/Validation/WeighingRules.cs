using FluentValidation;
using Trace.Core.Instruments;
using Trace.Core.Specifications;
using Trace.Core.Steps.Packing;
using Trace.Core.Units;

namespace Trace.Web.Validation;

internal sealed class WeighPacksRules : AbstractValidator<WeighPacks>
{
    /// <summary>Packs that one request takes; more are sent in a second one.</summary>
    private const int MostPacks = 1000;

    public WeighPacksRules()
    {
        RuleFor(request => request.Lot).LotCodeText();
        RuleFor(request => request.HappenedAt).Time();
        RuleFor(request => request.NetGrams).Must((request, net) => net is null != request.GrossGrams is null)
            .WithMessage("give either 'netGrams' or 'grossGrams', one of the two.");
        RuleFor(request => request.NetGrams!).Items(MostPacks).When(request => request.NetGrams is not null).OverridePropertyName("netGrams");
        RuleForEach(request => request.NetGrams).Must(IsNet).WithMessage(NetWanted);
        RuleFor(request => request.GrossGrams!).Items(MostPacks).When(request => request.GrossGrams is not null)
            .OverridePropertyName("grossGrams");
        RuleForEach(request => request.GrossGrams).Grams();
        RuleFor(request => request.TareGrams)
            .Must((request, tare) => request.GrossGrams is null ? tare is null && request.OwnTareGrams is null
                : tare is null != request.OwnTareGrams is null)
            .WithMessage("gross masses need either 'tareGrams' or 'ownTareGrams', net masses neither.");
        RuleFor(request => request.TareGrams).Must(tare => tare is null or { Count: >= 10 and <= MostPacks })
            .WithMessage("10 to 1000 empty pouches are wanted; their mean is the tare.");
        RuleForEach(request => request.TareGrams).Grams();
        RuleFor(request => request.OwnTareGrams).Must((request, own) => own is null || own.Count == request.GrossGrams?.Count)
            .WithMessage("as many empty masses as gross masses are wanted, in the same order.");
        RuleForEach(request => request.OwnTareGrams).Grams();
        RuleFor(request => request.Balance).Line(60);
        RuleFor(request => request.Fixed).Line();
        RuleFor(request => request.Fixed).Must((request, text) => request.InsteadGrams is null || text is not null)
            .WithMessage("say what was done to the packs that are weighed again.");
        RuleFor(request => request.InsteadGrams)
            .Must((request, instead) => instead is null || instead.Count == (request.NetGrams ?? request.GrossGrams)?.Count)
            .WithMessage("as many masses as packs weighed again are wanted: what each weighed before.");
        RuleForEach(request => request.InsteadGrams).Must(IsNet).WithMessage(NetWanted);
    }

    private const string NetWanted = "a net mass from 0 g to 20 kg with at most three decimals is wanted; {PropertyValue} was given.";

    private static bool IsNet(decimal grams) => grams is >= 0 and <= 20_000 && Mass.IsWholeMilligrams(grams);
}

internal sealed class NetQuantityLimitsRules : AbstractValidator<NetQuantityLimits>
{
    public NetQuantityLimitsRules()
    {
        RuleFor(limits => limits.LargestShareBelowT1).Between(0, 0.05, "(a fraction: 2.5 % is 0.025)");
        RuleFor(limits => limits.BalanceUncertaintyGrams).Between(0, 30, "g");
        RuleFor(limits => limits.PricePerKilogram).Must(price => price is null or (>= 0 and <= 1_000_000))
            .WithMessage("a price from 0 to 1000000 is wanted; {PropertyValue} was given.");
        RuleFor(limits => limits.Currency!).Matches("^[A-Z]{3}\\z").When(limits => limits.Currency is not null)
            .WithMessage("a currency has three capital letters, such as KES.").OverridePropertyName("currency");
    }
}

internal sealed class CheckInstrumentRules : AbstractValidator<CheckInstrument>
{
    public CheckInstrumentRules()
    {
        RuleFor(request => request.Instrument).Line(60);
        RuleFor(request => request.Found).Between(-1e6, 1e6, "");
        RuleFor(request => request.HappenedAt).Time();

        // Without a kind nobody but the caller knows what is good.
        RuleFor(request => request.Method).Must((request, method) => method is null != request.Kind is null)
            .WithMessage("without a 'kind' say the method; with one leave it out.");
        RuleFor(request => request.Method).Line();
        RuleFor(request => request.Expected).Must((request, value) => Wanted(request.Kind is null, value, -1e6, 1e6))
            .WithMessage("a number from -1000000 to 1000000 is wanted without a 'kind'; with one leave it out.");
        RuleFor(request => request.Tolerance).Must((request, value) => Wanted(request.Kind is null, value, 1e-6, 1e6))
            .WithMessage("a number from 0.000001 to 1000000 is wanted without a 'kind'; with one leave it out.");

        RuleFor(request => request.WeightGrams)
            .Must((request, value) => Wanted(Is(request, KnownPoint.TestWeight), (double?)value, 0.1, 1e6))
            .WithMessage("a test weight from 0.1 g to 1000 kg is wanted for the kind 'test-weight', and for no other.");
        RuleFor(request => request.DivisionGrams)
            .Must((request, value) => Wanted(Is(request, KnownPoint.TestWeight), (double?)value, 0.0001, 1000))
            .WithMessage("the display's step from 0.0001 g to 1000 g is wanted for the kind 'test-weight', and for no other.");
        RuleFor(request => request.PackGrams)
            .Must((request, value) => value is null || (Is(request, KnownPoint.TestWeight) && value is >= 5 and <= 10_000))
            .WithMessage("a nominal quantity from 5 g to 10 kg may go with the kind 'test-weight', and with no other.");
        RuleFor(request => request.PressureKilopascal)
            .Must((request, value) => !Is(request, KnownPoint.Boiling) || value is null != request.AltitudeMetres is null)
            .WithMessage("for boiling water give 'pressureKilopascal' or 'altitudeMetres', one of the two.");
        RuleFor(request => request.PressureKilopascal)
            .Must((request, value) => value is null || Wanted(Is(request, KnownPoint.Boiling), value, 50, 110))
            .WithMessage("a pressure from 50 to 110 kPa may go with the kind 'boiling', and with no other.");
        RuleFor(request => request.AltitudeMetres)
            .Must((request, value) => value is null || Wanted(Is(request, KnownPoint.Boiling), value, -500, 5000))
            .WithMessage("an altitude from -500 to 5000 m may go with the kind 'boiling', and with no other.");
        RuleFor(request => request.Salt).Must((request, salt) => salt is null != Is(request, KnownPoint.Salt)).WithMessage("a salt is wanted for the kind 'salt', and for no other.");
        RuleFor(request => request.TemperatureCelsius).Must((request, value) => Wanted(Is(request, KnownPoint.Salt), value, 0, 50))
            .WithMessage("a temperature from 0 to 50 °C is wanted for the kind 'salt', and for no other.");
    }

    private static bool Is(CheckInstrument request, KnownPoint kind) => request.Kind == kind;

    private static bool Wanted(bool isWanted, double? value, double low, double high) =>
        isWanted ? value is { } number && double.IsFinite(number) && number >= low && number <= high : value is null;
}
