using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Core.Time;
using Trace.Core.Trends;

namespace Trace.Web.Pages.Charts;

/// <summary>All batches of a site that have a value, and what its products want.</summary>
public sealed record ChartData(
    IReadOnlyList<BatchFact> Batches, IReadOnlyDictionary<string, ProductSpecification> Specifications, SiteZone Zone)
{
    /// <summary>So many lots are looked at in one go: a few milliseconds for which the bench waits.</summary>
    private const int Slice = 1_000;

    public static async Task<ChartData> Read(SiteLedger ledger, Measure measure)
    {
        while (true)
        {
            var (start, specifications, zone) = await ledger.ReadAsync(state => (state, Approved(state), state.Zone));
            var batches = new List<BatchFact>();
            for (var from = 0; ; from += Slice)
            {
                var slice = await ledger.ReadAsync(state => ReferenceEquals(state, start)
                    ? new { Facts = BatchSeries.Of(state, measure, from, from + Slice), IsLast = from + Slice >= state.Lots.Count }
                    : null);

                // A correction has folded the site anew meanwhile.
                if (slice is null) break;
                batches.AddRange(slice.Facts);
                if (slice.IsLast) return new(batches, specifications, zone);
            }
        }
    }

    /// <summary>The chart; without a key, of the group of the newest batch.</summary>
    public ControlChartView Chart(ChartAsk ask)
    {
        if (ask.By != Grouping.None && ask.Key is null)
        {
            var newest = Batches.Where(batch => ask.Dryer is null || batch.Dryer == ask.Dryer).MaxBy(batch => batch.At);
            ask = ask with { Key = newest?.Of(ask.By) };
        }

        return ControlChart.Of(Batches, ask, Zone, Specifications.GetValueOrDefault);
    }

    private static Dictionary<string, ProductSpecification> Approved(SiteState state) => state.Specifications.Products
        .Select(state.Specifications.Approved).OfType<SpecificationVersion>()
        .ToDictionary(version => version.Specification.Product, version => version.Specification);
}
