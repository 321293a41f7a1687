namespace Trace.Core.Science.NetQuantity;

/// <summary>
/// Student's t distribution for a whole number of degrees of freedom, by the finite series of Abramowitz and Stegun, 26.7.3 and 26.7.4:
/// no approximation, and no table to copy wrongly.
/// </summary>
public static class StudentT
{
    public const int MostDegrees = 1000;

    /// <summary>The value that t stays below with this probability.</summary>
    /// <param name="probability">From 0.001 to 0.999. One-sided: 0.995 leaves 0.5 % above.</param>
    /// <param name="degrees">Degrees of freedom, 1 to 1000.</param>
    /// <exception cref="ArgumentOutOfRangeException">The probability or the degrees lie beside their range.</exception>
    public static double Quantile(double probability, int degrees)
    {
        Domain.Within(probability, 0.001, 0.999);
        PackMass.Within(degrees, 1, MostDegrees);
        if (probability == 0.5) return 0;
        var inside = Math.Abs(2 * probability - 1);

        // Halving the angle's range: the series rises steadily with it, so this ends at the last bit.
        var (low, high) = (0.0, Math.PI / 2);
        while (true)
        {
            var middle = low + (high - low) / 2;
            if (middle == low || middle == high) break;
            if (Between(middle, degrees) < inside) low = middle;
            else high = middle;
        }

        return Math.Sign(probability - 0.5) * Math.Sqrt(degrees) * Math.Tan(low);
    }

    /// <summary>Half-width of a confidence interval in standard deviations of the sample: t ÷ √n.</summary>
    /// <param name="count">Size of the sample, 2 to 1001.</param>
    public static double Factor(double probability, int count) =>
        Quantile(probability, PackMass.Within(count, 2, MostDegrees + 1) - 1) / Math.Sqrt(count);

    /// <summary>Probability that |t| is at most √degrees · tan(angle).</summary>
    private static double Between(double angle, int degrees)
    {
        var (sine, cosine) = Math.SinCos(angle);
        var isOdd = degrees % 2 == 1;
        if (degrees == 1) return 2 * angle / Math.PI;
        var term = isOdd ? cosine : 1;
        var sum = term;
        for (var step = isOdd ? 3 : 2; step <= degrees - 2; step += 2)
        {
            term *= cosine * cosine * (step - 1) / step;
            sum += term;
        }

        return isOdd ? 2 / Math.PI * (angle + sine * sum) : sine * sum;
    }
}
