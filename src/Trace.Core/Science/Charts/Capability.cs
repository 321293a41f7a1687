namespace Trace.Core.Science.Charts;

/// <summary>How a process fits its specification. Null where a limit is missing.</summary>
/// <param name="Cp">Width of the specification in widths of the process, 6 s.</param>
/// <param name="Cpk">The smaller of <paramref name="Cpu"/> and <paramref name="Cpl"/>; with one limit that one.</param>
/// <param name="K">How far the mean lies from the middle, in half widths of the specification.</param>
/// <param name="CpkLower">Lower end of the confidence interval; so is <paramref name="CpkUpper"/> its upper end.</param>
public sealed record CapabilityIndices(double? Cp, double? Cpu, double? Cpl, double Cpk, double? K, double CpkLower, double CpkUpper);

/// <summary>
/// Capability <c>Cp = (USL − LSL)/6s</c>, <c>Cpu = (USL − x̄)/3s</c>, <c>Cpl = (x̄ − LSL)/3s</c> (NIST/SEMATECH e-Handbook 6.1.6), with
/// Bissell's interval <c>Cpk ± z √(1/9n + Cpk²/(2(n−1)))</c>.
/// </summary>
/// <remarks>
/// Means nothing while the process shows signals, and little from a few dozen values: at 30 values a Cpk of 1.3 just shows that it is
/// above 1.
/// </remarks>
public static class Capability
{
    /// <summary>Two-sided 95 % of the normal distribution.</summary>
    public const double TwoSided95 = 1.959963984540054;

    /// <param name="deviation">Sample standard deviation, above zero.</param>
    /// <param name="count">How many values, at least 2.</param>
    /// <param name="lower">Lower specification limit, if there is one; below <paramref name="upper"/>. One of them is needed.</param>
    /// <param name="z">Normal quantile of the interval, above zero.</param>
    public static CapabilityIndices Of(
        double mean, double deviation, int count, double? lower, double? upper, double z = TwoSided95)
    {
        Domain.Finite(mean);
        Domain.Positive(deviation);
        ArgumentOutOfRangeException.ThrowIfLessThan(count, 2);
        Domain.Positive(z);
        if (lower is { } low) Domain.Finite(low, nameof(lower));
        if (upper is { } high) Domain.Finite(high, nameof(upper));
        if (lower is null && upper is null) throw new ArgumentOutOfRangeException(nameof(upper), upper, "A specification limit is needed.");
        if (lower >= upper) throw new ArgumentOutOfRangeException(nameof(upper), upper, "The upper limit must be above the lower one.");

        var cpu = Ratio(upper - mean, deviation);
        var cpl = Ratio(mean - lower, deviation);
        var cpk = cpu is null ? cpl!.Value : cpl is null ? cpu.Value : Math.Min(cpu.Value, cpl.Value);
        var half = Domain.Finite(z * Math.Sqrt(1 / (9.0 * count) + cpk * cpk / (2.0 * (count - 1))), nameof(deviation));
        return new(
            Ratio((upper - lower) / 2, deviation), cpu, cpl, cpk, Offset(mean, lower, upper), Domain.Finite(cpk - half, nameof(deviation)),
            Domain.Finite(cpk + half, nameof(deviation)));
    }

    private static double? Ratio(double? distance, double deviation) =>
        distance is { } known ? Domain.Finite(known / (3 * deviation), nameof(deviation)) : null;

    private static double? Offset(double mean, double? lower, double? upper) => lower is { } low && upper is { } high
        ? Domain.Finite(Math.Abs((low + high) / 2 - mean) / ((high - low) / 2), nameof(upper))
        : null;
}
