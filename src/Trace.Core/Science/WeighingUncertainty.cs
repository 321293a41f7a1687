namespace Trace.Core.Science;

/// <summary>
/// Standard uncertainty of a sum or difference of weighings. Each may be off by the tolerance either way, every error within it as likely
/// as any other: u² = a² ÷ 3 (JCGM 100:2008, 4.3.7, from memory). Independent weighings add in squares (5.1.2).
/// </summary>
public static class WeighingUncertainty
{
    /// <param name="toleranceGrams">Half width of the error of one weighing, grams, finite, 0 or more.</param>
    /// <param name="weighings">How many weighings the sum has, 0 or more.</param>
    /// <returns>Grams.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A tolerance or a count that is none, or no finite answer.</exception>
    public static double OfSum(double toleranceGrams, int weighings)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(weighings);
        return Domain.Answer(Domain.NotNegative(toleranceGrams) / Math.Sqrt(3) * Math.Sqrt(weighings), nameof(toleranceGrams));
    }
}
