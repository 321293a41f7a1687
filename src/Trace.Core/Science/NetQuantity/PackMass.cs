using System.Runtime.CompilerServices;

namespace Trace.Core.Science.NetQuantity;

/// <summary>
/// Guards for masses of packs. They are whole milligrams, so that a mean that is just the nominal quantity is never taken for less.
/// </summary>
internal static class PackMass
{
    /// <summary>Twice the largest nominal quantity of the average system. More is a slip of the unit.</summary>
    internal const long MostMilligrams = 20_000_000;

    internal static long Within(
        long milligrams, long low, long high, [CallerArgumentExpression(nameof(milligrams))] string? name = null) =>
        milligrams >= low && milligrams <= high
            ? milligrams
            : throw new ArgumentOutOfRangeException(
                name, milligrams, FormattableString.Invariant($"The mass must lie from {low / 1000m:0.###} g to {high / 1000m:0.###} g."));

    internal static int Within(int count, int low, int high, [CallerArgumentExpression(nameof(count))] string? name = null) =>
        count >= low && count <= high
            ? count
            : throw new ArgumentOutOfRangeException(name, count, $"The number must lie from {low} to {high}.");
}
