namespace Trace.Core.Science.Charts;

/// <summary>
/// Constants of control charts for normally spread values, computed and not from rounded tables: <c>c4</c>, <c>A3</c>, <c>B3</c>, <c>B4</c>
/// of subgroups (NIST/SEMATECH e-Handbook 6.3.2.1), <c>d2</c>, <c>E2</c> and <c>D4</c> of the range of two.
/// </summary>
public static class ChartConstants
{
    /// <summary>Expected range of two values in standard deviations: <c>2 / √π</c> = 1.128379…</summary>
    public const double D2 = 1.1283791670955126;

    /// <summary>As tables print it; published examples divide by this.</summary>
    public const double RoundedD2 = 1.128;

    /// <summary>Mean ranges from the centre to the limits of single values: <c>3 / d2</c>. Tables print 2.66.</summary>
    public const double E2 = 3 / D2;

    /// <summary>Upper limit of the range of two in mean ranges: <c>1 + 3 d3 / d2</c>, <c>d3 = √(2 − 4/π)</c>. Tables print 3.267.</summary>
    public static double D4 { get; } = 1 + 3 * Math.Sqrt(2 - 4 / Math.PI) / D2;

    /// <summary>
    /// Expected sample standard deviation of n values in standard deviations: <c>√(2/(n−1)) · Γ(n/2) / Γ((n−1)/2)</c>.
    /// </summary>
    /// <param name="n">2 to 1,000.</param>
    public static double C4(int n)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(n, 2);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(n, 1000);

        // The ratio of the two gammas, one step up at a time: r(2) = 1/√π, r(k) · r(k−1) = (k−2)/2.
        var ratio = 1 / Math.Sqrt(Math.PI);
        for (var k = 3; k <= n; k++) ratio = (k - 2) / 2.0 / ratio;
        return Math.Sqrt(2.0 / (n - 1)) * ratio;
    }

    /// <summary>Mean standard deviations from the centre to the limits of means of n: <c>3 / (c4 √n)</c>.</summary>
    public static double A3(int n) => 3 / (C4(n) * Math.Sqrt(n));

    /// <summary>Lower limit of the standard deviation in mean ones: <c>1 − 3 √(1 − c4²) / c4</c>, never below zero.</summary>
    public static double B3(int n) => Math.Max(0, 2 - B4(n));

    /// <summary>Upper limit of the standard deviation in mean ones: <c>1 + 3 √(1 − c4²) / c4</c>.</summary>
    public static double B4(int n)
    {
        var c4 = C4(n);
        return 1 + 3 * Math.Sqrt(1 - c4 * c4) / c4;
    }
}
