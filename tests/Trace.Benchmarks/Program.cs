using Trace.Benchmarks;
using Trace.Benchmarks.Harness;

// dotnet run -c Release --project tests/Trace.Benchmarks [-- --list | --only NAME | --quick | --full | --folder DIR | --results FILE]
Benchmark[] all =
[
    WriteBenchmark.About, GrowthBenchmark.About, TraceBenchmark.About, StartBenchmark.About, LabelBenchmark.About, BuyerBenchmark.About,
    TimingBenchmark.About, PageBenchmark.About, ChartBenchmark.About, VerdictBenchmark.About, RecallBenchmark.About,
];

// The start is measured in a process of its own: the program starts itself with this argument.
if (args is [StartBenchmark.ChildArgument, var childFolder, ..]) return StartBenchmark.Child(childFolder);
if (args is [IndexBenchmark.ChildArgument, var indexFolder, ..]) return IndexBenchmark.Child(indexFolder);

string? After(string name) => Array.IndexOf(args, name) is >= 0 and var at && at + 1 < args.Length ? args[at + 1] : null;

if (args.Contains("--list"))
{
    foreach (var one in all) Console.WriteLine($"{one.Name,-8} {one.About}");
    return 0;
}

var wanted = After("--only") is { } only ? all.Where(one => one.Name == only).ToArray() : all;
if (wanted.Length == 0)
{
    Console.Error.WriteLine($"--only {After("--only")}: there is no such benchmark. See --list.");
    return 2;
}

#if DEBUG
Console.Error.WriteLine("This is a debug build; its numbers say nothing. Use -c Release.");
#endif
var root = Path.GetFullPath(After("--folder") ?? Path.Combine(Path.GetTempPath(), "trace-benchmarks"));
var folder = Directory.CreateDirectory(Path.Combine(root, Environment.ProcessId.ToString(System.Globalization.CultureInfo.InvariantCulture)));
try
{
    var plan = new Plan(args.Contains("--quick"), args.Contains("--full"), folder.FullName);
    var machine = Machine.Describe(folder.FullName);
    var results = new List<(Benchmark, IReadOnlyList<Finding>)>();
    foreach (var one in wanted)
    {
        Console.Error.WriteLine($"{one.Name} …");
        results.Add((one, one.Run(plan)));
    }

    var report = Report.Write(machine, plan, results);
    Console.WriteLine(report);
    var target = After("--results") ?? (wanted.Length == all.Length && !plan.Quick ? "tests/Trace.Benchmarks/results/latest.md" : null);
    if (target is null) return 0;
    Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(target))!);
    File.WriteAllText(target, report);
    return 0;
}
finally
{
    folder.Delete(recursive: true);
}
