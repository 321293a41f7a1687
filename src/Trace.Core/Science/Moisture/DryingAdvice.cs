namespace Trace.Core.Science.Moisture;

/// <summary>One heating cycle with the mass before and after it, grams.</summary>
public readonly record struct WeighedCycle(double Seconds, double MassBeforeGrams, double MassAfterGrams);

/// <summary>What the operator wants to know between two cycles. Advice only: the readings decide.</summary>
/// <param name="Moisture">Predicted, wet basis, with its standard uncertainty.</param>
/// <param name="TargetGrams">Mass at which the predicted moisture is at the limit.</param>
/// <param name="StillToLoseGrams">Until the predicted moisture is at the limit; zero when it is there. No guard for doubt: see
/// <see cref="DryingAdvice.TargetGrams"/>.</param>
/// <param name="NextSeconds">Length of a further cycle; null when nothing is to lose, or the last cycle lost nothing.</param>
public readonly record struct DryingSuggestion(Estimate Moisture, double TargetGrams, double StillToLoseGrams, double? NextSeconds);

/// <summary>
/// Predicted moisture, grams still to lose and the length of the next cycle, from the dry-solids balance and the pace of the last cycles.
/// </summary>
/// <remarks>
/// Near the end the power goes into dry, fatty larvae, which scorch and catch fire: the advice never exceeds the last cycle, and shortens
/// as the pace falls. Weigh after each cycle; stop by mass, not by the clock; never leave the oven alone.
/// </remarks>
public static class DryingAdvice
{
    /// <summary>Shortest cycle worth advising, seconds.</summary>
    private const double LeastSeconds = 15;

    /// <param name="massInGrams">Into the dryer, above zero.</param>
    /// <param name="initialMoisture">Of what went in, wet basis, between 0 and 1.</param>
    /// <param name="moistureLimit">Wet basis, between 0 and 1.</param>
    /// <param name="massUncertaintyGrams">Standard uncertainty of one weighing.</param>
    /// <param name="cycles">In order of time, at least one with a mass; the last one's mass after is the present mass.</param>
    public static DryingSuggestion After(
        double massInGrams, Estimate initialMoisture, double moistureLimit, double massUncertaintyGrams, IReadOnlyList<WeighedCycle> cycles)
    {
        ArgumentNullException.ThrowIfNull(cycles);
        ArgumentOutOfRangeException.ThrowIfZero(cycles.Count, nameof(cycles));
        Domain.Between(moistureLimit, 0, 1);
        Domain.Positive(massInGrams);
        var now = Domain.Positive(cycles[^1].MassAfterGrams, nameof(cycles));
        Domain.NotNegative(massUncertaintyGrams);
        Domain.Answer(massInGrams / now * (1 + massUncertaintyGrams / now), nameof(cycles));
        if (now > massInGrams) throw new ArgumentOutOfRangeException(nameof(cycles), now, "Drying cannot add mass.");
        var moisture = DrySolids.FinalMoisture(massInGrams, now, initialMoisture, massUncertaintyGrams, massUncertaintyGrams);
        var target = TargetGrams(massInGrams, initialMoisture, moistureLimit);
        var toLose = Math.Max(0, now - target);
        return new(moisture, target, toLose, toLose > 0 ? NextSeconds(cycles, toLose) : null);
    }

    /// <summary>
    /// The mass at which the prediction equals the limit: <c>m_in·(1 − M0)/(1 − limit)</c>. The best estimate, without a guard: with a
    /// book value of M0 the guarded target lies below the dry solids themselves, and no drying reaches it.
    /// </summary>
    public static double TargetGrams(double massInGrams, Estimate initialMoisture, double moistureLimit) =>
        Domain.Positive(massInGrams)
        * DrySolids.LargestYield(Domain.Between(initialMoisture.Value, 0, 1, nameof(initialMoisture)), moistureLimit);

    /// <summary>
    /// At the pace of the last cycle, or, when two cycles show that the pace falls, along its exponential fall; never longer than the last
    /// cycle. Null when the last cycle lost nothing: then stir, check the load and the oven.
    /// </summary>
    private static double? NextSeconds(IReadOnlyList<WeighedCycle> cycles, double toLose)
    {
        var last = cycles[^1];
        var pace = PaceOf(last);
        if (!(pace > 0)) return null;
        var seconds = toLose / pace;
        if (cycles.Count > 1 && PaceOf(cycles[^2]) is var before && before > pace)
        {
            // dm/dt = −pace·e^(−λt): the whole fall is pace/λ, and what is to lose must be less.
            var decay = Math.Log(before / pace) / ((cycles[^2].Seconds + last.Seconds) / 2);
            var share = toLose * decay / pace;
            if (share >= 1) return last.Seconds;
            seconds = -Math.Log(1 - share) / decay;
        }

        return Math.Clamp(Math.Ceiling(seconds), Math.Min(LeastSeconds, last.Seconds), last.Seconds);
    }

    private static double PaceOf(WeighedCycle cycle) =>
        (Domain.Positive(cycle.MassBeforeGrams, "cycles") - Domain.Positive(cycle.MassAfterGrams, "cycles")) / Domain.Positive(cycle.Seconds, "cycles");
}
