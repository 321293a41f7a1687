using Trace.Core.Lots;
using Trace.Core.Science.Charts;

namespace Trace.Core.Recall;

/// <param name="Month">Its first day, in the site's calendar.</param>
/// <param name="Rate">Complaints per 10,000 packs shipped in the month; null when none was.</param>
public sealed record ComplaintMonth(DateOnly Month, int Complaints, long Packs, double? Rate, double? Lower, double? Upper, bool IsSignal);

public sealed record FaultCount(string Fault, int Complaints);

/// <param name="Complaints">Two or more alike on one lot are looked at, whatever each of them came to (common practice, no source).</param>
public sealed record RepeatedComplaint(string Lot, string Fault, IReadOnlyList<string> Complaints);

/// <summary>How complaints run: per 10,000 packs shipped, by month, with the limits of a chart of rates; and what is complained
/// of.</summary>
/// <param name="Centre">Complaints per 10,000 packs over all the months.</param>
public sealed record ComplaintTrend(
    IReadOnlyList<ComplaintMonth> Months, double? Centre, IReadOnlyList<FaultCount> Faults, IReadOnlyList<RepeatedComplaint> Repeated)
{
    private const double PacksOfRate = 10_000;

    /// <param name="months">How many months up to now, 1 to 60.</param>
    public static ComplaintTrend Of(SiteState state, int months, DateTimeOffset now)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(months, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(months, 60);
        var last = SiteState.MonthOf(state.Zone.DateOf(now));
        var first = last - months + 1;
        var counts = new int[months];
        var recent = state.Complaints.Where(one => SiteState.MonthOf(state.Zone.DateOf(one.RecordedAt)) >= first).ToList();
        foreach (var complaint in recent.Where(one => SiteState.MonthOf(state.Zone.DateOf(one.RecordedAt)) <= last))
            counts[SiteState.MonthOf(state.Zone.DateOf(complaint.RecordedAt)) - first]++;
        var packs = Enumerable.Range(first, months).Select(month => state.PacksShippedByMonth.GetValueOrDefault(month)).ToList();
        var points = RatesChart.Of(counts, [.. packs.Select(number => Math.Max(0, number) / PacksOfRate)]);
        return new ComplaintTrend(
            [
                .. points.Select((point, place) => new ComplaintMonth(
                    new DateOnly((first + place) / 12, ((first + place) % 12) + 1, 1), counts[place], packs[place], point.Rate, point.Lower,
                    point.Upper, point.IsAbove)),
            ],
            points.Count == 0 ? null : points[0].Centre,
            [
                .. recent.Where(one => one.Assessed is not null).GroupBy(one => one.Assessed!.Fault)
                    .Select(group => new FaultCount(group.Key.ToString(), group.Count())).OrderByDescending(one => one.Complaints),
            ],
            RepeatedOf(state));
    }

    /// <summary>Lots with two or more open complaints that tell of the same; of one that nobody has judged yet, harm counts as the
    /// same.</summary>
    public static IReadOnlyList<RepeatedComplaint> RepeatedOf(SiteState state) =>
    [
        .. state.Complaints.Where(one => one.Lot is not null && one.Assessed?.Reach != ComplaintReach.NoFault)
            .GroupBy(one => (one.Lot, Fault: FaultOf(one)))
            .Where(group => group.Count() > 1 && group.Any(one => one.Closed is null))
            .Select(group => new RepeatedComplaint(group.Key.Lot!, group.Key.Fault, [.. group.Select(one => one.Id)])),
    ];

    private static string FaultOf(ComplaintCase complaint) => complaint.Assessed is { } assessed ? assessed.Fault.ToString()
        : complaint.Harm.Count > 0 ? nameof(ComplaintFault.Harm) : "not judged yet";
}
