using System.Globalization;

namespace Trace.Core.Science;

/// <summary>How a laboratory gave the number. No kind is zero, so that a value nobody filled in cannot pass for "0 found".</summary>
public enum SampleValueKind
{
    Exact = 1,

    /// <summary>Less than the number: below the limit of detection or of quantification.</summary>
    Below = 2,

    /// <summary>More than the number: too many to count.</summary>
    Above = 3,
}

/// <summary>
/// The result of one sample unit, possibly censored. The unit (such as CFU/g) is the plan's. Not negative.
/// The default value is no result; <see cref="AcceptanceSampling"/> refuses it. Equality is by number and kind.
/// </summary>
public readonly record struct SampleValue(double Value, SampleValueKind Kind)
{
    private const NumberStyles Styles =
        NumberStyles.AllowDecimalPoint | NumberStyles.AllowExponent | NumberStyles.AllowLeadingWhite | NumberStyles.AllowTrailingWhite;

    public bool IsValid => double.IsFinite(Value) && Kind switch
    {
        SampleValueKind.Exact or SampleValueKind.Above => Value >= 0,
        SampleValueKind.Below => Value > 0,
        _ => false,
    };

    /// <summary>
    /// Reads <c>12</c>, <c>1.2e3</c>, <c>&lt;10</c> and <c>&gt;300</c>; spaces are ignored. Refuses signs, NaN, infinity, nothing and
    /// the comma, which is a decimal sign in one country and parts thousands in the next.
    /// </summary>
    public static bool TryParse(string text, out SampleValue value)
    {
        value = default;
        if (text is null) return false;
        var rest = text.AsSpan().Trim();
        var kind = SampleValueKind.Exact;
        if (rest is ['<' or '>', ..])
        {
            kind = rest[0] == '<' ? SampleValueKind.Below : SampleValueKind.Above;
            rest = rest[1..];
        }

        if (!double.TryParse(rest, Styles, CultureInfo.InvariantCulture, out var number)) return false;
        var parsed = new SampleValue(number, kind);
        if (!parsed.IsValid) return false;
        value = parsed;
        return true;
    }

    /// <summary>As a laboratory writes it, such as <c>&lt;10</c>; <see cref="TryParse"/> reads it back.</summary>
    public override string ToString() =>
        (Kind == SampleValueKind.Below ? "<" : Kind == SampleValueKind.Above ? ">" : "") + Value.ToString(CultureInfo.InvariantCulture);
}
