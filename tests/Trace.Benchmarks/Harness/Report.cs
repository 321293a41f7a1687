using System.Text;

namespace Trace.Benchmarks.Harness;

/// <summary>The findings as Markdown.</summary>
internal static class Report
{
    public static string Write(IReadOnlyList<string> machine, Plan plan, IEnumerable<(Benchmark Benchmark, IReadOnlyList<Finding> Findings)> results)
    {
        var text = new StringBuilder("# Benchmarks\n\n");
        text.Append("Medians of interleaved rounds; the spread is from the lowest round to the highest. Ratios are taken within a round. ");
        text.Append("Other programs shared the machine: compare within one table only.\n\n");
        foreach (var line in machine) text.Append("- ").Append(line).Append('\n');
        if (plan.Quick) text.Append("- **Quick run: shows that all runs, not how fast.**\n");
        foreach (var (benchmark, findings) in results)
        {
            text.Append($"\n## {benchmark.Name}: {benchmark.About}\n\n| work | value | spread | goal | met |\n| --- | --- | --- | --- | --- |\n");
            foreach (var one in findings)
            {
                var met = one.IsMet switch { true => "yes", false => "**no**", null => "" };
                text.Append($"| {one.Work} | {one.Value} | {one.Spread} | {one.Goal} | {met} |\n");
            }
        }

        return text.ToString();
    }
}
