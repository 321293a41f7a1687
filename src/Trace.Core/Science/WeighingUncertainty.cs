namespace Trace.Core.Science;

/// <summary>
/// Standard uncertainty of a sum or difference of weighings. Each may be off by the tolerance either way, every error within it as likely
/// as any other: u² = a² ÷ 3 (JCGM 100:2008, 4.3.7, from memory). Independent weighings add in squares (5.1.2).
/// </summary>
public static class WeighingUncertainty
{
    /// <param name="toleranceGrams">Half width of the error of one weighing, grams, 0 or more.</param>
    /// <param name="weighings">How many weighings the sum has, 0 or more.</param>
    /// <returns>Grams; not a number for a tolerance or a count that is none.</returns>
    public static double OfSum(double toleranceGrams, int weighings) =>
        double.IsFinite(toleranceGrams) && toleranceGrams >= 0 && weighings >= 0
            ? toleranceGrams / Math.Sqrt(3) * Math.Sqrt(weighings)
            : double.NaN;
}
