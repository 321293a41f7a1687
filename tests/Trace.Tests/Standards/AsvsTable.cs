using System.Reflection;
using System.Text;
using System.Text.RegularExpressions;
using Trace.Tests.Approved;
using Xunit.v3;

namespace Trace.Tests.Standards;

/// <summary>A requirement of levels 1 and 2 in words of ours.</summary>
/// <param name="Reason">Empty, or begins with <c>n/a:</c>, <c>open:</c> or <c>doc:</c>; asvs.txt says what they mean.</param>
internal sealed record AsvsRow(string Number, string Level, string What, string Reason)
{
    public bool Is(string kind) => Reason.StartsWith(kind + ": ", StringComparison.Ordinal);
}

/// <summary>What asvs.txt says, what the tests say of themselves, and both as one page.</summary>
internal static partial class AsvsTable
{
    private const string Folder = "tests/Trace.Tests/Standards/";

    public const string Page = Folder + "asvs.md";

    /// <summary>Number and level as the standard's own file has them.</summary>
    public static List<string> Numbers() => [.. Lines("asvs-numbers.txt")];

    public static List<AsvsRow> Rows() => [.. Lines("asvs.txt").Select(Row)];

    /// <summary>Tests by the number that they show, as Class.Method.</summary>
    public static ILookup<string, string> Shown() => Claims()
        .SelectMany(method => method.GetCustomAttribute<AsvsAttribute>()!.Numbers.Select(number => (number, test: $"{method.DeclaringType!.Name}.{method.Name}")))
        .OrderBy(one => one.test, StringComparer.Ordinal)
        .ToLookup(one => one.number, one => one.test);

    public static IEnumerable<MethodInfo> Claims() => typeof(AsvsTable).Assembly.GetTypes().SelectMany(type => type.GetMethods())
        .Where(method => method.IsDefined(typeof(AsvsAttribute), inherit: false));

    public static bool IsTest(MethodInfo method) => method.GetCustomAttributes().Any(attribute => attribute is IFactAttribute);

    /// <summary>What is wrong with the table; empty when nothing is.</summary>
    /// <param name="read">Gives a file of the repository, for rows that point to a document.</param>
    public static List<string> Faults(IReadOnlyList<string> numbers, IReadOnlyList<AsvsRow> rows, ILookup<string, string> shown, Func<string, string> read)
    {
        var faults = numbers.Except(rows.Select(row => $"{row.Number} {row.Level}")).Select(number => $"{number}: no row").ToList();
        faults.AddRange(rows.Select(row => $"{row.Number} {row.Level}").Except(numbers).Select(number => $"{number}: not of the standard"));
        faults.AddRange(rows.GroupBy(row => row.Number).Where(group => group.Count() > 1).Select(group => $"{group.Key}: more than one row"));
        var known = rows.Select(row => row.Number).ToHashSet(StringComparer.Ordinal);
        faults.AddRange(shown.Where(group => !known.Contains(group.Key)).Select(group => $"{group.Key}: {group.First()} shows what is not there"));
        foreach (var row in rows)
        {
            if (row.Reason.Length == 0 && !shown.Contains(row.Number)) faults.Add($"{row.Number}: neither a test nor a reason");
            if (row.Is("n/a") && shown.Contains(row.Number)) faults.Add($"{row.Number}: does not apply, and {shown[row.Number].First()} shows it");
            if (row.Reason.Length > 0 && !row.Is("n/a") && !row.Is("open") && !row.Is("doc")) faults.Add($"{row.Number}: no known reason");
            if (row.Is("doc") && !StandsThere(row.Reason, read)) faults.Add($"{row.Number}: what it points to is not there");
        }

        return faults;
    }

    public static string Write(IReadOnlyList<AsvsRow> rows, ILookup<string, string> shown)
    {
        var (none, open) = (rows.Count(row => row.Is("n/a")), rows.Count(row => row.Is("open")));
        var partly = rows.Count(row => row.Is("open") && shown.Contains(row.Number));
        var page = new StringBuilder("# OWASP ASVS 5.0.0, levels 1 and 2\n\n");
        page.Append("Made by `AsvsTests` from `asvs.txt` and the `[Asvs]` marks on the tests; change those, not this page. The numbers are of the OWASP\n");
        page.Append("Application Security Verification Standard 5.0.0 (<https://github.com/OWASP/ASVS>, CC BY-SA 4.0); the words are ours and shorter, so\n");
        page.Append("judge by the standard. This page is under CC BY-SA 4.0 too. It is our own reading, by nobody outside; a test shows what it tries.\n\n");
        page.Append($"{rows.Count} requirements: {rows.Count - none - open} shown, {none} do not apply, {open} open (of these {partly} shown in part).\n\n");
        page.Append("| number | level | what | shown by, or why not |\n| --- | --- | --- | --- |\n");
        foreach (var row in rows) page.Append($"| {row.Number} | {row.Level} | {row.What} | {Answer(row, shown[row.Number])} |\n");
        return page.ToString();
    }

    private static string Answer(AsvsRow row, IEnumerable<string> tests) => string.Join("<br>", tests.Select(test => $"`{test}`").Concat(row switch
    {
        { Reason: "" } => [],
        _ when row.Is("n/a") => ["Does not apply: " + row.Reason[5..]],
        _ when row.Is("open") => ["**Open:** " + row.Reason[6..]],
        _ => new[] { "Written in " + row.Reason[5..].Replace("**", "", StringComparison.Ordinal) },
    }));

    private static bool StandsThere(string reason, Func<string, string> read) =>
        Document().Match(reason) is { Success: true } match && read(match.Groups[1].Value).Contains(match.Groups[2].Value, StringComparison.Ordinal);

    private static IEnumerable<string> Lines(string file) =>
        File.ReadLines(Path.Combine(Repository.Folder, Folder, file)).Where(line => line.Length > 0 && line[0] != '#');

    private static AsvsRow Row(string line) => line.Split('|', 4, StringSplitOptions.TrimEntries) is [var number, var level, var what, var reason]
        ? new(number, level, what, reason)
        : throw new InvalidDataException($"Four parts are wanted: {line}");

    [GeneratedRegex("^doc: (\\S+) \"(.+)\"$")]
    private static partial Regex Document();
}
