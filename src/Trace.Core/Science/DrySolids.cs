namespace Trace.Core.Science;

/// <summary>
/// The mass balance of drying: only water leaves, so the dry solids going in are the dry solids coming out.
/// Moistures are fractions, wet basis (g water / g total) unless the name says dry basis (g water / g dry solids).
/// </summary>
/// <remarks>
/// Traps. Larvae lost in transfer, dripping fat and a drifting tare all read as dryness. The initial moisture is that of what
/// enters the dryer, after blanching and draining, not of the live larvae. With a book value of it the uncertainty is so
/// large that a yield can reject a batch but hardly ever release one.
/// </remarks>
public static class DrySolids
{
    /// <summary>
    /// Moisture, wet basis, of what is left: <c>1 − (massIn / massOut)(1 − M0)</c>, with first-order propagation of
    /// uncertainty (GUM, JCGM 100:2008, 5.1.2).
    /// </summary>
    /// <param name="massIn">Mass into the dryer; any unit, the same as <paramref name="massOut"/>.</param>
    /// <param name="massOut">Mass out of the dryer, above zero and not above <paramref name="massIn"/>.</param>
    /// <param name="initialMoisture">Between 0 and 1, wet basis.</param>
    /// <param name="massInUncertainty">Standard uncertainty in the unit of the masses; so is <paramref name="massOutUncertainty"/>.</param>
    /// <returns>A negative value is returned as it is. It says that the inputs contradict each other (or that solids were lost);
    /// never clamp it to zero and call the batch dry.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An input, or the result, is not finite or lies outside the domain above.</exception>
    public static Estimate FinalMoisture(
        double massIn, double massOut, Estimate initialMoisture, double massInUncertainty, double massOutUncertainty)
    {
        Domain.Positive(massIn);
        Domain.Positive(massOut);
        if (massOut > massIn) throw new ArgumentOutOfRangeException(nameof(massOut), massOut, "Drying cannot add mass.");
        var moisture = Domain.Between(initialMoisture.Value, 0, 1, nameof(initialMoisture));
        var moistureUncertainty = Domain.NotNegative(initialMoisture.Uncertainty, nameof(initialMoisture));
        Domain.NotNegative(massInUncertainty);
        Domain.NotNegative(massOutUncertainty);

        var ratio = massIn / massOut;
        var solids = 1 - moisture;
        var uncertainty = RootSumOfSquares(
            ratio * moistureUncertainty,
            solids / massOut * massInUncertainty,
            solids * ratio / massOut * massOutUncertainty);
        return new(Domain.Finite(1 - ratio * solids, nameof(massOut)), Domain.Finite(uncertainty, nameof(massOut)));
    }

    /// <summary>Standard uncertainty of one reading of a display with the given division: <c>d / √12</c> (GUM F.2.2.1).</summary>
    /// <remarks>Resolution only. Calibration and tare are added in quadrature.</remarks>
    public static double ResolutionUncertainty(double division) => Domain.NotNegative(division) / Math.Sqrt(12);

    /// <summary>Standard uncertainty of a value known only to lie from low to high: <c>(high − low) / √12</c> (GUM 4.3.7).</summary>
    public static double RangeUncertainty(double low, double high)
    {
        Domain.Finite(low);
        Domain.Finite(high);
        return Domain.NotNegative(high - low, nameof(high)) / Math.Sqrt(12);
    }

    /// <summary>Moisture, wet basis, of a mixture, weighted by mass. The plain mean of percentages is wrong for unequal parts.</summary>
    /// <param name="parts">Masses in one unit, none negative, not all zero; moistures from 0 to 1.</param>
    public static double MixMoisture(IEnumerable<(double Mass, double Moisture)> parts)
    {
        ArgumentNullException.ThrowIfNull(parts);
        double total = 0, water = 0;
        foreach (var (mass, moisture) in parts)
        {
            Domain.NotNegative(mass, nameof(parts));
            total += mass;
            water += mass * Domain.Within(moisture, 0, 1, nameof(parts));
        }

        return water / Domain.Positive(total, nameof(parts));
    }

    /// <summary>g water / g dry solids from g water / g total: <c>M / (1 − M)</c>, for <c>0 ≤ M &lt; 1</c>.</summary>
    public static double WetToDryBasis(double m)
    {
        if (m != 0) Domain.Between(m, 0, 1);
        return m / (1 - m);
    }

    /// <summary>g water / g total from g water / g dry solids: <c>X / (1 + X)</c>, for <c>X ≥ 0</c>.</summary>
    public static double DryToWetBasis(double x) => Domain.NotNegative(x) / (1 + x);

    /// <summary>
    /// The largest yield (mass out / mass in) at which the moisture limit is met: <c>(1 − M0) / (1 − limit)</c>, at most 1,
    /// because larvae that enter drier than the limit need lose nothing.
    /// </summary>
    /// <param name="initialMoisture">Between 0 and 1, wet basis.</param>
    /// <param name="moistureLimit">From 0 to below 1, wet basis.</param>
    public static double LargestYield(double initialMoisture, double moistureLimit)
    {
        Domain.Between(initialMoisture, 0, 1);
        if (moistureLimit != 0) Domain.Between(moistureLimit, 0, 1);
        return Math.Min(1, (1 - initialMoisture) / (1 - moistureLimit));
    }

    private static double RootSumOfSquares(double a, double b, double c) => Math.Sqrt(a * a + b * b + c * c);
}
