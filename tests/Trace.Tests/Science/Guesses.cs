using System.Collections;
using System.Reflection;
using Trace.Core.Science.Keeping;
using Trace.Core.Science.WaterActivity;
using Trace.Core.Units;

namespace Trace.Tests.Science;

/// <summary>
/// Makes values of any type that the science room takes: the sensible, the extreme and the absurd, so that a door left open by any formula is found.
/// </summary>
internal sealed class Guesses(Random chance)
{
    private static readonly DateTimeOffset Day = new(2026, 11, 16, 8, 0, 0, TimeSpan.FromHours(3));

    private static readonly double[] Extremes =
        [double.NaN, double.PositiveInfinity, double.NegativeInfinity, double.MaxValue, double.MinValue, double.Epsilon, -1, -0.0, 0, 1e-300, 1e300];

    private readonly List<SorptionIsotherm> isotherms = [];

    /// <summary>How often a number is one of the extremes, from 0 to 1.</summary>
    public double Absurdity { get; set; }

    /// <summary>Null when nothing of the kind can be made: the type's own guards refused, or it is made by computations alone.</summary>
    public object? Of(Type type, int depth = 0)
    {
        if (Nullable.GetUnderlyingType(type) is { } inner) return chance.Next(4) == 0 ? null : Of(inner, depth);
        if (type == typeof(double)) return Number();
        if (type == typeof(decimal)) return chance.Next(0, 10_000) / 100m;
        if (type == typeof(SorptionIsotherm)) return Isotherm();
        if (type == typeof(KeepingSpan) && chance.NextDouble() >= Absurdity) return new KeepingSpan(0.15 + chance.NextDouble() / 5, 0.36 + chance.NextDouble() / 5);
        if (type == typeof(KeepingDoubt) && chance.NextDouble() >= Absurdity) return KeepingDoubt.Usual;
        if (type == typeof(IReadOnlyList<SorptionPair>)) return Pairs();
        if (type == typeof(int)) return chance.NextDouble() < Absurdity ? chance.Next(-2, 2) : chance.Next(1, chance.Next(8) == 0 ? 5_000 : 60);
        if (type == typeof(long)) return chance.NextInt64(-1, 5_000_000);
        if (type == typeof(bool)) return chance.Next(2) == 0;
        if (type == typeof(string)) return chance.Next(4) == 0 ? "" : "T" + chance.Next(3);
        if (type == typeof(Mass)) return Mass.FromMilligrams(chance.NextDouble() < Absurdity ? 0 : chance.NextInt64(1, 5_000_000));
        if (type == typeof(DateTimeOffset)) return Day.AddSeconds(chance.Next(0, 20_000));
        if (type == typeof(DateOnly)) return DateOnly.FromDateTime(Day.Date).AddDays(chance.Next(-400, 400));
        if (type == typeof(TimeSpan)) return TimeSpan.FromSeconds(chance.NextDouble() < Absurdity ? chance.Next(-2, 2) : chance.Next(1, 100_000));
        if (type.IsEnum) return Enum.GetValues(type).GetValue(chance.Next(Enum.GetValues(type).Length));
        if (ElementOf(type) is { } element) return List(element, depth);
        return depth > 4 ? null : Made(type, depth);
    }

    private double Number()
    {
        if (chance.NextDouble() < Absurdity) return Extremes[chance.Next(Extremes.Length)];
        return chance.Next(5) switch
        {
            0 => chance.NextDouble(),
            1 => chance.NextDouble() * 100,
            2 => chance.NextDouble() * 1000,
            3 => chance.Next(0, 80),
            _ => (chance.NextDouble() - 0.5) * 40,
        };
    }

    /// <summary>Dried larvae as anybody would measure them, with a little scatter.</summary>
    private List<SorptionPair> Pairs() =>
    [
        .. Enumerable.Range(0, chance.Next(3, 10)).Select(i => 0.12 + i * 0.07)
            .Select(activity => new SorptionPair(activity, chance.NextDouble() < Absurdity ? Number() : 0.05 / (1 - 0.8 * activity) * (0.99 + chance.NextDouble() / 50))),
    ];

    /// <summary>A fit takes its time, so a few are made.</summary>
    private SorptionIsotherm? Isotherm()
    {
        if (isotherms.Count > 4) return isotherms[chance.Next(isotherms.Count)];
        try
        {
            isotherms.Add(SorptionIsotherm.Through(SorptionModelKind.Gab, Pairs(), SorptionBranch.Adsorption, 25, DateOnly.FromDateTime(Day.Date), 0.002));
            return isotherms[^1];
        }
        catch (ArgumentException)
        {
            return null;
        }
    }

    private static Type? ElementOf(Type type)
    {
        if (type.IsArray) return type.GetElementType();
        if (!type.IsGenericType || type.GetGenericArguments() is not [var only]) return null;
        return typeof(IEnumerable).IsAssignableFrom(type) || type.GetGenericTypeDefinition() == typeof(ReadOnlySpan<>) ? only : null;
    }

    private Array? List(Type element, int depth)
    {
        var list = Array.CreateInstance(element, chance.Next(0, 12));
        for (var i = 0; i < list.Length; i++)
        {
            if (Of(element, depth + 1) is not { } item) return null;
            list.SetValue(item, i);
        }

        if (element.IsPrimitive && chance.Next(2) == 0) Array.Sort(list);
        return list;
    }

    private object? Made(Type type, int depth)
    {
        if (type.GetConstructors().OrderByDescending(one => one.GetParameters().Length).FirstOrDefault() is not { } constructor) return Found(type, depth);
        var arguments = constructor.GetParameters().Select(one => Of(one.ParameterType, depth + 1)).ToArray();
        try
        {
            return constructor.Invoke(arguments);
        }
        catch (TargetInvocationException refused) when (refused.InnerException is ArgumentException or NullReferenceException)
        {
            return null;
        }
    }

    /// <summary>Types without a public constructor say themselves what there is of them, or how one is made.</summary>
    private object? Found(Type type, int depth)
    {
        var ready = type.GetProperties(BindingFlags.Public | BindingFlags.Static).Where(one => one.PropertyType == type).ToList();
        if (ready.Count > 0) return ready[chance.Next(ready.Count)].GetValue(null);
        var makers = type.GetMethods(BindingFlags.Public | BindingFlags.Static).Where(one => one.ReturnType == type && !one.IsSpecialName).ToList();
        if (makers.Count == 0) return null;
        var maker = makers[chance.Next(makers.Count)];
        try
        {
            return maker.Invoke(null, [.. maker.GetParameters().Select(one => Of(one.ParameterType, depth + 1))]);
        }
        catch (TargetInvocationException refused) when (refused.InnerException is ArgumentException or NullReferenceException)
        {
            return null;
        }
    }
}
