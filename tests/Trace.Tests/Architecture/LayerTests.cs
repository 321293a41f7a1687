using System.Reflection;
using NetArchTest.Rules;
using Trace.Core;
using Trace.Storage;
using Trace.Web.Hosting;
using Xunit;

namespace Trace.Tests.Architecture;

/// <summary>Who may know whom. Each test has a twin that plants the fault, and says how many types it looked at: an empty search passes anything.</summary>
public sealed class LayerTests(ITestOutputHelper output)
{
    /// <summary>
    /// Storeys of the core, the lowest first. A folder knows those below it, and none beside it: so no step names another step, and no step
    /// names a hold rule.
    /// </summary>
    private static readonly string[][] Storeys =
    [
        ["Units", "Time", "Science", "Journal", "Specifications"],
        ["Lots"],
        ["Operations"],
        [
            "Steps.Receiving", "Steps.Sanitising", "Steps.Drying", "Steps.Cooling", "Steps.Checks", "Steps.Filling", "Steps.Packing", "Labels", "Printers",
            "Shipments", "Stock", "Products", "Instruments", "Sites", "Holds", "Corrections", "Access",
            "Complaints", "Inspections", "Shifts",
        ],
        ["Tracing", "Figures", "Trends"],
        ["Recall", "Training"],
    ];

    /// <summary>
    /// Types that may look further. What surrounds a site is told in the labels' plain words; those know nothing of operations in turn.
    /// </summary>
    private static readonly HashSet<string> Exceptions = ["Trace.Core.Operations.Surroundings"];

    private static readonly Assembly Core = typeof(Areas).Assembly;

    [Fact]
    public void The_core_knows_the_base_library_only()
    {
        var known = Core.GetReferencedAssemblies().Select(name => name.Name!).ToList();
        output.WriteLine($"{known.Count} assemblies: {string.Join(", ", known)}");
        Assert.NotEmpty(known);
        Assert.Empty(Foreign(known));
        Assert.Equal(["LiteDB"], Foreign([.. known, "LiteDB"]));
        Assert.NotEmpty(Foreign(typeof(TraceStorage).Assembly.GetReferencedAssemblies().Select(name => name.Name!)));
    }

    [Fact]
    public void The_core_touches_no_file_no_net_and_no_console()
    {
        string[] outside =
        [
            "System.IO.File", "System.IO.Directory", "System.IO.FileStream", "System.IO.Path", "System.Net", "System.Console", "System.Diagnostics.Process",
        ];
        var types = Types.InAssembly(Core);
        output.WriteLine($"{types.GetTypes().Count()} types");
        Assert.Empty(Named(types.That().HaveDependencyOnAny(outside)));
        Assert.NotEmpty(Named(Types.InAssembly(typeof(TraceStorage).Assembly).That().HaveDependencyOnAny(outside)));
    }

    [Fact]
    public void Every_folder_of_the_core_knows_only_the_storeys_below()
    {
        var seen = 0;
        for (var storey = 0; storey < Storeys.Length; storey++)
        {
            foreach (var folder in Storeys[storey])
            {
                string[] forbidden =
                    [.. Storeys[storey].Where(other => other != folder).Concat(Storeys[(storey + 1)..].SelectMany(above => above)).Select(Space)];
                var types = Types.InAssembly(Core).That().ResideInNamespaceStartingWith(Space(folder)).GetTypes().Count();
                Assert.True(types > 0, $"{folder} has no types.");
                seen += types;
                var wrong = Looking(Core, Space(folder), forbidden).Where(name => !Exceptions.Contains(name)).ToList();
                Assert.True(wrong.Count == 0, $"{folder} looks up or sideways in {string.Join(", ", wrong)}.");
            }
        }

        output.WriteLine($"{seen} types in {Storeys.Sum(storey => storey.Length)} folders");
    }

    [Fact]
    public void Every_folder_of_the_core_stands_in_a_storey()
    {
        var known = Storeys.SelectMany(storey => storey).Select(Space).ToList();
        var spaces = Core.GetTypes().Select(type => type.Namespace).OfType<string>().Where(space => space.StartsWith("Trace.Core.", StringComparison.Ordinal)).Distinct().ToList();
        output.WriteLine($"{spaces.Count} namespaces");
        Assert.DoesNotContain(spaces, space => !known.Any(one => space == one || space.StartsWith(one + ".", StringComparison.Ordinal)));
    }

    [Fact]
    public void The_words_that_operations_borrow_from_labels_know_no_operation()
    {
        var borrowed = Types.InAssembly(Core).That().ResideInNamespace("Trace.Core.Labels")
            .And().HaveNameMatching("^(TemplateChoice|LabelTemplate|LabelContent|LabelProblem)$").GetTypes().Select(type => type.FullName).ToList();
        output.WriteLine(string.Join(", ", borrowed));
        Assert.Equal(4, borrowed.Count);
        Assert.Empty(Looking(Core, "Trace.Core.Labels", ["Trace.Core.Operations"]).Intersect(borrowed));
    }

    [Fact]
    public void A_planted_look_upstairs_is_seen() => Assert.Equal(
        ["Trace.Tests.Architecture.Planted.Low.LooksUp"],
        Looking(typeof(LayerTests).Assembly, "Trace.Tests.Architecture.Planted.Low", ["Trace.Tests.Architecture.Planted.High"]));

    [Fact]
    public void The_web_cannot_reach_the_store_behind_its_door()
    {
        var known = typeof(TraceHost).Assembly.GetReferencedAssemblies().Select(name => name.Name).ToList();
        output.WriteLine($"{known.Count} assemblies");
        Assert.Contains("Trace.Storage", known);
        Assert.DoesNotContain("LiteDB", known);
    }

    [Fact]
    public void No_type_of_the_database_shows_in_the_public_face_of_the_store()
    {
        var types = typeof(TraceStorage).Assembly.GetExportedTypes();
        output.WriteLine($"{types.Length} public types");
        Assert.NotEmpty(types);
        Assert.Empty(Showing(types, "LiteDB"));
        Assert.NotEmpty(Showing([typeof(Planted.Lists.ILeaks)], "System.Text"));
    }

    [Fact]
    public void No_type_is_called_what_says_nothing()
    {
        string[] empty = ["Manager", "Helper", "Service", "Util", "Utils", "Dto", "Impl", "Base"];
        Assembly[] all = [Core, typeof(TraceStorage).Assembly, typeof(TraceHost).Assembly];
        var types = all.SelectMany(assembly => assembly.GetTypes()).Where(type => type.Namespace?.StartsWith("Trace.", StringComparison.Ordinal) == true).ToList();
        output.WriteLine($"{types.Count} types");
        Assert.Empty(Called(types, empty));
        Assert.Equal([nameof(Planted.Lists.LotManager)], Called([typeof(Planted.Lists.LotManager)], empty));
    }

    private static string Space(string folder) => "Trace.Core." + folder;

    private static List<string> Foreign(IEnumerable<string> assemblies) =>
        [.. assemblies.Where(name => name != "System" && !name.StartsWith("System.", StringComparison.Ordinal))];

    private static List<string> Looking(Assembly assembly, string space, string[] forbidden) => forbidden.Length == 0
        ? []
        : Named(Types.InAssembly(assembly).That().ResideInNamespaceStartingWith(space).And().HaveDependencyOnAny(forbidden));

    private static List<string> Named(PredicateList types) => [.. types.GetTypes().Select(type => type.FullName!)];

    private static List<string> Called(IEnumerable<Type> types, string[] empty) =>
        [.. types.Select(type => type.Name.Split('`')[0]).Where(name => empty.Any(word => name.EndsWith(word, StringComparison.Ordinal)))];

    private static List<string> Showing(IEnumerable<Type> types, string space)
    {
        var shown = new List<string>();
        foreach (var type in types)
        {
            var parts = type.GetMembers().SelectMany(member => member switch
            {
                MethodInfo method => method.GetParameters().Select(parameter => parameter.ParameterType).Append(method.ReturnType),
                ConstructorInfo made => made.GetParameters().Select(parameter => parameter.ParameterType),
                PropertyInfo property => [property.PropertyType],
                FieldInfo field => [field.FieldType],
                _ => [],
            }).Concat(type.GetInterfaces()).Append(type.BaseType ?? typeof(object));
            if (parts.SelectMany(part => part.GetGenericArguments().Append(part)).Any(part => part.Namespace?.StartsWith(space, StringComparison.Ordinal) == true))
                shown.Add(type.Name);
        }

        return shown;
    }
}
