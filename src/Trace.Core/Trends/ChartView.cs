using System.Text.Json.Serialization;
using Trace.Core.Science.Charts;
using Trace.Core.Specifications;

namespace Trace.Core.Trends;

[JsonConverter(typeof(WordConverter<ChartKind>))]
public enum ChartKind
{
    /// <summary>Single values with their moving range.</summary>
    Individuals,

    /// <summary>Weighted mean, for slow drifts.</summary>
    Ewma,

    /// <summary>Cumulative sums, for small lasting shifts.</summary>
    Cusum,
}

[JsonConverter(typeof(WordConverter<RuleSet>))]
public enum RuleSet
{
    WesternElectric,
    Nelson,
}

/// <summary>Which chart is wanted. All days are days at the site, ends included.</summary>
/// <param name="Key">Which dryer, supplier, operator or product.</param>
/// <param name="Dryer">Only batches of this dryer, whatever they are grouped by.</param>
/// <param name="From">First day shown; <paramref name="To"/> is the last. Limits and runs come from all batches all the same.</param>
/// <param name="BaseFrom">First day of the base period. Without it and <paramref name="BaseTo"/>, its last day, the first batches of each
/// stream are the base.</param>
public sealed record ChartAsk(
    Measure Measure, Grouping By, string? Key, string? Dryer, ChartKind Chart, RuleSet Rules, DateOnly From, DateOnly To,
    DateOnly? BaseFrom = null, DateOnly? BaseTo = null);

/// <summary>Limits of one stream, a dryer with a product. Null numbers with a problem in words when there are none.</summary>
/// <param name="IsProvisional">From fewer than 20 batches.</param>
/// <param name="BaseFrom">Weigh-out of the first batch of the base period; <paramref name="BaseTo"/> of its last.</param>
public sealed record StreamLimits(
    string Stream, double? Center, double? Lower, double? Upper, double? Sigma, double? MeanRange, double? RangeUpper, int BasePoints,
    DateTimeOffset? BaseFrom, DateTimeOffset? BaseTo, bool IsProvisional, string? Problem);

/// <summary>One batch of the chart; members of other chart kinds are null, and all of them where the stream has no limits.</summary>
/// <param name="Limits">Place of its stream in the list of limits.</param>
/// <param name="StartsSegment">Behind a break: no moving range, and runs start anew.</param>
public sealed record ChartedBatch(
    string Lot, DateTimeOffset At, double Value, string Dryer, string Product, string Supplier, string Operator, int Limits,
    bool StartsSegment, double? MovingRange = null, double? Ewma = null, double? EwmaLower = null, double? EwmaUpper = null,
    double? CusumHigh = null, double? CusumLow = null);

/// <summary>Something to look into, at one batch.</summary>
/// <param name="Point">Place in the list of points.</param>
/// <param name="Rule">Short name, such as <c>WE1</c>, <c>N3</c>, <c>MR</c>, <c>EWMA</c> or <c>CUSUM</c>.</param>
/// <param name="IsProvisional">Judged by provisional limits.</param>
public sealed record ChartSignal(int Point, string Lot, DateTimeOffset At, string Rule, string Words, bool IsProvisional);

/// <summary>
/// How the shown batches of a stream fit the newest approved specification of their product; only where that has a limit for the measure
/// and there are 20 batches.
/// </summary>
/// <param name="LowerLimit">Specification limits, in the unit of the measure.</param>
/// <param name="IsStable">Whether no signal stands among them: without that the numbers mean nothing.</param>
public sealed record SpecificationFit(
    string Stream, double? LowerLimit, double? UpperLimit, int Points, CapabilityIndices Indices, bool IsStable);

/// <summary>A control chart with all that it says.</summary>
/// <param name="Caution">What a chart is not.</param>
/// <param name="Keys">What may be asked for with the same grouping.</param>
public sealed record ControlChartView(
    Measure Measure, string Unit, ChartKind Chart, RuleSet Rules, Grouping By, string? Key, string? Dryer, string Caution, bool Provisional,
    IReadOnlyList<StreamLimits> Limits, IReadOnlyList<ChartedBatch> Points, IReadOnlyList<ChartSignal> Signals,
    IReadOnlyList<SpecificationFit> Fit, IReadOnlyList<string> Keys, IReadOnlyList<string> Dryers);
