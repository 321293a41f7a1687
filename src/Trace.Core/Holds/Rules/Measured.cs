using Trace.Core.Lots;
using Trace.Core.Science;
using Trace.Core.Specifications;

namespace Trace.Core.Holds.Rules;

/// <summary>Mean and uncertainty of what an instrument showed.</summary>
internal static class Measured
{
    internal static double? Mean(LotCheck check) => Values(check) is { Count: > 0 } values ? values.Average() : null;

    /// <summary>
    /// Null when a value is no plain number. The uncertainty joins the instrument's own with that of the mean, from the spread of
    /// the values (GUM 4.2.3).
    /// </summary>
    internal static Estimate? Of(LotCheck check, double instrumentUncertainty)
    {
        if (Values(check) is not { Count: > 0 } values) return null;
        var mean = values.Average();
        var spread = values.Count < 2 ? 0 : values.Sum(value => (value - mean) * (value - mean)) / (values.Count - 1) / values.Count;
        return new Estimate(mean, Math.Sqrt(spread + instrumentUncertainty * instrumentUncertainty));
    }

    /// <summary>Whether a check is of the moisture or the water activity and, its uncertainty included, within the limit for it.</summary>
    internal static bool ShowsDry(LotCheck check, DryingLimits limits)
    {
        var (limit, uncertainty) = check.Kind switch
        {
            "moisture" => (limits.LargestMoistureFraction, limits.MoistureMeterUncertainty),
            "water-activity" => (limits.LargestWaterActivity, limits.WaterActivityMeterUncertainty),
            _ => (null, double.NaN),
        };
        return limit is not null && Of(check, uncertainty) is { } measured && measured.Upper <= limit;
    }

    /// <summary>When product was last poured into a container's lot, up to the instant judged; null for lots of other kinds.</summary>
    internal static DateTimeOffset? LastFill(RuleContext context)
    {
        if (context.Lot.Record is not BulkRecord) return null;
        DateTimeOffset? last = null;
        foreach (var edge in context.State.Graph.Inputs(context.Lot.Index))
        {
            if (edge.PassedAt <= context.AsOf && (last is null || edge.PassedAt > last)) last = edge.PassedAt;
        }

        return last;
    }

    private static List<double>? Values(LotCheck check)
    {
        var values = new List<double>(check.Values.Count);
        foreach (var text in check.Values)
        {
            if (!SampleValue.TryParse(text, out var value) || value.Kind != SampleValueKind.Exact || value.Value is < 0 or > 1) return null;
            values.Add(value.Value);
        }

        return values;
    }
}
