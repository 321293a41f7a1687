using FluentValidation;
using Trace.Core.Lots;
using Trace.Core.Units;

namespace Trace.Web.Validation;

/// <summary>Rules that many fields share. Each message says what is wrong with the value and what is allowed.</summary>
internal static class FieldRules
{
    /// <summary>A line of text: not blank, no control characters, at most so long.</summary>
    internal static IRuleBuilderOptions<T, string?> Line<T>(this IRuleBuilder<T, string?> rule, int longest = 200) => rule
        .Must(text => text is null || (text.Trim().Length > 0 && text.Length <= longest && !text.Any(Unprintable)))
        .WithMessage(text => $"a text of 1 to {longest} characters on one line is wanted.");

    /// <summary>Text that may have several lines.</summary>
    internal static IRuleBuilderOptions<T, string?> Paragraph<T>(this IRuleBuilder<T, string?> rule, int longest) => rule
        .Must(text => text is null
            || (text.Trim().Length > 0 && text.Length <= longest
                && !text.Any(one => Unprintable(one) && one is not ('\n' or '\r' or '\t'))))
        .WithMessage($"a text of 1 to {longest} characters is wanted.");

    /// <summary>A name by which things are found again: a line without blanks around it, or the same customer would be two.</summary>
    internal static IRuleBuilderOptions<T, string?> Name<T>(this IRuleBuilder<T, string?> rule) => rule.Line()
        .Must(text => text is null || text == text.Trim()).WithMessage("a name without blanks around it is wanted.");

    internal static IRuleBuilderOptions<T, string> LotCodeText<T>(this IRuleBuilder<T, string> rule) => rule
        .Must(LotCode.IsValid)
        .WithMessage($"a code has {LotCode.Rule}.");

    /// <summary>Grams: above 0, at most ten tonnes, at most three decimals.</summary>
    internal static IRuleBuilderOptions<T, decimal> Grams<T>(this IRuleBuilder<T, decimal> rule) => rule
        .GreaterThan(0m).WithMessage("a mass above 0 g is wanted; {PropertyValue} was given.")
        .LessThanOrEqualTo(Mass.LargestGrams).WithMessage("{PropertyValue} g is more than ten tonnes: is the unit right? Masses are in grams.")
        .Must(Mass.IsWholeMilligrams).WithMessage("a mass has at most three decimals of a gram; {PropertyValue} has more.");

    /// <summary>A temperature in °C that can occur in a plant. Not finite numbers, such as 1e999, are refused too.</summary>
    internal static IRuleBuilderOptions<T, double> Celsius<T>(this IRuleBuilder<T, double> rule, double low = -40, double high = 200) =>
        rule
        .Must(value => double.IsFinite(value) && value >= low && value <= high)
        .WithMessage($"a temperature from {low} to {high} °C is wanted; {{PropertyValue}} was given.");

    internal static IRuleBuilderOptions<T,
    double> Between<T>(this IRuleBuilder<T, double> rule, double low, double high, string unit) => rule
        .Must(value => double.IsFinite(value) && value >= low && value <= high)
        .WithMessage($"a number from {low} to {high} {unit} is wanted; {{PropertyValue}} was given.");

    internal static IRuleBuilderOptions<T, int> Between<T>(this IRuleBuilder<T, int> rule, int low, int high, string unit) => rule
        .InclusiveBetween(low, high)
        .WithMessage($"a whole number from {low} to {high} {unit} is wanted; {{PropertyValue}} was given.");

    internal static IRuleBuilderOptions<T, DateTimeOffset> Time<T>(this IRuleBuilder<T, DateTimeOffset> rule) => rule
        .Must(time => time.Year is >= 2000 and <= 2200)
        .WithMessage("a time after the year 2000 is wanted; {PropertyValue} was given.");

    internal static IRuleBuilderOptions<T, IReadOnlyList<TItem>> Items<T,
    TItem>(this IRuleBuilder<T, IReadOnlyList<TItem>> rule, int most) => rule
        .Must(list => list.Count >= 1 && list.Count <= most)
        .WithMessage($"1 to {most} items are wanted.");

    private static bool Unprintable(char character) => char.IsControl(character) || character is '\u2028' or '\u2029';
}
