namespace Trace.Core.Science.Exposure;

/// <summary>
/// What is mixed into what: expected shares if containers are well mixed, and the bounds without any mixing assumption. For ranking
/// only. Which lots to recall is reachability: any edge counts, however small the share.
/// </summary>
public static class Commingling
{
    /// <summary>Share of each input in a mixture: the masses' weighted mean of the shares of what went in.</summary>
    /// <param name="parts">Mass of each part in one unit, none negative, not all zero, with its own shares by input; all lists
    /// equally long.</param>
    public static double[] Shares(IReadOnlyList<(double Mass, IReadOnlyList<double> Shares)> parts)
    {
        ArgumentNullException.ThrowIfNull(parts);
        ArgumentOutOfRangeException.ThrowIfZero(parts.Count, nameof(parts));
        var total = Domain.Positive(parts.Sum(part => Domain.NotNegative(part.Mass, nameof(parts))), nameof(parts));
        var mixed = new double[parts[0].Shares.Count];
        foreach (var (mass, shares) in parts)
        {
            ArgumentOutOfRangeException.ThrowIfNotEqual(shares.Count, mixed.Length, nameof(parts));
            for (var input = 0; input < mixed.Length; input++)
                mixed[input] += mass / total * Domain.Within(shares[input], 0, 1, nameof(parts));
        }

        return mixed;
    }

    /// <summary>
    /// Least and most mass of one input in a withdrawal: <c>max(0, q − (t − g))</c> and <c>min(g, q)</c>, whatever the mixing.
    /// </summary>
    /// <param name="withdrawn">q, from 0 to <paramref name="total"/>.</param>
    /// <param name="total">t, content of the container, above zero.</param>
    /// <param name="ofInput">g, mass of the input in it, from 0 to <paramref name="total"/>.</param>
    public static (double Least, double Most) Bounds(double withdrawn, double total, double ofInput)
    {
        Domain.Positive(total);
        Domain.Within(withdrawn, 0, total);
        Domain.Within(ofInput, 0, total);
        return (Math.Max(0, withdrawn - (total - ofInput)), Math.Min(ofInput, withdrawn));
    }

    /// <summary>Share of the first content that is left after so many refills of a container never emptied: <c>h^k</c>.</summary>
    /// <param name="heel">What stays in at each refill, 0 to below 1.</param>
    /// <remarks>The share falls; the recall set does not. Only a recorded clean break ends it.</remarks>
    public static double HeelLeft(double heel, int refills)
    {
        if (heel != 0) Domain.Between(heel, 0, 1);
        ArgumentOutOfRangeException.ThrowIfNegative(refills);
        return Math.Pow(heel, refills);
    }
}
