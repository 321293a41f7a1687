using System.Buffers;
using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using Trace.Core.Units;

namespace Trace.Core.Labels;

/// <summary>One value with its application identifier, such as 10 and a lot.</summary>
public sealed record Element(string Ai, string Value)
{
    /// <summary>
    /// yymmdd. The century is not written: readers take the year that lies within 49 years before and 50 after theirs (GS1 General
    /// Specifications 7.12, as quoted in public code).
    /// </summary>
    public static Element Date(string ai, DateOnly day) => new(ai, day.ToString("yyMMdd", CultureInfo.InvariantCulture));

    /// <summary>Net weight in kilograms, AI 310n; null when six digits cannot say it to the milligram.</summary>
    public static Element? NetWeight(Mass mass) => Weight("310", mass);

    /// <summary>Gross weight in kilograms, AI 330n; null when six digits cannot say it to the milligram.</summary>
    public static Element? GrossWeight(Mass mass) => Weight("330", mass);

    /// <summary>The last digit of the identifier is the number of decimals; grams first, since that is how goods are weighed.</summary>
    private static Element? Weight(string stem, Mass mass)
    {
        foreach (var decimals in (int[])[3, 2, 1, 0, 4, 5])
        {
            var unit = (long)Math.Pow(10, 6 - decimals);
            if (mass.Milligrams % unit == 0 && mass.Milligrams / unit is > 0 and <= 999_999 and var value)
                return new(FormattableString.Invariant($"{stem}{decimals}"), value.ToString("000000", CultureInfo.InvariantCulture));
        }

        return null;
    }
}

/// <summary>
/// A GS1 message: values with application identifiers, checked, in the order in which a symbol holds them. Identifiers of fixed length
/// stand first and lot and serial last. Equality is by <see cref="Data"/>.
/// </summary>
public sealed class ElementString : IEquatable<ElementString>
{
    /// <summary>What a reader gives between values where one is needed; in the symbol it is FNC1.</summary>
    public const char Separator = '\u001D';

    /// <summary>GS1-128 holds so many characters, identifiers and separators included (GS1 General Specifications 5.4, from
    /// memory).</summary>
    public const int LongestGs1128 = 48;

    /// <summary>GS1's character set 82.</summary>
    internal static readonly SearchValues<char> Set82 =
        SearchValues.Create("!\"%&'()*+,-./0123456789:;<=>?ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz");

    private ElementString(IReadOnlyList<Element> elements, string data) => (Elements, Data) = (elements, data);

    /// <summary>In the order of the symbol.</summary>
    public IReadOnlyList<Element> Elements { get; }

    /// <summary>As a reader gives it, without the FNC1 that begins each GS1 symbol.</summary>
    public string Data { get; }

    /// <summary>For people: identifiers in brackets, which are never encoded.</summary>
    public string Bracketed => string.Concat(Elements.Select(element => $"({element.Ai}){element.Value}"));

    /// <summary>Puts values in order. On false, <paramref name="problem"/> is a sentence that names the identifier.</summary>
    public static bool TryMake(IReadOnlyList<Element> elements, [NotNullWhen(true)] out ElementString? message, out string problem)
    {
        message = null;
        problem = elements.Count == 0 ? "A message has at least one value." : "";
        var known = new List<(Element Element, ApplicationIdentifier Ai)>();
        foreach (var element in elements)
        {
            if (problem.Length > 0) return false;
            if (ApplicationIdentifier.Find(element.Ai) is not { } ai) problem = $"({element.Ai}) is not an identifier that our labels use.";
            else if (known.Exists(one => one.Element.Ai == element.Ai)) problem = $"({element.Ai}) stands there twice.";
            else if (Fault(ai, element.Value) is { } fault) problem = $"({element.Ai}) {ai.Title}: {fault}";
            else known.Add((element, ai));
        }

        if (problem.Length == 0)
            problem = known.Select(one => Company(one.Ai, one.Element.Ai, elements)).FirstOrDefault(fault => fault is not null) ?? "";
        if (problem.Length > 0) return false;
        var ordered = known.OrderBy(one => one.Ai.Place).ThenBy(one => one.Element.Ai, StringComparer.Ordinal).ToList();
        message = new([.. ordered.Select(one => one.Element)], string.Concat(ordered.Select((one, place) =>
            one.Element.Ai + one.Element.Value + (one.Ai.NeedsSeparator && place < ordered.Count - 1 ? Separator : ""))));
        return true;
    }

    public bool Equals(ElementString? other) => other?.Data == Data;

    public override bool Equals(object? obj) => Equals(obj as ElementString);

    public override int GetHashCode() => Data.GetHashCode(StringComparison.Ordinal);

    public override string ToString() => Bracketed;

    private static string? Fault(ApplicationIdentifier ai, string value)
    {
        var upTo = ai.Format is ElementFormat.Text or ElementFormat.DigitsUpTo;
        if (value.Length == 0 || value.Length > ai.Length || (!upTo && value.Length != ai.Length))
            return $"it has {(upTo ? "1 to " : "")}{ai.Length} characters; \"{value}\" has {value.Length}.";
        if (ai.Format == ElementFormat.Text)
        {
            var odd = value.AsSpan().IndexOfAnyExcept(Set82);
            return odd < 0 ? null : $"the character '{value[odd]}' is not in GS1's set 82.";
        }

        if (!Gtin.IsDigits(value)) return $"it has digits only; \"{value}\" has others.";
        return ai.Format switch
        {
            ElementFormat.CheckedDigits => Gtin.CheckDigitFault(value) is { } wrong ? $"the {wrong}" : null,
            ElementFormat.Date => DateFault(value),
            _ => null,
        };
    }

    /// <summary>As the reference checks <c>lint_yymmd0.c</c> of the Syntax Dictionary do it: years are of this century.</summary>
    private static string? DateFault(string value)
    {
        var (year, month, day) = (2000 + int.Parse(value[..2], CultureInfo.InvariantCulture),
            int.Parse(value[2..4], CultureInfo.InvariantCulture), int.Parse(value[4..], CultureInfo.InvariantCulture));
        if (month is < 1 or > 12) return $"{value} has no month {month}.";
        return day > DateTime.DaysInMonth(year, month) ? $"{value} has no day {day} in its month." : null;
    }

    /// <summary>What must or must not stand beside an identifier.</summary>
    private static string? Company(ApplicationIdentifier ai, string code, IReadOnlyList<Element> all)
    {
        bool Has(string wanted) => all.Any(other => other.Ai == wanted);
        var foe = all.FirstOrDefault(other =>
            other.Ai != code && ApplicationIdentifier.Find(other.Ai) is { } its && ai.NotWith.Contains(its.Code));
        if (foe is not null) return $"({code}) may not stand beside ({foe.Ai}).";
        return ai.Needs.Count == 0 || ai.Needs.Any(set => set.All(Has))
            ? null
            : $"({code}) needs {string.Join(" or ", ai.Needs.Select(set => string.Join(" with ", set.Select(one => $"({one})"))))} beside it.";
    }
}
