using System.Globalization;

namespace Trace.Benchmarks.Harness;

/// <summary>One line of the report.</summary>
/// <param name="Goal">What was wanted; empty for a line that only informs.</param>
/// <param name="IsMet">Null when there is no goal.</param>
internal sealed record Finding(string Work, string Value, string Spread, string Goal = "", bool? IsMet = null)
{
    public static Finding AtLeast(string work, Series ratio, double goal) =>
        new(work, Text(ratio.Median), ratio.Spread("0.00"), $"≥ {Text(goal)}", ratio.Median >= goal);

    public static Finding AtMost(string work, Series value, double goal, string unit = "") =>
        new(work, Text(value.Median) + unit, value.Spread("0.00"), $"≤ {Text(goal)}{unit}", value.Median <= goal);

    public static Finding Plain(string work, Series value, string unit, string format = "0") =>
        new(work, value.Median.ToString(format, CultureInfo.InvariantCulture) + unit, value.Spread(format));

    public static string Text(double value) => value.ToString("0.##", CultureInfo.InvariantCulture);
}

/// <summary>What a run was asked for.</summary>
/// <param name="Quick">A tenth of the work, to see that all runs; its numbers are not worth keeping.</param>
/// <param name="Full">Also the site of ten million lots.</param>
/// <param name="Folder">A folder of the run's own, on the disk that is measured.</param>
internal sealed record Plan(bool Quick, bool Full, string Folder)
{
    public int Rounds => Quick ? 1 : 5;

    public int Scale(int full) => Quick ? Math.Max(1, full / 10) : full;
}

/// <summary>One benchmark: a name for the command line, what it is about, and the run.</summary>
internal sealed record Benchmark(string Name, string About, Func<Plan, IReadOnlyList<Finding>> Run);
