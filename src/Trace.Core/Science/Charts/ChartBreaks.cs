namespace Trace.Core.Science.Charts;

/// <summary>
/// Where a series is broken: another dryer or product, or a long pause. No moving range is taken across a break, and runs, averages and
/// sums start anew behind it.
/// </summary>
public static class ChartBreaks
{
    /// <summary>The places, from 1 on, at which a new segment starts.</summary>
    /// <param name="points">In order of time; equal times may follow each other. Empty is allowed.</param>
    /// <param name="largestGap">Above zero. A pause of exactly this length is no break.</param>
    /// <exception cref="ArgumentOutOfRangeException">The points are not in order of time or hold a value that is no number.</exception>
    public static IReadOnlyList<int> Of(IReadOnlyList<ChartPoint> points, TimeSpan largestGap)
    {
        ArgumentNullException.ThrowIfNull(points);
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(largestGap, TimeSpan.Zero);
        var breaks = new List<int>();
        for (var place = 0; place < points.Count; place++)
        {
            Domain.Finite(points[place].Value, nameof(points));
            if (place == 0) continue;
            var pause = points[place].At - points[place - 1].At;
            if (pause < TimeSpan.Zero)
                throw new ArgumentOutOfRangeException(nameof(points), points[place].At, "The points must stand in order of time.");
            if (pause > largestGap || points[place].Stream != points[place - 1].Stream) breaks.Add(place);
        }

        return breaks;
    }
}
