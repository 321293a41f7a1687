using Trace.Core.Science.Charts;
using Trace.Core.Specifications;

namespace Trace.Core.Trends;

/// <summary>How the shown batches of each stream fit their product's specification.</summary>
internal static class SpecificationFits
{
    public static IReadOnlyList<SpecificationFit> Of(
        Measure measure, IReadOnlyList<StreamLimits> streams, IReadOnlyList<ChartedBatch> shown, IReadOnlyList<ChartSignal> signals,
        Func<string, ProductSpecification?>? specification)
    {
        if (specification is null) return [];
        var unstable = signals.Select(signal => shown[signal.Point].Limits).ToHashSet();
        var fits = new List<SpecificationFit>();
        foreach (var group in shown.GroupBy(batch => batch.Limits).OrderBy(group => group.Key))
        {
            var values = group.Select(batch => batch.Value).ToList();
            var (lower, upper) = LimitsOf(measure, specification(group.Last().Product)?.Drying);
            if (values.Count < IndividualsChart.LeastPoints || (lower is null && upper is null) || lower >= upper) continue;
            var mean = values.Average();
            var deviation = Math.Sqrt(values.Sum(value => (value - mean) * (value - mean)) / (values.Count - 1));
            if (streams[group.Key].Sigma is null || !(deviation > 0) || !double.IsFinite(deviation)) continue;
            fits.Add(new(
                streams[group.Key].Stream, lower, upper, values.Count, Capability.Of(mean, deviation, values.Count, lower, upper),
                !unstable.Contains(group.Key)));
        }

        return fits;
    }

    private static (double? Lower, double? Upper) LimitsOf(Measure measure, DryingLimits? limits) => measure switch
    {
        _ when limits is null => (null, null),
        Measure.Yield => (limits.YieldLowPercent, limits.YieldHighPercent),
        Measure.PredictedMoisture or Measure.MeasuredMoisture => (null, limits.LargestMoistureFraction * 100),
        Measure.WaterActivity => (null, limits.LargestWaterActivity),
        _ => (null, null),
    };
}
