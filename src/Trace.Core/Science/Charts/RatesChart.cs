namespace Trace.Core.Science.Charts;

/// <summary>
/// Chart of counts per unit of exposure, such as complaints per 10,000 packs (u chart): <c>ū ± 3 √(ū ÷ n)</c>, with ū all counts ÷ all
/// exposure (NIST/SEMATECH e-Handbook 6.3.3.1 for counts of equal exposure; the division by n from memory).
/// </summary>
/// <remarks>
/// Traps. The limits belong to each point: a month of few packs has wide ones. Where ū·n is small (below about 9) the lower limit is zero
/// and the count is far from normal, so a signal means "look", not more.
/// </remarks>
public static class RatesChart
{
    /// <summary>The limits of each point.</summary>
    /// <param name="counts">Whole numbers, 0 or more.</param>
    /// <param name="exposures">In the chosen unit, finite, 0 or more; a point of no exposure has no limits.</param>
    /// <exception cref="ArgumentOutOfRangeException">The series differ in length, or a value is none.</exception>
    public static IReadOnlyList<RatePoint> Of(IReadOnlyList<int> counts, IReadOnlyList<double> exposures)
    {
        ArgumentOutOfRangeException.ThrowIfNotEqual(exposures.Count, counts.Count, nameof(exposures));
        double all = 0, whole = 0;
        for (var place = 0; place < counts.Count; place++)
        {
            ArgumentOutOfRangeException.ThrowIfNegative(counts[place], nameof(counts));
            Domain.NotNegative(exposures[place], nameof(exposures));
            if (exposures[place] == 0) continue;
            all += counts[place];
            whole += exposures[place];
        }

        if (whole == 0) return [.. counts.Select(_ => new RatePoint(null, null, null, null))];
        var centre = Domain.Answer(all / Domain.Answer(whole, nameof(exposures)), nameof(exposures));
        return [.. counts.Select((count, place) => Point(count, exposures[place], centre))];
    }

    private static RatePoint Point(int count, double exposure, double centre)
    {
        if (exposure == 0) return new(null, centre, null, null);
        var width = Domain.Answer(3 * Math.Sqrt(centre / exposure), "exposures");
        return new(Domain.Answer(count / exposure, "exposures"), centre, Math.Max(0, centre - width), centre + width);
    }
}

/// <param name="Rate">Count ÷ exposure; null without exposure.</param>
public sealed record RatePoint(double? Rate, double? Centre, double? Lower, double? Upper)
{
    public bool IsAbove => Rate > Upper;
}
