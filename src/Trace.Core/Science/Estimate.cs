namespace Trace.Core.Science;

/// <summary>
/// A measured or computed value with its standard uncertainty (k = 1), both in the unit of the quantity.
/// The default value is zero without uncertainty. The record does not judge its numbers; the functions that take one do.
/// </summary>
/// <param name="Uncertainty">Standard uncertainty as in the GUM (JCGM 100:2008), not an expanded one: never negative.</param>
public readonly record struct Estimate(double Value, double Uncertainty)
{
    /// <summary>
    /// One-sided 95 % point of the normal distribution. A limit is met only if <see cref="Upper"/> meets it
    /// (guard band in the manner of JCGM 106:2012), so that doubt counts against the lot.
    /// </summary>
    public const double GuardFactor = 1.645;

    public double Upper => Value + GuardFactor * Uncertainty;

    public double Lower => Value - GuardFactor * Uncertainty;
}
