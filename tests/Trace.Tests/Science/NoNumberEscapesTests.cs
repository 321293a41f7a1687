using System.Collections;
using System.Reflection;
using Trace.Core.Science;
using Xunit;

namespace Trace.Tests.Science;

/// <summary>
/// Every public computation of the science room is given sensible, extreme and absurd values. It answers with finite numbers, with "nothing can
/// be said", or it refuses and names the parameter; it never answers NaN or infinity.
/// </summary>
public sealed class NoNumberEscapesTests(ITestOutputHelper output)
{
    private const int TriesEach = 2_000;

    public static TheoryData<string> Rooms() => [.. Methods().Select(method => method.DeclaringType!.FullName!).Distinct().Order(StringComparer.Ordinal)];

    [Theory]
    [MemberData(nameof(Rooms))]
    public void No_NaN_escapes_and_every_refusal_names_its_parameter(string room)
    {
        foreach (var method in Methods().Where(method => method.DeclaringType!.FullName == room))
        {
            var faults = Try(method, new Guesses(new Random(20261116)), out var answered);
            Assert.True(faults.Count == 0, string.Join("\n", faults.Take(5)));
            Assert.True(answered > 0, $"{method}: no guess was ever answered, so nothing was tried.");
            output.WriteLine($"{method.DeclaringType!.Name}.{method.Name}: {answered} of {TriesEach} answered");
        }
    }

    private static List<MethodInfo> Methods() =>
    [
        .. typeof(DrySolids).Assembly.GetExportedTypes()
            .Where(type => type.Namespace!.StartsWith("Trace.Core.Science", StringComparison.Ordinal) && type.IsAbstract && type.IsSealed)
            .SelectMany(type => type.GetMethods(BindingFlags.Public | BindingFlags.Static | BindingFlags.DeclaredOnly))
            .Where(method => !method.IsSpecialName && !method.IsGenericMethod),
    ];

    private static List<string> Try(MethodInfo method, Guesses guesses, out int answered)
    {
        var names = method.GetParameters().Select(one => one.Name!).ToList();
        var faults = new List<string>();
        answered = 0;
        for (var i = 0; i < TriesEach && faults.Count < 5; i++)
        {
            guesses.Absurdity = i % 3 == 0 ? 0.15 : 0;
            var arguments = method.GetParameters().Select(one => guesses.Of(one.ParameterType)).ToArray();
            var isWhole = method.GetParameters().Zip(arguments).All(pair => pair.Second is not null || Nullable.GetUnderlyingType(pair.First.ParameterType) is not null);
            if (!isWhole) continue;
            try
            {
                var answer = method.Invoke(null, arguments);
                answered++;
                if (Odd(answer, method.Name, 0) is { } odd) faults.Add($"{method.DeclaringType!.Name}.{method.Name}({Said(arguments)}): {odd}");
            }
            catch (TargetInvocationException refused) when (refused.InnerException is ArgumentException { ParamName: { } name })
            {
                if (!names.Any(known => known.StartsWith(name, StringComparison.OrdinalIgnoreCase)) && !IsMember(method, name))
                    faults.Add($"{method.DeclaringType!.Name}.{method.Name} refuses '{name}', which it does not have");
            }
            catch (TargetInvocationException broken)
            {
                faults.Add($"{method.DeclaringType!.Name}.{method.Name}({Said(arguments)}): {broken.InnerException!.GetType().Name}: {broken.InnerException.Message}");
            }
        }

        return faults;
    }

    /// <summary>A member of a record that it takes is a name that the caller knows too.</summary>
    private static bool IsMember(MethodInfo method, string name) =>
        method.GetParameters().SelectMany(one => Reached(one.ParameterType)).Any(type => type.GetProperties().Any(one => string.Equals(one.Name, name, StringComparison.OrdinalIgnoreCase)));

    private static IEnumerable<Type> Reached(Type type) => type.IsGenericType ? [type, .. type.GetGenericArguments()] : [type];

    private static string? Odd(object? value, string path, int depth)
    {
        switch (value)
        {
            case null or string or DateTimeOffset or DateOnly or TimeSpan or Enum or bool or int or long: return null;
            case double.NaN: return $"{path} is NaN";
            case double number: return double.IsInfinity(number) ? $"{path} is infinite" : null;
            case IEnumerable items: return items.Cast<object?>().Select((item, i) => Odd(item, $"{path}[]", depth + 1)).FirstOrDefault(odd => odd is not null);
            default:
                return depth > 3 ? null : value.GetType().GetProperties(BindingFlags.Public | BindingFlags.Instance).Where(one => one.GetIndexParameters().Length == 0)
                    .Select(one => Odd(one.GetValue(value), $"{value.GetType().Name}.{one.Name}", depth + 1)).FirstOrDefault(odd => odd is not null);
        }
    }

    private static string Said(object?[] arguments) => string.Join(", ", arguments.Select(one => one is IEnumerable and not string ? $"[{string.Join(" ", ((IEnumerable)one).Cast<object?>().Take(12))}]" : $"{one}"));
}
