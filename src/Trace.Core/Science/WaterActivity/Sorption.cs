namespace Trace.Core.Science.WaterActivity;

/// <summary>
/// Sorption isotherms: moisture X, dry basis (g water / g dry solids), of a product in balance with air of water activity aw (0 to 1).
/// GAB, BET (GAB with K = 1), Oswin and Peleg, with the inverse in closed form where there is one.
/// </summary>
/// <remarks>
/// Usable ranges: GAB about aw 0.05 to 0.93 (recommendation of COST 90; read in a copy), BET below 0.5, Oswin and Peleg where they
/// were fitted. Traps: a wet-basis moisture put into a dry-basis isotherm; water activity in percent; one isotherm for whole, ground and
/// defatted larvae; a curve of another temperature. No published constants for black soldier fly larvae could be read, so none stand here:
/// a site fits its own measured pairs.
/// </remarks>
public static class Sorption
{
    /// <summary>Guggenheim–Anderson–de Boer: <c>X = m0·C·K·aw / [(1 − K·aw)(1 − K·aw + C·K·aw)]</c>.</summary>
    /// <param name="waterActivity">0 to 1; K·aw must stay below 1.</param>
    /// <param name="monolayer">m0, dry basis, above zero.</param>
    /// <param name="c">Above zero.</param>
    /// <param name="k">Above zero, at most 1.</param>
    /// <exception cref="ArgumentOutOfRangeException">An input is not finite or outside its range.</exception>
    public static double Gab(double waterActivity, double monolayer, double c, double k)
    {
        Domain.Within(waterActivity, 0, 1);
        RequireGab(monolayer, c, k);
        var reached = k * waterActivity;
        if (reached >= 1) throw new ArgumentOutOfRangeException(nameof(waterActivity), waterActivity, "K·aw must stay below 1.");
        return monolayer * c * reached / ((1 - reached) * (1 - reached + c * reached));
    }

    /// <summary>The water activity at which <see cref="Gab"/> gives this moisture: the root in [0, min(1, 1/K)) of a quadratic.</summary>
    /// <param name="dryBasis">X, not negative, and not above the moisture that the model gives at aw 1.</param>
    public static double GabWaterActivity(double dryBasis, double monolayer, double c, double k)
    {
        Domain.NotNegative(dryBasis);
        RequireGab(monolayer, c, k);
        if (dryBasis == 0) return 0;

        // With a = K·aw: (1 − C)·a² + (C − 2 − C·m0/X)·a + 1 = 0, divided such that no term overflows.
        var square = 1 - c;
        var linear = c - 2 - c * monolayer / dryBasis;
        double reached;
        if (Math.Abs(square) < 1e-12) reached = -1 / linear;
        else
        {
            // −q has the sign of the linear term, so the sum does not cancel; one root is q / square, the other 1 / q.
            var root = Math.Sqrt(linear * linear - 4 * square);
            var q = -(linear + Math.CopySign(root, linear)) / 2;
            reached = Smallest(q / square, 1 / q);
        }

        var activity = reached / k;
        return activity <= 1 && reached < 1
            ? activity
            : throw new ArgumentOutOfRangeException(nameof(dryBasis), dryBasis, "The model gives this moisture at no water activity up to 1.");
    }

    /// <summary>Water activity at the monolayer moisture: <c>1 / (K(1 + √C))</c>. Fat oxidises faster again below it.</summary>
    public static double MonolayerWaterActivity(double c, double k) =>
        Domain.Answer(1 / (Domain.Positive(k) * (1 + Math.Sqrt(Domain.Positive(c)))), nameof(k));

    /// <summary>Oswin: <c>X = A·(aw / (1 − aw))^B</c>; aw below 1.</summary>
    public static double Oswin(double waterActivity, double a, double b)
    {
        if (waterActivity != 0) Domain.Between(waterActivity, 0, 1);
        return Domain.Finite(Domain.Positive(a) * Math.Pow(waterActivity / (1 - waterActivity), Domain.Positive(b)), nameof(b));
    }

    /// <summary>The inverse of <see cref="Oswin"/>, in closed form.</summary>
    public static double OswinWaterActivity(double dryBasis, double a, double b)
    {
        var odds = Math.Pow(Domain.NotNegative(dryBasis) / Domain.Positive(a), 1 / Domain.Positive(b));
        return double.IsPositiveInfinity(odds) ? 1 : odds / (1 + odds);
    }

    /// <summary>Peleg: <c>X = k1·aw^n1 + k2·aw^n2</c>; all four above zero. An empirical curve without a monolayer.</summary>
    public static double Peleg(double waterActivity, double k1, double n1, double k2, double n2)
    {
        Domain.Within(waterActivity, 0, 1);
        return Domain.Finite(
            Domain.Positive(k1) * Math.Pow(waterActivity, Domain.Positive(n1))
            + Domain.Positive(k2) * Math.Pow(waterActivity, Domain.Positive(n2)),
            nameof(k1));
    }

    /// <summary>The inverse of <see cref="Peleg"/>: there is no closed form, so by halving, to the last bit but a few.</summary>
    public static double PelegWaterActivity(double dryBasis, double k1, double n1, double k2, double n2)
    {
        Domain.NotNegative(dryBasis);
        if (dryBasis > Peleg(1, k1, n1, k2, n2))
            throw new ArgumentOutOfRangeException(nameof(dryBasis), dryBasis, "The model gives this moisture at no water activity up to 1.");
        double low = 0, high = 1;
        for (var step = 0; step < 60; step++)
        {
            var middle = (low + high) / 2;
            if (Peleg(middle, k1, n1, k2, n2) < dryBasis) low = middle;
            else high = middle;
        }

        return (low + high) / 2;
    }

    private static void RequireGab(double monolayer, double c, double k)
    {
        Domain.Positive(monolayer);
        Domain.Positive(c);
        Domain.Positive(k);
        Domain.Within(k, 0, 1);
    }

    /// <summary>The smallest root above zero. For C &gt; 1 only one is.</summary>
    private static double Smallest(double one, double other) =>
        one <= 0 ? other : other <= 0 ? one : Math.Min(one, other);
}
