namespace Trace.Core.Science.Charts;

/// <summary>By what the mean moving range is divided to estimate the standard deviation.</summary>
public enum RangeDivisor
{
    /// <summary><c>2 / √π</c>.</summary>
    Exact,

    /// <summary>1.128, as tables print it and published examples use it.</summary>
    Rounded,
}

/// <summary>What a process does when left alone. They are no specification limits and release nothing.</summary>
/// <param name="Sigma">Standard deviation from the mean moving range, above zero.</param>
/// <param name="RangeUpper">Upper limit of the moving range; its lower limit is zero.</param>
/// <param name="Points">How many values of the base period they were computed from.</param>
/// <param name="Ranges">How many moving ranges: fewer, since none is taken across a break.</param>
/// <param name="IsProvisional">From fewer than <see cref="IndividualsChart.LeastPoints"/> values.</param>
public sealed record ControlLimits(
    double Center, double Lower, double Upper, double Sigma, double MeanRange, double RangeUpper, int Points, int Ranges,
    bool IsProvisional);

/// <summary>Limits, or why there are none: one of the two.</summary>
public sealed record LimitsOutcome(ControlLimits? Limits, string? Problem);
