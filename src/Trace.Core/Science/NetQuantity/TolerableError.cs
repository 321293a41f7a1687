namespace Trace.Core.Science.NetQuantity;

/// <summary>One row of the table of tolerable negative errors: either a share of the nominal quantity or a fixed mass.</summary>
/// <param name="FromMilligrams">Included; so is <paramref name="ToMilligrams"/>, where both neighbours say the same.</param>
/// <param name="PerMille">Share of the nominal quantity, rounded up to the next 0.1 g; null for a fixed mass.</param>
/// <param name="FixedMilligrams">Fixed mass; null for a share.</param>
public sealed record TolerableErrorRow(
    long FromMilligrams, long ToMilligrams, int? PerMille, long? FixedMilligrams, string Source, Provenance Mark);

/// <summary>
/// Tolerable negative error (TNE) of a pack of the average system, and the limits T1 = nominal − TNE and T2 = nominal − 2 TNE.
/// Nominal quantities from 5 g to 10 kg; others are refused.
/// </summary>
/// <remarks>Council Directive 76/211/EEC, Annex I. Rounding of shares up to 0.1 g and the scope of 5 g to 10 kg: from memory.</remarks>
public static class TolerableError
{
    public const long LeastNominalMilligrams = 5_000, MostNominalMilligrams = 10_000_000;

    private const string Directive = "Directive 76/211/EEC, Annex I, 2.4";

    public static IReadOnlyList<TolerableErrorRow> Table { get; } =
    [
        new(5_000, 50_000, 90, null, Directive, Provenance.Read),
        new(50_000, 100_000, null, 4_500, Directive, Provenance.Read),
        new(100_000, 200_000, 45, null, Directive, Provenance.Read),
        new(200_000, 300_000, null, 9_000, Directive, Provenance.Read),
        new(300_000, 500_000, 30, null, Directive, Provenance.Read),
        new(500_000, 1_000_000, null, 15_000, Directive, Provenance.Read),
        new(1_000_000, 10_000_000, 15, null, Directive + ", compared with SI 2000/388, Schedule 5", Provenance.Read),
    ];

    public static bool Covers(long nominalMilligrams) => nominalMilligrams is >= LeastNominalMilligrams and <= MostNominalMilligrams;

    /// <summary>Milligrams, always a whole number of tenths of a gram.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The nominal quantity is below 5 g or above 10 kg.</exception>
    public static long Milligrams(long nominalMilligrams)
    {
        PackMass.Within(nominalMilligrams, LeastNominalMilligrams, MostNominalMilligrams);
        var row = Table.First(row => nominalMilligrams <= row.ToMilligrams);
        if (row.FixedMilligrams is { } whole) return whole;

        // Tenths of a gram are 100 mg, a share is in thousandths: the next whole one at or above.
        return (nominalMilligrams * row.PerMille!.Value + 99_999) / 100_000 * 100;
    }

    /// <summary>Few packs may be below it.</summary>
    public static long T1Milligrams(long nominalMilligrams) => nominalMilligrams - Milligrams(nominalMilligrams);

    /// <summary>No pack may be below it.</summary>
    public static long T2Milligrams(long nominalMilligrams) => nominalMilligrams - 2 * Milligrams(nominalMilligrams);
}
