using Trace.Core.Science;
using Trace.Core.Specifications;

namespace Trace.Core.Holds.Rules;

/// <summary>What readings of a run are worth by a specification's limits: one place, so that preview and rule agree.</summary>
internal static class HeatTreatment
{
    internal static LethalityResult Of(IReadOnlyList<CoreReading> readings, SanitisingLimits limits) => Lethality.Integrate(
        readings,
        new LethalityRule(
            limits.ReferenceCelsius, limits.ZKelvin, limits.CountFromCelsius, limits.CreditToCelsius,
            TimeSpan.FromSeconds(limits.LargestReadingGapSeconds), limits.ProbeUncertaintyKelvin));

    /// <summary>Log reductions of the floor, capped; null unless the specification states a D.</summary>
    internal static double? LogReduction(double floorMinutes, SanitisingLimits limits) =>
        limits.DecimalReductionMinutes is { } decimalReduction ? Lethality.LogReduction(floorMinutes, decimalReduction) : null;

    /// <summary>The same as a sentence, with a blank before it; empty without a D.</summary>
    internal static string Reduction(double floorMinutes, SanitisingLimits limits) => LogReduction(floorMinutes, limits) is { } logs
        ? FormattableString.Invariant(
            $" With the D of {limits.DecimalReductionMinutes:0.###} min that the specification states, a {logs:0.0} log reduction at least, counted to {Lethality.LargestLogReduction:0} at most: computed, no proof of safety.")
        : "";
}
