namespace Trace.Core.Science.Exposure;

/// <summary>That some of this input is in this output: positions in two lists. However little, it counts.</summary>
public readonly record struct DispersionLink(int Input, int Output);

/// <summary>
/// How far batches spread: of each input how many outputs contain some of it (downward), of each output how many inputs it contains
/// (upward), and the sum of both (batch dispersion), after Dupuy, Botta-Genoulaz and Guinet (2005), J. Food Eng. 70:333–339; the
/// definitions are from memory.
/// </summary>
public sealed record DispersionCounts(IReadOnlyList<int> Downward, IReadOnlyList<int> Upward)
{
    /// <summary>The sum over both lists; for two levels twice the number of links.</summary>
    public int Batch => Downward.Sum() + Upward.Sum();
}

/// <summary>Counts how far batches spread through containers into finished lots.</summary>
public static class BatchDispersion
{
    /// <param name="inputs">How many inputs there are; links name them from 0.</param>
    /// <param name="outputs">How many outputs there are.</param>
    /// <param name="links">A link that comes twice counts once.</param>
    public static DispersionCounts Count(int inputs, int outputs, IEnumerable<DispersionLink> links)
    {
        ArgumentNullException.ThrowIfNull(links);
        ArgumentOutOfRangeException.ThrowIfNegative(inputs);
        ArgumentOutOfRangeException.ThrowIfNegative(outputs);
        var (down, up) = (new int[inputs], new int[outputs]);
        foreach (var (input, output) in links.Distinct())
        {
            if (input < 0 || input >= inputs || output < 0 || output >= outputs)
                throw new ArgumentOutOfRangeException(nameof(links), (input, output), "A link names an input or output that is not there.");
            down[input]++;
            up[output]++;
        }

        return new(down, up);
    }
}
