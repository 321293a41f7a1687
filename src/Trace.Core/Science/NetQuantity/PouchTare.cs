namespace Trace.Core.Science.NetQuantity;

/// <summary>What empty pouches of one lot weigh.</summary>
/// <param name="MeanMilligrams">Rounded up, so that no pack counts as heavier than it is.</param>
/// <param name="SpreadMilligrams">Heaviest less lightest.</param>
/// <param name="NeedsOwnTares">The pouches differ too much for one tare: weigh each before it is filled.</param>
public sealed record PouchTareFigures(int Count, long MeanMilligrams, long SpreadMilligrams, bool NeedsOwnTares);

/// <summary>
/// The tare of a lot of pouches: the mean of at least ten empty ones. Where they differ by more than TNE ÷ 10, each pack needs its own.
/// </summary>
/// <remarks>Common practice, no source.</remarks>
public static class PouchTare
{
    public const int LeastPouches = 10;

    /// <param name="emptyMilligrams">Ten to 1000 empty pouches, each above 0 g and at most 20 kg.</param>
    /// <exception cref="ArgumentOutOfRangeException">Something lies beside its range; the name says what.</exception>
    public static PouchTareFigures Of(IReadOnlyList<long> emptyMilligrams, long nominalMilligrams)
    {
        ArgumentNullException.ThrowIfNull(emptyMilligrams);
        PackMass.Within(emptyMilligrams.Count, LeastPouches, 1000, nameof(emptyMilligrams));
        foreach (var pouch in emptyMilligrams) PackMass.Within(pouch, 1, PackMass.MostMilligrams, nameof(emptyMilligrams));
        var spread = emptyMilligrams.Max() - emptyMilligrams.Min();
        var mean = (emptyMilligrams.Sum() + emptyMilligrams.Count - 1) / emptyMilligrams.Count;
        return new PouchTareFigures(emptyMilligrams.Count, mean, spread, spread * 10 > TolerableError.Milligrams(nominalMilligrams));
    }
}
