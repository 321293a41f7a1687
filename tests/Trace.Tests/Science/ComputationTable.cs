using System.Reflection;
using System.Text;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using Trace.Core.Science;
using Trace.Tests.Approved;
using Xunit.v3;

namespace Trace.Tests.Science;

/// <summary>One check of one computation, as a test says of itself.</summary>
internal sealed record ComputationCheck(Type Computation, Mark Mark, string Source, string Test);

/// <summary>Every computation of the science room with what it is checked against, as one page.</summary>
internal static partial class ComputationTable
{
    public const string Page = "tests/Trace.Tests/Science/computations.md";

    private static readonly Lazy<ILookup<string, XElement>> Docs = new(() => XDocument
        .Load(Path.ChangeExtension(typeof(DrySolids).Assembly.Location, ".xml")).Descendants("member")
        .ToLookup(member => member.Attribute("name")!.Value));

    /// <summary>A class of the room that is static is a computation; records and enumerations are its words.</summary>
    public static List<Type> Computations() =>
    [
        .. typeof(DrySolids).Assembly.GetExportedTypes()
            .Where(type => type is { IsAbstract: true, IsSealed: true } && type.Namespace!.StartsWith("Trace.Core.Science", StringComparison.Ordinal))
            .OrderBy(type => type.FullName, StringComparer.Ordinal),
    ];

    public static List<ComputationCheck> Checks() =>
    [
        .. typeof(ComputationTable).Assembly.GetTypes().SelectMany(type => type.GetMethods())
            .Where(method => method.GetCustomAttributes().Any(attribute => attribute is IFactAttribute))
            .SelectMany(method => method.GetCustomAttributes<CheckValueAttribute>()
                .Select(check => new ComputationCheck(check.Computation, check.Mark, check.Source, $"{method.DeclaringType!.Name}.{method.Name}")))
            .OrderBy(check => check.Test, StringComparer.Ordinal).ThenBy(check => check.Mark),
    ];

    /// <summary>What is wrong with the table; empty when nothing is.</summary>
    public static List<string> Faults(IReadOnlyList<Type> computations, IReadOnlyList<ComputationCheck> checks)
    {
        var faults = computations.Where(type => checks.All(check => check.Computation != type)).Select(type => $"{type.Name}: nothing outside checks it").ToList();
        faults.AddRange(checks.Where(check => !computations.Contains(check.Computation)).Select(check => $"{check.Test}: {check.Computation.Name} is no computation"));
        faults.AddRange(checks.Where(check => check.Source.Length < 8).Select(check => $"{check.Test}: no source"));
        return faults;
    }

    public static string Write(IReadOnlyList<Type> computations, IReadOnlyList<ComputationCheck> checks)
    {
        var page = new StringBuilder("# Computations and what they are checked against\n\n");
        page.Append("Made by `ComputationTests` from the summaries of the classes in `src/Trace.Core/Science` and the `[CheckValue]` marks on the tests;\n");
        page.Append("change those, not this page. Each class says in its comments what it takes, in which unit and range, and what it refuses.\n\n");
        page.Append("Marks: *published*: printed by the source named; *recomputed*: computed by other means than the code under test; *common practice,\n");
        page.Append("no source*: a habit of the trade; *from memory*: remembered, not seen again. A verdict of these computations is not proof of safety.\n\n");
        page.Append($"{computations.Count} computations, {checks.Count} checks: ");
        page.AppendJoin(", ", Enum.GetValues<Mark>().Select(mark => $"{checks.Count(check => check.Mark == mark)} {Words(mark)}")).Append(".\n");
        foreach (var room in computations.GroupBy(type => type.Namespace!.Split('.').Skip(3).FirstOrDefault() ?? "General"))
        {
            page.Append($"\n## {Spaced(room.Key)}\n");
            foreach (var type in room)
            {
                page.Append($"\n### {Spaced(type.Name)}\n\n{Summary(type)}\n\n| mark | source | test |\n| --- | --- | --- |\n");
                foreach (var check in checks.Where(check => check.Computation == type))
                    page.Append($"| {Words(check.Mark)} | {check.Source.Replace("|", "\\|", StringComparison.Ordinal)} | `{check.Test}` |\n");
            }
        }

        return page.ToString();
    }

    private static string Words(Mark mark) => mark switch
    {
        Mark.Published => "published",
        Mark.Recomputed => "recomputed",
        Mark.CommonPractice => "common practice, no source",
        _ => "from memory",
    };

    private static string Summary(Type type)
    {
        var summary = Docs.Value[$"T:{type.FullName}"].Single().Element("summary")!;
        foreach (var code in summary.Descendants("c").ToList()) code.ReplaceWith($"`{code.Value}`");
        foreach (var see in summary.Descendants("see").ToList()) see.ReplaceWith($"`{see.Attribute("cref")!.Value.Split('.')[^1]}`");
        return Blanks().Replace(summary.Value.Trim(), " ");
    }

    private static string Spaced(string name) => char.ToUpperInvariant(name[0]) + Humps().Replace(name[1..], match => " " + match.Value.ToLowerInvariant());

    [GeneratedRegex(@"\s+")]
    private static partial Regex Blanks();

    [GeneratedRegex("[A-Z]")]
    private static partial Regex Humps();
}
