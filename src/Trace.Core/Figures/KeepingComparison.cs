using Trace.Core.Lots;
using Trace.Core.Science;
using Trace.Core.Science.Keeping;
using Trace.Core.Science.WaterActivity;
using Trace.Core.Specifications;

namespace Trace.Core.Figures;

/// <summary>What the quality officer assumes when packagings are compared.</summary>
/// <param name="Product">Product code with an approved specification.</param>
/// <param name="NetMassGrams">Of one pack, with its water, above zero.</param>
/// <param name="StorageCelsius">0 °C to 60 °C.</param>
/// <param name="StorageRelativeHumidityPercent">Above 0, at most 100.</param>
/// <param name="PackedWaterActivity">When packed, between 0 and the critical one.</param>
/// <param name="CriticalWaterActivity">At the end of the good life; by default the specification's largest.</param>
/// <param name="SafetyFactor">Share of a modelled time that is claimed, above 0, at most 1.</param>
/// <param name="TestedDays">Days a storage test kept it good against rancidity, at <paramref name="TestedCelsius"/>.</param>
/// <param name="Q10">Factor per 10 K for that test.</param>
public sealed record KeepingQuestion(
    string Product, double NetMassGrams, double StorageCelsius = 25, double StorageRelativeHumidityPercent = 75,
    double PackedWaterActivity = 0.30, double? CriticalWaterActivity = null, double SafetyFactor = KeepingTime.UsualSafetyFactor,
    double? TestedDays = null, double? TestedCelsius = null, double? Q10 = null);

/// <summary>One packaging in the comparison.</summary>
/// <param name="Days">Whole days by the models, safety factor included; null: none limits it, or see <paramref name="Problem"/>.</param>
/// <param name="LeastDays">Lower end of the limiting model's range, before the safety factor.</param>
/// <param name="MostDays">Upper end.</param>
/// <param name="Limiting">The model that decides; null when only the ceiling does.</param>
/// <param name="Weakest">The input that the limiting model depends on most.</param>
/// <param name="BestBefore">If packed and dried today; never later than the ceiling.</param>
/// <param name="Problem">Why no number can be given.</param>
/// <param name="IsCeiling">The models allow more than the ceiling, so the ceiling is what may be claimed.</param>
public sealed record KeepingRow(
    string Packaging, string Name, int? Days, double? LeastDays, double? MostDays, string? Limiting, string? Weakest, DateOnly? BestBefore,
    string? Problem, bool IsCeiling = false);

/// <param name="CeilingMonths">From the approved specification; the models may only shorten it.</param>
/// <param name="Isotherm">Which curve was used; null without one.</param>
/// <param name="Problem">Why nothing can be compared; then there are no rows.</param>
public sealed record KeepingComparison(
    KeepingQuestion Question, int CeilingMonths, string? Isotherm, IReadOnlyList<KeepingRow> Rows, string? Problem)
{
    public static KeepingComparison Of(SiteState state, KeepingQuestion question, DateOnly today)
    {
        ArgumentNullException.ThrowIfNull(question);
        if (state.Specifications.Approved(question.Product)?.Specification is not { } specification)
            return new(question, 0, null, [], $"{question.Product} has no approved specification.");
        var ceiling = specification.Label.ShelfLifeMonths;
        if (state.IsothermOf(question.Product)?.Isotherm is not { } isotherm)
        {
            return new(
                question, ceiling, null, [],
                $"No isotherm of {question.Product} was measured, so no keeping time can be computed. Measure moisture and water activity of a few samples, or justify a date with a storage test.");
        }

        var critical = question.CriticalWaterActivity ?? specification.Drying.LargestWaterActivity;
        var problem = critical is { } end
            ? WhyNot(question, end, isotherm)
            : "Neither the question nor the specification says which water activity ends the good life.";
        if (problem is not null) return new(question, ceiling, isotherm.Statement, [], problem);
        var span = new KeepingSpan(question.PackedWaterActivity, critical!.Value);
        return new(
            question, ceiling, isotherm.Statement,
            [.. state.Packagings.Values.OrderBy(one => one.Code, StringComparer.Ordinal)
                .Select(one => Row(one, question, span, isotherm, ceiling, today))],
            state.Packagings.Count == 0 ? "No packaging is described yet." : null);
    }

    private static KeepingRow Row(
        Packaging packaging, KeepingQuestion question, KeepingSpan span, SorptionIsotherm isotherm, int ceilingMonths, DateOnly today)
    {
        var moisture = DrySolids.DryToWetBasis(isotherm.DryBasis(span.Packed).Value);
        var pack = new BarrierPack(
            Permeance.FromTransmission(
                packaging.TransmissionGramsPerSquareMetreDay, packaging.TestCelsius, packaging.TestRelativeHumidityPercent),
            packaging.AreaSquareMetres, question.NetMassGrams * (1 - moisture));
        var air = new StorageAir(question.StorageCelsius, question.StorageRelativeHumidityPercent);
        var models = new List<KeepingModel>
        {
            MoistureKeeping.Model(
                "moisture through the packaging", pack, air, span, isotherm, KeepingDoubt.Usual, question.SafetyFactor),
        };
        if (question is { TestedDays: { } days, TestedCelsius: { } celsius, Q10: { } q10 })
        {
            models.Add(new(
                "storage test", TemperatureFactor.Keeps(days, q10, celsius, question.StorageCelsius), 0.2, question.SafetyFactor,
                "storage test and its Q10"));
        }

        var verdict = KeepingTime.Judge(models);
        var latest = CalendarMonths.Add(today, ceilingMonths);
        var isCeiling = verdict.Days is not { } claimed || today.AddDays(claimed) >= latest;
        var best = isCeiling ? latest : today.AddDays(verdict.Days!.Value);
        return new(
            packaging.Code, packaging.Name, verdict.Days, verdict.LeastDays, verdict.MostDays, verdict.Limiting?.Name,
            verdict.Limiting?.Weakest, verdict.Days == 0 ? null : best, verdict.Days == 0 ? "It would not keep for a day." : null,
            isCeiling);
    }

    private static string? WhyNot(KeepingQuestion question, double critical, SorptionIsotherm isotherm)
    {
        var (low, high) = (isotherm.LowestWaterActivity, isotherm.HighestWaterActivity);
        if (!(question.PackedWaterActivity >= low && question.PackedWaterActivity <= high))
            return FormattableString.Invariant($"The isotherm was measured from aw {low:0.00##} to {high:0.00##}; the water activity when packed lies outside, and the curve is not extended.");
        if (!(critical > question.PackedWaterActivity))
            return FormattableString.Invariant($"The critical water activity, {critical:0.00##}, must lie above the one when packed.");
        if (!(critical <= high))
            return FormattableString.Invariant($"The isotherm was measured up to aw {high:0.00##}; the critical water activity lies above, and the curve is not extended.");
        return question.TestedDays is null == question.TestedCelsius is null && question.TestedDays is null == question.Q10 is null
            ? null
            : "A storage test needs its days, its temperature and a Q10.";
    }
}
