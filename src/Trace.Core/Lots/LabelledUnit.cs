using Trace.Core.Units;

namespace Trace.Core.Lots;

/// <summary>The case, carton or pallet that a label was printed for. Two are equal when all of it is.</summary>
/// <param name="Packs">Packs of the lot in it.</param>
/// <param name="CaseGtin">14 digits, of a case that is a trade item of its own.</param>
/// <param name="Sscc">18 digits, of a shipping unit.</param>
/// <param name="Customer">Whom a shipping unit goes to.</param>
public sealed record LabelledUnit(
    int Packs, string? CaseGtin = null, string? Sscc = null, long? GrossMassMilligrams = null, string? Customer = null)
{
    [System.Text.Json.Serialization.JsonIgnore]
    public Mass? GrossMass => GrossMassMilligrams is { } mass ? Mass.FromMilligrams(mass) : null;
}
