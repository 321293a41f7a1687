namespace Trace.Core.Science.NetQuantity;

/// <summary>
/// What the weighed packs say together. Sums are exact, so the standard deviation does not change by a bit when every pack gets
/// heavier by the same.
/// </summary>
/// <param name="Count">Packs weighed, 1 to 100,000.</param>
/// <param name="StandardDeviationGrams">With n − 1; null for a single pack, which says nothing about spread.</param>
public sealed record PackSample(
    int Count, long TotalMilligrams, long LeastMilligrams, long GreatestMilligrams, double MeanGrams, double? StandardDeviationGrams)
{
    public const int MostPacks = 100_000;

    /// <param name="netMilligrams">Net mass of each pack, 0 g (an empty pack) to 20 kg.</param>
    /// <exception cref="ArgumentOutOfRangeException">No pack, too many, or a mass beside the range.</exception>
    public static PackSample Of(IReadOnlyList<long> netMilligrams)
    {
        ArgumentNullException.ThrowIfNull(netMilligrams);
        var count = PackMass.Within(netMilligrams.Count, 1, MostPacks, nameof(netMilligrams));
        var (total, squares) = (0L, Int128.Zero);
        var (least, greatest) = (long.MaxValue, long.MinValue);
        foreach (var mass in netMilligrams)
        {
            PackMass.Within(mass, 0, PackMass.MostMilligrams, nameof(netMilligrams));
            total += mass;
            squares += (Int128)mass * mass;
            (least, greatest) = (Math.Min(least, mass), Math.Max(greatest, mass));
        }

        var spread = count * squares - (Int128)total * total;
        return new PackSample(
            count, total, least, greatest, total / (1000.0 * count),
            count == 1 ? null : Math.Sqrt((double)spread / ((double)count * (count - 1))) / 1000);
    }
}
