using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Core.Units;

namespace Trace.Core.Labels;

/// <summary>Which case, carton or pallet labels are for.</summary>
/// <param name="Packs">Packs of the lot in each.</param>
/// <param name="CaseGtin">The case's own GTIN, 8 to 14 digits; for labels of cases.</param>
/// <param name="Sscc">The carton's or pallet's own number, 18 digits; for labels of shipping units.</param>
/// <param name="GrossMassGrams">With all packaging.</param>
/// <param name="Customer">Whom it goes to, as described; for labels of shipping units.</param>
public sealed record LabelUnit(
    int Packs, string? CaseGtin = null, string? Sscc = null, decimal? GrossMassGrams = null, string? Customer = null);

/// <summary>Decides whether a unit may have the label. Its prints count for no pack, so they need no reason of a pack's reprint.</summary>
internal static class LabelUnits
{
    /// <summary>A unit, or a refusal, or neither: packs and containers have none.</summary>
    public static (LabelledUnit? Unit, Decision? Refused) Read(PrintLabels request, Lot lot, TemplateChoice template, Situation situation)
    {
        var kind = template.Layout.For;
        if (kind is not (TemplateKind.Case or TemplateKind.Shipping))
            return (null, request.Unit is null ? null : Refuse($"{template.Name} is for {kind}; a unit is for labels of cases and shipping units. Leave 'unit' out, or name such a template.", "unit"));
        if (request.Unit is not { } told)
        {
            var number = kind == TemplateKind.Case ? "'caseGtin'" : "'sscc' and 'customer'";
            return (null, Refuse($"{template.Name} is for {kind}. Say in 'unit' what it is stuck on: 'packs', and {number}.", "unit"));
        }

        var unit = new LabelledUnit(
            told.Packs, Gtin.TryParse(told.CaseGtin, out var gtin, out _) ? gtin.Digits14 : null, told.Sscc,
            told.GrossMassGrams is { } grams ? Mass.FromGrams(grams).Milligrams : null, told.Customer);
        var refused = Contents(unit, lot)
            ?? (kind == TemplateKind.Case ? Case(unit, lot, situation) : Shipping(unit, request, lot, situation));
        return (unit, refused);
    }

    /// <summary>Whom it goes to, for the label: name, address, country.</summary>
    public static string ShipTo(LabelledUnit? unit, Situation situation) =>
        unit?.Customer is { } customer && situation.State.Consignees.TryGetValue(customer, out var known)
            ? string.Join(", ", new[] { known.Customer, known.Address, known.Country }.Where(part => !string.IsNullOrWhiteSpace(part)))
            : "";

    private static Decision? Contents(LabelledUnit unit, Lot lot)
    {
        var packed = (PackedRecord)lot.Record;
        if (unit.Packs > packed.Packs) return Refuse($"Lot {lot.Code} has {packed.Packs} packs; a unit of {unit.Packs} cannot be of this lot alone.", "unit.packs");
        var net = Mass.FromMilligrams(packed.NetMass.Milligrams * unit.Packs);
        return unit.GrossMass < net ? Refuse($"{unit.Packs} packs weigh {net} without any packaging; {unit.GrossMass} is less.", "unit.grossMassGrams") : null;
    }

    private static Decision? Case(LabelledUnit unit, Lot lot, Situation situation)
    {
        if (unit.Sscc is not null || unit.Customer is not null)
            return Refuse("An SSCC and a customer are of shipping units. Leave them out, or take a template for Shipping.", unit.Sscc is null ? "unit.customer" : "unit.sscc");
        if (unit.CaseGtin is null) return Refuse("A case is known by its own GTIN: give 'caseGtin'.", "unit.caseGtin");
        return Gtin.TryParse(situation.State.SpecificationOf(lot).Label.Gtin, out var pack, out _) && pack.Digits14 == unit.CaseGtin
            ? Refuse($"{unit.CaseGtin} is the GTIN of one pack; a case has another.", "unit.caseGtin")
            : null;
    }

    private static Decision? Shipping(LabelledUnit unit, PrintLabels request, Lot lot, Situation situation)
    {
        if (unit.CaseGtin is not null) return Refuse("The GTIN of a case stands on labels of cases. Leave 'caseGtin' out.", "unit.caseGtin");
        if (unit.Sscc is null) return Refuse("A shipping unit is known by its SSCC: give 'sscc', 18 digits.", "unit.sscc");
        if (unit.Customer is null) return Refuse("Say whom the shipping unit goes to: give 'customer'.", "unit.customer");
        if (!situation.State.Consignees.ContainsKey(unit.Customer))
            return Refuse($"{unit.Customer} is not described yet: record customers/describe with the address first.", "unit.customer");
        if (situation.State.FindSscc(unit.Sscc) is not { } used) return null;
        if (used.Lot != lot || used.Print.Unit != unit)
        {
            return Decision.Refuse(
                "labels.sscc-used", $"{unit.Sscc} is on print {used.Print.Id} of lot {used.Lot.Code} already, for another unit. Take the next serial reference.", "unit.sscc");
        }

        return string.IsNullOrWhiteSpace(request.Reason)
            ? Decision.Refuse("labels.reprint-reason", $"The label of {unit.Sscc} was printed before ({used.Print.Id}). Give 'reason'.", "reason")
            : null;
    }

    private static Decision Refuse(string detail, string field) => Decision.Refuse("labels.unit", detail, field);
}
