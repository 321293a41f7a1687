namespace Trace.Core.Science.Charts;

/// <summary>One value of a chart.</summary>
/// <param name="Stream">What made it, such as a dryer with its product: values of two streams are never compared with each other.</param>
public readonly record struct ChartPoint(DateTimeOffset At, double Value, string Stream);
