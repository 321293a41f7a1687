namespace Trace.Core.Science.NetQuantity;

/// <summary>A sampling plan for a lot of packs.</summary>
/// <param name="Count">Packs to weigh.</param>
/// <param name="PrintedFactor">Sample correction factor; null for a single pack.</param>
/// <param name="AllowedOverMav">Packs of the sample that may be short by more than the maximum allowable variation.</param>
public sealed record UsPlan(int From, int To, int Count, double? PrintedFactor, int AllowedOverMav, Provenance Mark);

/// <summary>A row of the maximum allowable variations by labelled mass. At a bound the smaller one counts.</summary>
public sealed record UsVariation(long ToMilligrams, long Milligrams, Provenance Mark);

/// <summary>Tables 2-1 and 2-5 of NIST Handbook 133.</summary>
internal static class UsTables
{
    /// <summary>A lot of two to eleven packs is weighed whole.</summary>
    private static readonly double[] SmallLots = [8.984, 2.484, 1.591, 1.241, 1.050, 0.925, 0.836, 0.769, 0.715, 0.672];

    internal static IReadOnlyList<UsPlan> Plans { get; } =
    [
        new(1, 1, 1, null, 0, Provenance.FromMemory),
        .. SmallLots.Select((factor, place) => new UsPlan(place + 2, place + 2, place + 2, factor, 0, Provenance.FromMemory)),
        new(12, 250, 12, 0.635, 0, Provenance.FromMemory),
        new(251, 3_200, 24, 0.422, 0, Provenance.FromMemory),
        new(3_201, PackSample.MostPacks, 48, 0.291, 1, Provenance.FromMemory),
    ];

    /// <summary>Above 36 g; below it is a tenth of the label. Only the row of 113 g was read (NIST's answers to questions).</summary>
    internal static IReadOnlyList<UsVariation> Variations { get; } =
    [
        new(54_000, 3_600, Provenance.FromMemory),
        new(81_000, 5_400, Provenance.FromMemory),
        new(117_000, 7_200, Provenance.Read),
        new(154_000, 9_000, Provenance.FromMemory),
        new(208_000, 10_800, Provenance.FromMemory),
        new(263_000, 12_700, Provenance.FromMemory),
        new(317_000, 14_500, Provenance.FromMemory),
        new(381_000, 16_300, Provenance.FromMemory),
        new(426_000, 18_100, Provenance.FromMemory),
        new(489_000, 19_900, Provenance.FromMemory),
        new(571_000, 21_700, Provenance.FromMemory),
        new(635_000, 23_500, Provenance.FromMemory),
        new(698_000, 25_400, Provenance.FromMemory),
        new(771_000, 27_200, Provenance.FromMemory),
        new(852_000, 29_000, Provenance.FromMemory),
        new(970_000, 31_700, Provenance.FromMemory),
        new(1_120_000, 35_300, Provenance.FromMemory),
    ];
}
