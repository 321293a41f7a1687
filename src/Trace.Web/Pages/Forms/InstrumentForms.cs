using Trace.Core.Instruments;
using Trace.Core.Science.Instruments;
using static Trace.Web.Pages.Forms.Fields;

namespace Trace.Web.Pages.Forms;

internal static class InstrumentForms
{
    internal static BenchForm Check { get; } = new(BenchForms.Op("instruments/check"), "Check an instrument",
    [
        Line("instrument", "Instrument") with
        {
            Options = state => state.Instruments.Keys.Order(StringComparer.Ordinal).Take(40).Select(name => new FormOption(name, "")),
        },
        Choose("kind", "Against what", Suggest.Fixed(
            ("ice", "Crushed ice (thermometer)"), ("boiling", "Boiling water (thermometer)"), ("test-weight", "Test weight (balance)"),
            ("salt", "Saturated salt (water-activity meter)"), ("other", "Something else: say below what is good"))) with
        {
            Hint = "Fill in below what belongs to it and leave the rest empty. The program says whether it is good.",
        },
        new("found", "It shows", FieldKind.Quantity) { Hint = "°C, grams, or water activity from 0 to 1." },
        Number("weightGrams", "Test weight", "g") with { Hint = "Near the load that is weighed. It needs a certificate of its own." },
        Number("divisionGrams", "Smallest step of the balance", "g"),
        Number("packGrams", "Packs weighed on it hold", "g") with { Hint = "Net, if packs are weighed on it." },
        Number("pressureKilopascal", "Boiling: air pressure at the place", "kPa") with { Hint = "As the barometer shows it there. Or the altitude." },
        Number("altitudeMetres", "Boiling: altitude", "m"),
        Choose("salt", "Salt", Suggest.Fixed(
            ("lithium-chloride", "Lithium chloride, about 0.11"), ("magnesium-chloride", "Magnesium chloride, about 0.33"),
            ("magnesium-nitrate", "Magnesium nitrate, about 0.53"), ("sodium-chloride", "Sodium chloride, about 0.75"),
            ("potassium-chloride", "Potassium chloride, about 0.84"), ("potassium-sulfate", "Potassium sulfate, about 0.97"))),
        Number("temperatureCelsius", "Salt: its temperature", "°C") with { Hint = "After 15 min or more at an even temperature." },
        Optional(Line("method", "Something else: against what")) with { Hint = "Such as a reference thermometer." },
        Number("expected", "Something else: it should show", null), Number("tolerance", "Something else: it may differ by", null),
        When("When it was checked"),
    ], form => new CheckInstrument(
        form.Line("instrument"), form.Number("found"), form.Moment("happenedAt"), form.LineOrNull("method"), form.NumberOrNull("expected"),
        form.NumberOrNull("tolerance"), form.ChoiceOrNull<KnownPoint>("kind"), form.QuantityOrNull("weightGrams"),
        form.QuantityOrNull("divisionGrams"), form.QuantityOrNull("packGrams"), form.NumberOrNull("pressureKilopascal"),
        form.NumberOrNull("altitudeMetres"), form.ChoiceOrNull<SaturatedSalt>("salt"), form.NumberOrNull("temperatureCelsius")))
    { Cautions = Cautions.Boiling };

    private static FormField Number(string name, string label, string? unit) =>
        new(name, label, FieldKind.Quantity) { Unit = unit, IsOptional = true };
}
