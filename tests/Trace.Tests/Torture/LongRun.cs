using System.Globalization;
using System.Text;
using Trace.Benchmarks.Harness;
using Trace.Tests.Approved;
using Xunit;

namespace Trace.Tests.Torture;

/// <summary>
/// The torture tests have two lengths: the short one runs with every test run, the long one with <c>tests/run --long</c>, which sets
/// <c>TRACE_LONG=1</c>. <c>TRACE_SEED=n</c> replays one seed.
/// </summary>
internal static class LongRun
{
    public static bool IsLong { get; } = Environment.GetEnvironmentVariable("TRACE_LONG") == "1";

    public static int Of(int inEveryRun, int inTheLongOne) => IsLong ? inTheLongOne : inEveryRun;

    /// <summary>The seed to replay, or a new one.</summary>
    public static int Seed() => Environment.GetEnvironmentVariable("TRACE_SEED") is { } seed
        ? int.Parse(seed, CultureInfo.InvariantCulture)
        : Random.Shared.Next();

    /// <summary>Runs with a seed; a failure says how to see it again.</summary>
    public static async Task Seeded(ITestOutputHelper output, Func<int, Task> run)
    {
        var seed = Seed();
        output.WriteLine($"TRACE_SEED={seed}");
        try
        {
            await run(seed);
        }
        catch (Exception fault)
        {
            throw new InvalidOperationException($"Replay with TRACE_SEED={seed}{(IsLong ? " TRACE_LONG=1" : "")}. {fault.Message}", fault);
        }
    }
}

/// <summary>
/// What a run counted and measured. It always goes to the test's output; the long run also writes it to its part of
/// <c>Torture/figures.md</c>, so that the page always shows the last long run of each test.
/// </summary>
internal sealed class Figures(ITestOutputHelper output, string title, int seed)
{
    private static readonly Lock Page = new();

    private readonly long began = TimeProvider.System.GetTimestamp();
    private readonly List<(string What, string Figure)> lines = [];

    private static string Path { get; } = System.IO.Path.Combine(Repository.Folder, "tests", "Trace.Tests", "Torture", "figures.md");

    public void Add(string what, FormattableString figure) => lines.Add((what, FormattableString.Invariant(figure)));

    public void Publish()
    {
        Add("Seed", $"{seed}");
        Add("The run took", $"{TimeProvider.System.GetElapsedTime(began).TotalSeconds:0} s");
        output.WriteLine(title);
        foreach (var (what, figure) in lines) output.WriteLine($"  {what}: {figure}");
        if (!LongRun.IsLong) return;
        var part = new StringBuilder($"## {title}\n\n| what | figure |\n| --- | --- |\n");
        foreach (var (what, figure) in lines) part.Append(CultureInfo.InvariantCulture, $"| {what} | {figure} |\n");
        part.Append('\n').AppendJoin("  \n", Machine.Describe(Repository.Folder)).Append('\n');
        lock (Page) File.WriteAllText(Path, With(File.ReadAllText(Path), title, part.ToString()));
    }

    /// <summary>The page with this part put in the place of the old one, or at the end.</summary>
    internal static string With(string page, string title, string part)
    {
        var parts = page.ReplaceLineEndings("\n").Split("\n## ");
        var place = Array.FindIndex(parts, 1, parts.Length - 1, old => old.StartsWith(title + "\n", StringComparison.Ordinal));
        var now = part["## ".Length..].TrimEnd('\n') + "\n";
        if (place < 0) parts = [.. parts, now];
        else parts[place] = now;
        return string.Join("\n## ", parts.Select((text, index) => index == parts.Length - 1 ? text : text.TrimEnd('\n') + "\n"));
    }
}

/// <summary>These tests load the machine or measure time, so nothing else runs beside them.</summary>
[CollectionDefinition(Name, DisableParallelization = true)]
public sealed class TortureCollection
{
    public const string Name = "torture";
}
