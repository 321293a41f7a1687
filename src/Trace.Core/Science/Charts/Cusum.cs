namespace Trace.Core.Science.Charts;

/// <summary>Both sums at one place, never negative, in the unit of the data.</summary>
public readonly record struct CusumPoint(double High, double Low, bool SignalsHigh, bool SignalsLow);

/// <summary>
/// Cumulative sums of what is above and below the target, for small lasting shifts: <c>S⁺ = max(0, S⁺ + x − target − k)</c>,
/// <c>S⁻ = max(0, S⁻ + target − k − x)</c>, a signal where one is above h (NIST/SEMATECH e-Handbook 6.3.2.3).
/// </summary>
public static class Cusum
{
    /// <summary>Starts at zero, and anew at each break. Not set back by a signal: whoever acts on one starts a new base period.</summary>
    /// <param name="values">Finite; may be empty.</param>
    /// <param name="slack">k, not negative, unit of the data; half a standard deviation is usual.</param>
    /// <param name="limit">h, above zero, unit of the data; 4 to 5 standard deviations are usual.</param>
    public static IReadOnlyList<CusumPoint> Run(
        IReadOnlyList<double> values, IReadOnlyList<int> breaks, double target, double slack, double limit)
    {
        SeriesGuard.Values(values, 0);
        Domain.Finite(target);
        Domain.NotNegative(slack);
        Domain.Positive(limit);
        var starts = SeriesGuard.Starts(values.Count, breaks);
        var points = new CusumPoint[values.Count];
        double high = 0, low = 0;
        for (var place = 0; place < points.Length; place++)
        {
            if (starts[place]) (high, low) = (0, 0);

            // One difference for both sides, so that they mirror each other to the last digit.
            var off = Domain.Finite(values[place] - target, nameof(values));
            high = Domain.Finite(Math.Max(0, high + (off - slack)), nameof(values));
            low = Domain.Finite(Math.Max(0, low + (-off - slack)), nameof(values));
            points[place] = new(high, low, high > limit, low > limit);
        }

        return points;
    }
}
