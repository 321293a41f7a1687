namespace Trace.Core.Science.Charts;

/// <summary>One weighted mean with its limits at that place.</summary>
/// <param name="Signals">Strictly outside the limits.</param>
public readonly record struct EwmaPoint(double Value, double Lower, double Upper, bool Signals);

/// <summary>
/// Exponentially weighted moving average, for slow drifts: <c>z = λx + (1 − λ)z</c> from the target on, with the limits that hold at each
/// place, <c>target ± L σ √(λ/(2−λ) · (1 − (1−λ)^2i))</c> (NIST/SEMATECH e-Handbook 6.3.2.4, which draws their end value).
/// </summary>
public static class Ewma
{
    /// <summary>Starts anew at each break. Does not forget a signal: it falls back only as the values do.</summary>
    /// <param name="values">Finite; may be empty.</param>
    /// <param name="sigma">Standard deviation of single values, above zero.</param>
    /// <param name="lambda">Weight of the newest value: above 0, at most 1; 0.2 to 0.3 is usual.</param>
    /// <param name="width">L, above zero; usually 3.</param>
    public static IReadOnlyList<EwmaPoint> Run(
        IReadOnlyList<double> values, IReadOnlyList<int> breaks, double target, double sigma, double lambda = 0.2, double width = 3)
    {
        SeriesGuard.Values(values, 0);
        Domain.Finite(target);
        Domain.Positive(sigma);
        Domain.Positive(lambda);
        Domain.Within(lambda, 0, 1);
        Domain.Positive(width);
        var starts = SeriesGuard.Starts(values.Count, breaks);
        var points = new EwmaPoint[values.Count];
        double mean = target, faded = 1;
        for (var place = 0; place < points.Length; place++)
        {
            if (starts[place]) (mean, faded) = (target, 1);
            mean = lambda * values[place] + (1 - lambda) * mean;
            faded *= (1 - lambda) * (1 - lambda);
            var half = width * sigma * Math.Sqrt(lambda / (2 - lambda) * (1 - faded));
            var (lower, upper) = (Domain.Finite(target - half, nameof(sigma)), Domain.Finite(target + half, nameof(sigma)));
            points[place] = new(mean, lower, upper, mean < lower || mean > upper);
        }

        return points;
    }
}
