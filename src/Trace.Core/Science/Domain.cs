using System.Runtime.CompilerServices;

namespace Trace.Core.Science;

/// <summary>
/// Guards at the door of every formula. Comparisons with NaN are all false, so a missing number could otherwise slip
/// through a limit as "not above it"; here it throws <see cref="ArgumentOutOfRangeException"/> instead.
/// </summary>
internal static class Domain
{
    public static double Finite(double value, [CallerArgumentExpression(nameof(value))] string? name = null) =>
        double.IsFinite(value) ? value : throw new ArgumentOutOfRangeException(name, value, "The value must be a finite number.");

    /// <summary>Both ends belong to the range.</summary>
    public static double Within(double value, double low, double high, [CallerArgumentExpression(nameof(value))] string? name = null) =>
        Finite(value, name) >= low && value <= high
            ? value
            : throw new ArgumentOutOfRangeException(name, value, FormattableString.Invariant($"The value must lie from {low} to {high}."));

    /// <summary>Neither end belongs to the range.</summary>
    public static double Between(double value, double low, double high, [CallerArgumentExpression(nameof(value))] string? name = null) =>
        Finite(value, name) > low && value < high
            ? value
            : throw new ArgumentOutOfRangeException(
                name, value, FormattableString.Invariant($"The value must lie between {low} and {high}, ends excluded."));

    public static double Positive(double value, [CallerArgumentExpression(nameof(value))] string? name = null) =>
        Finite(value, name) > 0 ? value : throw new ArgumentOutOfRangeException(name, value, "The value must be above zero.");

    /// <summary>For a result: values that are each in range can still lie too far apart to compute with.</summary>
    /// <param name="name">The parameter that the reader should look at first.</param>
    public static double Answer(double value, string name) =>
        double.IsFinite(value) ? value : throw new ArgumentOutOfRangeException(name, "The values lie too far apart: there is no finite answer.");

    public static double NotNegative(double value, [CallerArgumentExpression(nameof(value))] string? name = null) =>
        Finite(value, name) >= 0 ? value : throw new ArgumentOutOfRangeException(name, value, "The value must not be negative.");
}
