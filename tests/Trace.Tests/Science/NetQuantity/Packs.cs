using CsCheck;

namespace Trace.Tests.Science.NetQuantity;

/// <summary>Packs for tests: grams as people write them, and random lots that lie about the limits.</summary>
internal static class Packs
{
    /// <summary>Worked set: nominal 100 g, batch of 300, 30 packs.</summary>
    public static readonly long[] Thirty = Of(
        100.4m, 99.1m, 101.3m, 98.7m, 100.9m, 102.0m, 99.6m, 97.8m, 100.2m, 101.1m, 99.9m, 98.9m, 100.7m, 101.8m, 99.3m, 96.9m, 100.5m, 99.8m,
        101.6m, 98.2m, 100.0m, 102.3m, 99.4m, 100.8m, 97.5m, 101.0m, 98.6m, 100.3m, 99.7m, 101.4m);

    public static long[] Of(params decimal[] grams) => [.. grams.Select(one => (long)(one * 1000))];

    public static long[] Moved(IEnumerable<long> packs, long milligrams) => [.. packs.Select(mass => mass + milligrams)];

    /// <summary>Packs of a nominal 100 g that are now good, now short, now far off.</summary>
    public static Gen<long[]> About100(int least, int most) =>
        Gen.Select(Gen.Long[94_000, 103_000], Gen.Long[1, 4_000]).SelectMany((middle, spread) =>
            Gen.Long[middle - spread, middle + spread].Array[least, most]);
}
