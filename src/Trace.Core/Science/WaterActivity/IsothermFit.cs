namespace Trace.Core.Science.WaterActivity;

/// <summary>What a fit found.</summary>
/// <param name="SumOfSquares">Of the residuals of X, (g/g)².</param>
/// <param name="ResidualDryBasis">Standard deviation of the residuals of X, g/g: the root of the sum over (pairs − constants).</param>
/// <param name="MeanRelativeError">Mean of |residual| / X, a fraction. Above about 0.1 the shape does not suit the product.</param>
public sealed record FittedModel(SorptionModel Model, double SumOfSquares, double ResidualDryBasis, double MeanRelativeError);

/// <summary>
/// Fits an isotherm to a site's own measured pairs by least squares of X, with the method of Levenberg and Marquardt.
/// </summary>
/// <remarks>Two to four constants and a dozen points: this is small enough to read whole, and it keeps the core free of packages.</remarks>
public static class IsothermFit
{
    /// <summary>g/g: nobody weighs less water, and a relative deviation from it means nothing.</summary>
    private const double LeastMoisture = 1e-6;

    private const int MostSteps = 2000;

    private static readonly double[] StartsOfC = [2, 10, 40], StartsOfK = [0.6, 0.85, 0.98], StartsOfB = [0.3, 0.6, 1.2];

    /// <summary>
    /// Least squares. BET uses the pairs below aw 0.5 alone. There must be at least one pair more than the model has constants (and at
    /// least four), or nothing would tell how good the fit is.
    /// </summary>
    /// <exception cref="ArgumentException">Too few pairs; a value out of range; water activities that do not differ; or no constants of
    /// the allowed range describe the pairs. The message names the pair, counted from 1.</exception>
    public static FittedModel Fit(SorptionModelKind kind, IReadOnlyList<SorptionPair> pairs)
    {
        ArgumentNullException.ThrowIfNull(pairs);
        var used = Usable(kind, pairs);
        var best = Starts(kind, used).Select(start => Descend(kind, used, start)).MinBy(end => end.Sum);
        if (best.Constants is null || !double.IsFinite(best.Sum) || !SorptionModel.Allows(kind, best.Constants))
            throw new ArgumentException($"No constants of {kind} describe these pairs.", nameof(pairs));
        var model = new SorptionModel(kind, best.Constants);
        var relative = used.Average(pair => Math.Abs(model.DryBasis(pair.WaterActivity) - pair.DryBasis) / pair.DryBasis);
        return new(model, best.Sum, Math.Sqrt(best.Sum / (used.Length - best.Constants.Length)), relative);
    }

    private static SorptionPair[] Usable(SorptionModelKind kind, IReadOnlyList<SorptionPair> pairs)
    {
        for (var at = 0; at < pairs.Count; at++)
        {
            var (activity, moisture) = pairs[at];
            if (!(activity > 0 && activity < 1))
                throw new ArgumentException(FormattableString.Invariant($"Pair {at + 1}: the water activity must lie between 0 and 1, not {activity}."), nameof(pairs));
            if (!(moisture >= LeastMoisture && moisture <= 20))
                throw new ArgumentException(FormattableString.Invariant($"Pair {at + 1}: the moisture, dry basis, must lie from {LeastMoisture} to 20 g/g, not {moisture}."), nameof(pairs));
        }

        var used = pairs.Where(pair => pair.WaterActivity <= SorptionModel.HighestWaterActivity(kind)).ToArray();
        var wanted = Math.Max(4, SorptionModel.CountOf(kind) + 1);
        if (used.Length < wanted || used.Select(pair => pair.WaterActivity).Distinct().Count() < wanted)
        {
            throw new ArgumentException(
                $"{kind} needs at least {wanted} pairs of different water activity"
                + (kind == SorptionModelKind.Bet ? " up to 0.5" : "") + $", there are {used.Select(pair => pair.WaterActivity).Distinct().Count()}.",
                nameof(pairs));
        }

        return used;
    }

    /// <summary>Starts of different character; the best end counts, so that a poor start does not decide.</summary>
    private static IEnumerable<double[]> Starts(SorptionModelKind kind, SorptionPair[] pairs)
    {
        var middle = pairs.OrderBy(pair => pair.DryBasis).ElementAt(pairs.Length / 2).DryBasis;
        return kind switch
        {
            SorptionModelKind.Gab => from c in StartsOfC from k in StartsOfK select new[] { middle * 0.6, c, k },
            SorptionModelKind.Bet => from c in StartsOfC select new[] { middle * 0.8, c },
            SorptionModelKind.Oswin => from b in StartsOfB select new[] { middle, b },
            _ => from low in StartsOfK from high in StartsOfC select new[] { middle, low, middle, high },
        };
    }

    /// <summary>
    /// Steps between steepest descent and Gauss–Newton; a step that leaves the allowed range or makes it worse is not taken.
    /// </summary>
    private static (double[]? Constants, double Sum) Descend(SorptionModelKind kind, SorptionPair[] pairs, double[] start)
    {
        if (!SorptionModel.Allows(kind, start)) return (null, double.PositiveInfinity);
        var (constants, sum, damping) = (start, SumOf(kind, start, pairs), 1e-3);
        for (var step = 0; step < MostSteps && damping < 1e16; step++)
        {
            var moved = NormalEquations.Step(point => Model(kind, point), constants, pairs, damping);
            var now = moved is not null && SorptionModel.Allows(kind, moved) ? SumOf(kind, moved, pairs) : double.PositiveInfinity;
            if (now < sum)
            {
                var settled = sum - now <= 1e-15 * sum;
                (constants, sum, damping) = (moved!, now, Math.Max(damping / 5, 1e-12));
                if (settled) break;
            }
            else damping *= 4;
        }

        return (constants, sum);
    }

    private static double SumOf(SorptionModelKind kind, double[] constants, SorptionPair[] pairs)
    {
        var curve = Model(kind, constants);
        return pairs.Sum(pair => Math.Pow(curve(pair.WaterActivity) - pair.DryBasis, 2));
    }

    private static Func<double, double> Model(SorptionModelKind kind, double[] constants) => new SorptionModel(kind, constants).DryBasis;
}
