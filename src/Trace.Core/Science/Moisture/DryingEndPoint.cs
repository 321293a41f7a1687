namespace Trace.Core.Science.Moisture;

/// <summary>What successive cycles of equal length say of the water that is left.</summary>
/// <param name="Ratio">Last loss over the one before, between 0 and 1.</param>
/// <param name="RemovableGrams">Water that further such cycles would still take out.</param>
/// <param name="Moisture">That water over the present mass, wet basis.</param>
public readonly record struct EndPointSign(double Ratio, double RemovableGrams, double Moisture);

/// <summary>
/// Signs of dryness from the losses of successive equal cycles, without knowing how wet the larvae were: in the falling-rate period each
/// loss is the same fraction q of the one before, so <c>Δ·q/(1 − q)</c> is still to come. A sign only; it releases nothing.
/// </summary>
/// <remarks>Own derivation. It reads too high early on, and knows nothing of water that the cycles do not reach.</remarks>
public static class DryingEndPoint
{
    /// <param name="massesGrams">Before the first and after each cycle, above zero, at least four.</param>
    /// <returns>Null when the losses do not fall (q ≥ 1) or a cycle lost nothing: nothing can be said.</returns>
    public static EndPointSign? FromLosses(IReadOnlyList<double> massesGrams)
    {
        ArgumentNullException.ThrowIfNull(massesGrams);
        ArgumentOutOfRangeException.ThrowIfLessThan(massesGrams.Count, 4, nameof(massesGrams));
        foreach (var mass in massesGrams) Domain.Positive(mass, nameof(massesGrams));
        var before = massesGrams[^3] - massesGrams[^2];
        var last = massesGrams[^2] - massesGrams[^1];
        if (last <= 0 || before <= 0 || last >= before) return null;
        var ratio = last / before;
        var removable = last * ratio / (1 - ratio);
        return new(ratio, removable, removable / massesGrams[^1]);
    }

    /// <summary>
    /// Constant weight: the last cycle took at most this share of the present mass. Sturdier than <see cref="FromLosses"/>, but only
    /// together with a measured moisture or water activity.
    /// </summary>
    /// <param name="share">Above 0, at most 0.2.</param>
    public static bool IsConstantWeight(double massBeforeGrams, double massAfterGrams, double share)
    {
        Domain.Positive(massBeforeGrams);
        Domain.Positive(massAfterGrams);
        Domain.Positive(share);
        Domain.Within(share, 0, 0.2);
        var loss = massBeforeGrams - massAfterGrams;
        return loss >= 0
            ? loss <= share * massAfterGrams
            : throw new ArgumentOutOfRangeException(nameof(massAfterGrams), massAfterGrams, "Drying cannot add mass.");
    }
}
