namespace Trace.Core.Science.Charts;

/// <summary>
/// Chart of single values with their moving range: <c>x̄ ± 3 MR̄ / d2</c> (NIST/SEMATECH e-Handbook 6.3.2.2). The limits come from a base
/// period and stay; they are not computed anew with each point, or a drift would carry them along.
/// </summary>
/// <remarks>
/// Traps. The standard deviation of all values is not used: under a drift it is too large. The moving range is taken between neighbours
/// only, never across a break. Values of a skewed or bounded quantity (yield, water activity) pass the limits more often than normal ones.
/// Moving ranges that share a value are not independent: no run rules on them.
/// </remarks>
public static class IndividualsChart
{
    /// <summary>Limits from fewer values are provisional: at 20 the standard deviation behind them is still uncertain by a fifth.</summary>
    public const int LeastPoints = 20;

    /// <summary>
    /// Values that differ less than this share of the largest are the same number, rounded differently; they have no spread to speak of.
    /// </summary>
    private const double SameShare = 1e-12;

    /// <summary>|x(i) − x(i−1)| for each value; null at the start of each segment.</summary>
    /// <param name="values">Finite; at least one.</param>
    /// <param name="breaks">Rising places from 1 on at which a segment starts.</param>
    public static IReadOnlyList<double?> MovingRanges(IReadOnlyList<double> values, IReadOnlyList<int> breaks)
    {
        SeriesGuard.Values(values, 1);
        var starts = SeriesGuard.Starts(values.Count, breaks);
        var ranges = new double?[values.Count];
        for (var place = 1; place < values.Count; place++)
        {
            if (!starts[place]) ranges[place] = Domain.Finite(Math.Abs(values[place] - values[place - 1]), nameof(values));
        }

        return ranges;
    }

    /// <summary>Limits from the values of a base period. Cost: once through the values.</summary>
    /// <param name="values">Finite; at least two.</param>
    /// <param name="breaks">Rising places from 1 on at which a segment starts.</param>
    /// <returns>No limits, with the reason, when there is no moving range or all of them are zero.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An input, or a result, is not finite, too few or out of order.</exception>
    public static LimitsOutcome Limits(IReadOnlyList<double> values, IReadOnlyList<int> breaks, RangeDivisor divisor = RangeDivisor.Exact)
    {
        SeriesGuard.Values(values, 2);
        double sum = 0, ranges = 0, largest = 0;
        var count = 0;
        foreach (var range in MovingRanges(values, breaks))
        {
            if (range is null) continue;
            ranges += range.Value;
            count++;
        }

        foreach (var value in values)
        {
            sum += value;
            largest = Math.Max(largest, Math.Abs(value));
        }

        if (count == 0) return new(null, "No two values follow each other without a break, so nothing tells how much they vary.");
        var mean = Domain.Finite(ranges, nameof(values)) / count;
        if (mean <= SameShare * largest)
        {
            return new(
                null, "All values are the same: they show no variation to compute limits from. Look whether the value was copied or the instrument stands still.");
        }

        var center = Domain.Finite(sum, nameof(values)) / values.Count;
        var sigma = mean / (divisor == RangeDivisor.Exact ? ChartConstants.D2 : ChartConstants.RoundedD2);
        return new(
            new(
                center, Domain.Finite(center - 3 * sigma, nameof(values)), Domain.Finite(center + 3 * sigma, nameof(values)), sigma, mean,
                Domain.Finite(ChartConstants.D4 * mean, nameof(values)), values.Count, count, values.Count < LeastPoints),
            null);
    }
}
