namespace Trace.Core.Science;

/// <summary>The standard normal distribution, upper tail, by the continued fraction and the series of Abramowitz and Stegun 26.2.</summary>
public static class Normal
{
    /// <summary>Probability of more than z. Relative error below 1e-12 to z = 30.</summary>
    public static double Above(double z)
    {
        Domain.Finite(z);
        if (z < 0) return 1 - Above(-z);
        if (z > 38) return 0;
        var density = Math.Exp(-z * z / 2) / Math.Sqrt(2 * Math.PI);
        if (z < 3)
        {
            // 26.2.11: 1/2 − φ(z)·(z + z³/3 + z⁵/(3·5) + …)
            double term = z, sum = z;
            for (var odd = 3; term > 1e-17 * sum && odd < 400; odd += 2) sum += term *= z * z / odd;
            return 0.5 - density * sum;
        }

        // 26.2.14: φ(z)·1/(z + 1/(z + 2/(z + 3/(z + …
        double below = z;
        for (var n = 200; n >= 1; n--) below = z + n / below;
        return density / below;
    }
}
