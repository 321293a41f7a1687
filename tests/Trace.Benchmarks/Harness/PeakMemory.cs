namespace Trace.Benchmarks.Harness;

/// <summary>Memory of the process as Linux counts it, native libraries and all (<c>proc(5)</c>: VmRSS, VmHWM, clear_refs).</summary>
internal static class PeakMemory
{
    /// <summary>Begins to look for the highest anew.</summary>
    public static void Reset()
    {
        GC.Collect();
        GC.WaitForPendingFinalizers();
        GC.Collect();
        File.WriteAllText("/proc/self/clear_refs", "5");
    }

    public static double NowMegabytes() => Read("VmRSS:");

    public static double HighestMegabytes() => Read("VmHWM:");

    private static double Read(string name) => File.ReadLines("/proc/self/status").Where(line => line.StartsWith(name, StringComparison.Ordinal))
        .Select(line => double.Parse(line.Split([' ', '\t'], StringSplitOptions.RemoveEmptyEntries)[1], System.Globalization.CultureInfo.InvariantCulture) / 1000).Single();
}
