using Trace.Core.Science.Charts;
using Trace.Core.Specifications;
using Trace.Core.Time;

namespace Trace.Core.Trends;

/// <summary>
/// Control charts of the process. Batches are put in order of their weigh-out; each stream (a dryer with a product) has limits of its own,
/// frozen from its base period; another dryer, another product or a long pause breaks the series.
/// </summary>
public static class ControlChart
{
    public const string Caution = "Control limits are not specification limits: they say what the process does when left alone, not what the product must be. A chart never releases a lot, and no signal is no proof of safety.";

    /// <summary>
    /// Without a base period that was asked for, so many first batches of a stream are its base (common practice, no source: 20 to 30).
    /// </summary>
    public const int BasePoints = 25;

    /// <summary>
    /// A pause longer than this breaks the series: the dryer may have been cleaned, moved or repaired (common practice, no source).
    /// </summary>
    public static readonly TimeSpan LargestGap = TimeSpan.FromDays(7);

    private const double EwmaWeight = 0.2;
    private const double CusumSlack = 0.5;

    /// <summary>Standard deviations.</summary>
    public const double CusumLimit = 5;

    /// <param name="batches">All of the site that have a value, in any order.</param>
    /// <param name="specification">Of a product, to say how the process fits it; null leaves that out.</param>
    public static ControlChartView Of(
        IReadOnlyList<BatchFact> batches, ChartAsk ask, SiteZone zone, Func<string, ProductSpecification?>? specification = null)
    {
        ArgumentNullException.ThrowIfNull(batches);
        ArgumentNullException.ThrowIfNull(ask);
        ArgumentNullException.ThrowIfNull(zone);
        var dryer = ask.By == Grouping.Dryer ? null : ask.Dryer;
        var chosen = batches
            .Where(batch => (ask.By == Grouping.None || batch.Of(ask.By) == ask.Key) && (dryer is null || batch.Dryer == dryer))
            .OrderBy(batch => batch.At).ThenBy(batch => batch.Seq).ToArray();
        ChartPoint[] points = [.. chosen.Select(batch => new ChartPoint(batch.At, batch.Value, $"{batch.Dryer}\u001f{batch.Product}"))];
        var breaks = ChartBreaks.Of(points, LargestGap);
        var isBreak = new bool[points.Length];
        foreach (var at in breaks) isBreak[at] = true;

        // What is before the window is computed too, so that a run that reaches into it is seen.
        var first = 0;
        while (first < points.Length && zone.DateOf(points[first].At) < ask.From) first++;
        var end = points.Length;
        while (end > first && zone.DateOf(points[end - 1].At) > ask.To) end--;

        var limits = new List<StreamLimits>();
        var charted = new ChartedBatch[points.Length];
        var signals = new List<ChartSignal>();
        foreach (var stream in Enumerable.Range(0, points.Length).GroupBy(place => points[place].Stream))
        {
            int[] places = [.. stream];
            var part = new StreamChart(ask, zone, places, [.. places.Select(place => chosen[place])], isBreak, limits.Count);
            if (places[^1] < first || places[0] >= end) continue;

            // A stream that is not shown has no place among the limits.
            limits.Add(part.Limits);
            part.Write(charted, signals);
        }

        var shown = charted[first..end];
        IReadOnlyList<ChartSignal> seen =
        [
            .. signals.Where(signal => signal.Point >= first && signal.Point < end).OrderBy(signal => signal.Point)
                .Select(signal => signal with { Point = signal.Point - first }),
        ];
        return new(
            ask.Measure, Measures.Unit(ask.Measure), ask.Chart, ask.Rules, ask.By, ask.Key, dryer, Caution,
            limits.Any(one => one.IsProvisional), limits, shown, seen,
            SpecificationFits.Of(ask.Measure, limits, shown, seen, specification),
            Names(batches, batch => batch.Of(ask.By)), Names(batches, batch => batch.Dryer));
    }

    private static IReadOnlyList<string> Names(IReadOnlyList<BatchFact> batches, Func<BatchFact, string> of) =>
        [.. batches.Select(of).Where(name => name.Length > 0).Distinct().Order(StringComparer.Ordinal)];

    /// <summary>One stream: its places in the whole series, its own series, and its limits.</summary>
    private sealed class StreamChart
    {
        private readonly ChartAsk ask;
        private readonly int[] places;
        private readonly BatchFact[] batches;
        private readonly int number;
        private readonly double[] values;
        private readonly int[] breaks;

        public StreamChart(ChartAsk ask, SiteZone zone, int[] places, BatchFact[] batches, bool[] isBreak, int number)
        {
            (this.ask, this.places, this.batches, this.number) = (ask, places, batches, number);
            values = [.. batches.Select(batch => batch.Value)];

            // Where the whole series is not broken, the batch before is of the same stream: places in the stream serve as well.
            breaks = [.. Enumerable.Range(1, places.Length - 1).Where(place => isBreak[places[place]])];
            Limits = Base(zone);
        }

        public StreamLimits Limits { get; }

        private StreamLimits Base(SiteZone zone)
        {
            var (from, to) = (0, Math.Min(BasePoints, values.Length));
            if (ask.BaseFrom is { } start && ask.BaseTo is { } last)
            {
                while (from < values.Length && zone.DateOf(batches[from].At) < start) from++;
                to = from;
                while (to < values.Length && zone.DateOf(batches[to].At) <= last) to++;
            }

            var (stream, count) = ($"{batches[0].Dryer} · {batches[0].Product}", to - from);
            StreamLimits none = new(
                stream, null, null, null, null, null, null, count, count > 0 ? batches[from].At : null,
                count > 0 ? batches[to - 1].At : null, false, "The base period has fewer than two batches.");
            if (count < 2) return none;
            var (limits, problem) = IndividualsChart.Limits(
                values[from..to], [.. breaks.Where(at => at > from && at < to).Select(at => at - from)]);
            return limits is null
                ? none with { Problem = problem }
                : none with
                {
                    Center = limits.Center,
                    Lower = limits.Lower,
                    Upper = limits.Upper,
                    Sigma = limits.Sigma,
                    MeanRange = limits.MeanRange,
                    RangeUpper = limits.RangeUpper,
                    IsProvisional = limits.IsProvisional,
                    Problem = null,
                };
        }

        public void Write(ChartedBatch[] charted, List<ChartSignal> signals)
        {
            var ranges = IndividualsChart.MovingRanges(values, breaks);
            for (var place = 0; place < places.Length; place++)
            {
                var batch = batches[place];
                charted[places[place]] = new(
                    batch.Lot, batch.At, batch.Value, batch.Dryer, batch.Product, batch.Supplier, batch.Operator, number,
                    place == 0 || ranges[place] is null, ask.Chart == ChartKind.Individuals ? ranges[place] : null);
            }

            if (Limits is not { Center: { } center, Sigma: { } sigma, RangeUpper: { } rangeUpper }) return;
            void Signal(int place, string rule, string words) => signals.Add(
                new(places[place], batches[place].Lot, batches[place].At, rule, words, Limits.IsProvisional));
            switch (ask.Chart)
            {
                case ChartKind.Individuals:
                    var rules = ask.Rules == RuleSet.Nelson ? RunRules.Nelson : RunRules.WesternElectric;
                    foreach (var (place, rule) in RunRules.Find(values, breaks, center, sigma, rules))
                        Signal(place, RuleWords.Code(rule, ask.Rules), RuleWords.Words(rule));
                    for (var place = 0; place < places.Length; place++)
                    {
                        if (ranges[place] > rangeUpper) Signal(place, "MR", "a jump from the batch before, above the limit of the moving range");
                    }

                    break;
                case ChartKind.Ewma:
                    var means = Ewma.Run(values, breaks, center, sigma, EwmaWeight);
                    for (var place = 0; place < places.Length; place++)
                    {
                        var mean = means[place];
                        ref var point = ref charted[places[place]];
                        point = point with { Ewma = mean.Value, EwmaLower = mean.Lower, EwmaUpper = mean.Upper };
                        if (mean.Signals) Signal(place, "EWMA", "the weighted mean is beyond its limit: a slow drift");
                    }

                    break;
                default:
                    var sums = Cusum.Run(values, breaks, center, CusumSlack * sigma, CusumLimit * sigma);
                    for (var place = 0; place < places.Length; place++)
                    {
                        var sum = sums[place];
                        ref var point = ref charted[places[place]];
                        point = point with { CusumHigh = sum.High, CusumLow = sum.Low };
                        if (sum.SignalsHigh) Signal(place, "CUSUM", "the sum of what is above the centre line passed its limit: a lasting shift up");
                        if (sum.SignalsLow) Signal(place, "CUSUM", "the sum of what is below the centre line passed its limit: a lasting shift down");
                    }

                    break;
            }
        }
    }
}
