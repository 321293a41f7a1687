using Trace.Core.Holds.Rules;
using Trace.Core.Science;
using Trace.Core.Specifications;

namespace Trace.Core.Figures;

/// <summary>
/// What a record of core readings would be worth as a sanitising run, before it is recorded. Spores survive and toxins stay: enough is no
/// proof of safety.
/// </summary>
/// <param name="FloorMinutes">At the reference, each step at the colder reading less the guard for the probe: what the rule judges by.</param>
/// <param name="ExactMinutes">At the reference, the temperature taken as linear between readings.</param>
/// <param name="WantedMinutes">By the specification.</param>
/// <param name="Suffices">Whether the floor reaches what is wanted; false also when the readings do not decide.</param>
/// <param name="Problem">Why they do not decide; then both figures are null.</param>
/// <param name="LogReduction">Of the floor, capped; null unless the specification states a D.</param>
/// <param name="Words">The same for people, with what it does not show.</param>
public sealed record SanitisingFigures(
    double? FloorMinutes, double? ExactMinutes, double WantedMinutes, double ReferenceCelsius, bool Suffices, string? Problem,
    double? LogReduction, string Words)
{
    /// <param name="limits">Of the specification that would judge the run today.</param>
    public static SanitisingFigures Of(IReadOnlyList<CoreReading> readings, SanitisingLimits limits)
    {
        ArgumentNullException.ThrowIfNull(limits);
        var result = HeatTreatment.Of(readings, limits);
        if (result.FloorMinutes is not { } floor)
        {
            return new(
                null, null, limits.LethalityMinutes, limits.ReferenceCelsius, false, result.Problem, null,
                $"The readings do not decide, so the lot would be held: {result.Problem}");
        }

        var suffices = floor >= limits.LethalityMinutes;
        return new(
            floor, result.ExactMinutes, limits.LethalityMinutes, limits.ReferenceCelsius, suffices, null,
            HeatTreatment.LogReduction(floor, limits),
            FormattableString.Invariant(
                $"Heat worth {floor:0.00} min at {limits.ReferenceCelsius:0.#} °C at least ({result.ExactMinutes:0.00} min between readings), {limits.LethalityMinutes:0.##} min wanted: {(suffices ? "enough" : "not enough, the lot would be held")}.{HeatTreatment.Reduction(floor, limits)} Spores survive and toxins stay; enough heat is no proof of safety."));
    }
}
