using System.Reflection;
using System.Runtime.CompilerServices;
using System.Text.RegularExpressions;
using Trace.Core;
using Trace.Core.Holds;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Tests.Approved;
using Xunit;

namespace Trace.Tests.Architecture;

/// <summary>Lists written by hand are whole, and what they list is of the right kind.</summary>
public sealed class ListTests(ITestOutputHelper output)
{
    /// <summary>Codes whose page is there before anything gives them.</summary>
    private static readonly string[] KeptForLater = ["sign-in.failed"];

    private static readonly Type[] Core = typeof(Areas).Assembly.GetTypes();

    [Fact]
    public void Every_hold_rule_is_listed()
    {
        output.WriteLine($"{Made<HoldRule>(Core).Count} classes, {HoldRules.All.Count} rules");
        Assert.Empty(Missing<HoldRule>(Core, HoldRules.All.Select(rule => rule.GetType())));
        Assert.Equal(["ForgottenRule"], Missing<HoldRule>([.. Core, typeof(Planted.Lists.ForgottenRule)], HoldRules.All.Select(rule => rule.GetType())));
        Assert.Equal(HoldRules.All.Count, HoldRules.All.Select(rule => rule.Code).Distinct().Count());
        Assert.All(HoldRules.All, rule =>
        {
            Assert.Matches("^[a-z]+\\.[a-z-]+$", rule.Code);
            Assert.NotEmpty(rule.Title);
            Assert.NotEmpty(rule.Source);
            Assert.NotEmpty(rule.Clears);
            Assert.Same(rule, HoldRules.Find(rule.Code));
        });
    }

    [Fact]
    public void Every_event_is_listed_under_its_stored_name()
    {
        output.WriteLine($"{Made<ITraceEvent>(Core).Count} classes, {Areas.Events.Count} events");
        Assert.Empty(Missing<ITraceEvent>(Core, Areas.Events.Select(listed => listed.Of)));
        Assert.Equal(["MutableEvent"], Missing<ITraceEvent>([.. Core, typeof(Planted.Lists.MutableEvent)], Areas.Events.Select(listed => listed.Of)));
        Assert.All(Areas.Events, listed => Assert.Equal(listed.Of.GetField("Type")!.GetRawConstantValue(), listed.Name));
        Assert.All(Areas.Events, listed => Assert.Matches("^[a-z]+\\.[a-z-]+$", listed.Name));
        Assert.Equal(Areas.Events.Count, Areas.Events.Select(listed => listed.Name).Distinct().Count());
    }

    [Fact]
    public void Every_operation_is_listed()
    {
        var lists = Core.SelectMany(type => type.GetProperties(BindingFlags.Static | BindingFlags.Public))
            .Where(property => property.PropertyType == typeof(IReadOnlyList<Operation>) && property.DeclaringType != typeof(Areas)).ToList();
        var all = lists.SelectMany(property => (IReadOnlyList<Operation>)property.GetValue(null)!).ToList();
        output.WriteLine($"{lists.Count} areas, {all.Count} operations");
        Assert.Empty(all.Except(Areas.Operations));
        Assert.Equal(all.Count, Areas.Operations.Count);
        Assert.Equal([all[0]], all.Except(Areas.Operations.Where(one => one != all[0])));
        Assert.Equal(all.Count, all.Select(one => one.Name).Distinct().Count());
        Assert.All(all, one => Assert.Matches("^[a-z]+/[a-z-]+$", one.Name));
        Assert.All(all, one => Assert.NotEqual(Roles.None, one.Roles));
        Assert.All(all, one => Assert.False(one.Roles.HasFlag(Roles.Inspector)));
        Assert.All(all.Where(one => one.Corrects is not null), one => Assert.Contains(one.Corrects!, Areas.Codec.Names));
    }

    /// <summary>Who may do what, past which door, and what it corrects: a line that changes here changes what the plant can rely on.</summary>
    [Fact]
    public void Roles_and_doors_are_those_that_were_approved() => ApprovedText.Check("operations", string.Join('\n', Areas.Operations
        .Select(one => $"{one.Name,-22} {one.Passage,-12} {one.Corrects ?? "-",-22} {one.Roles}")));

    [Fact]
    public void Rules_and_what_cures_them_are_those_that_were_approved() => ApprovedText.Check("hold-rules", string.Join('\n', HoldRules.All
        .Select(rule => $"{rule.Code,-22} cured by {rule.CuredBy,-12} {(rule.MayBeAccepted ? "may be accepted" : "")}".TrimEnd())));

    [Fact]
    public void Events_cannot_be_changed()
    {
        output.WriteLine($"{Made<ITraceEvent>(Core).Count} events");
        Assert.Empty(Made<ITraceEvent>(Core).SelectMany(Changeable));
        Assert.Equal(
            ["MutableEvent.Count", "MutableEvent.Others", "MutableEvent.Reason"], Changeable(typeof(Planted.Lists.MutableEvent)).Order());
    }

    [Fact]
    public void Every_refusal_code_that_is_given_stands_in_the_table_and_every_one_in_the_table_is_given()
    {
        var sources = SourceFile.All("src").Where(file => !file.Path.EndsWith("Operations/Refusal.cs", StringComparison.Ordinal)).ToList();
        var given = sources.SelectMany(file => Given(file.Text)).ToHashSet();
        output.WriteLine($"{sources.Count} files, {given.Count} codes given, {RefusalCodes.All.Count} in the table");
        Assert.True(given.Count > 20);
        Assert.Empty(given.Except(RefusalCodes.All.Keys));
        var text = string.Concat(sources.Select(file => file.Text));
        Assert.DoesNotContain(RefusalCodes.All.Keys.Except(KeptForLater), code => !text.Contains('"' + code + '"', StringComparison.Ordinal));
        Assert.Equal(["planted.code", "other.code"], Given("""return Decision.Refuse("planted.code", "no"); yield return new("other.code", "no");"""));
        Assert.All(RefusalCodes.All.Values, code => Assert.InRange(code.Status, 400, 599));
        Assert.All(RefusalCodes.All.Values, code => Assert.NotEmpty(code.WayOut));
    }

    private static IEnumerable<string> Given(string source) =>
        Regex.Matches(source, "(?:Refuse|Refusal|new)\\(\\s*\"([a-z-]+\\.[a-z-]+)\"").Select(match => match.Groups[1].Value);

    private static List<Type> Made<T>(IEnumerable<Type> types) => [.. types.Where(type => typeof(T).IsAssignableFrom(type) && !type.IsAbstract)];

    private static List<string> Missing<T>(IEnumerable<Type> types, IEnumerable<Type> listed) => [.. Made<T>(types).Except(listed).Select(type => type.Name)];

    private static IEnumerable<string> Changeable(Type type)
    {
        if (!type.IsSealed || type.GetMethod("<Clone>$") is null) yield return type.Name;
        foreach (var field in type.GetFields(BindingFlags.Instance | BindingFlags.Public)) yield return $"{type.Name}.{field.Name}";
        foreach (var property in type.GetProperties(BindingFlags.Instance | BindingFlags.Public))
        {
            var isSettable = property.SetMethod is { } set && !set.ReturnParameter.GetRequiredCustomModifiers().Contains(typeof(IsExternalInit));
            var isMutable = property.PropertyType.IsGenericType && property.PropertyType.GetGenericTypeDefinition() == typeof(List<>);
            if (isSettable || isMutable) yield return $"{type.Name}.{property.Name}";
        }
    }
}
