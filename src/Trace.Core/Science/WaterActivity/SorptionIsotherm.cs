namespace Trace.Core.Science.WaterActivity;

/// <summary>
/// A site's own isotherm of one product: fitted, dated, of one temperature and branch. It answers only between the lowest and the highest
/// water activity that was measured.
/// </summary>
/// <param name="MeasuredOn">Day of the measurements, in the site's zone. Old curves of a product that changed mislead.</param>
/// <param name="MoistureUncertainty">Standard uncertainty of one X of the pairs, g/g; the fit's own scatter if that is larger.</param>
public sealed record SorptionIsotherm(
    FittedModel Fit, SorptionBranch Branch, double TemperatureCelsius, double LowestWaterActivity, double HighestWaterActivity,
    DateOnly MeasuredOn, double MoistureUncertainty = 0)
{
    /// <summary>Fits the pairs. The range of the answers is that of the pairs that the model uses.</summary>
    /// <exception cref="ArgumentException">See <see cref="IsothermFit.Fit"/>; or a temperature outside 0 °C to 60 °C.</exception>
    public static SorptionIsotherm Through(
        SorptionModelKind kind, IReadOnlyList<SorptionPair> pairs, SorptionBranch branch, double temperatureCelsius, DateOnly measuredOn,
        double moistureUncertainty = 0)
    {
        Domain.Within(temperatureCelsius, 0, 60);
        Domain.NotNegative(moistureUncertainty);
        if (branch is not (SorptionBranch.Adsorption or SorptionBranch.Desorption))
            throw new ArgumentOutOfRangeException(nameof(branch), branch, "Say whether the samples were dried (desorption) or moistened (adsorption).");
        var fit = IsothermFit.Fit(kind, pairs);
        var activities = pairs.Select(pair => pair.WaterActivity)
            .Where(activity => activity <= SorptionModel.HighestWaterActivity(kind)).ToList();
        return new(fit, branch, temperatureCelsius, activities.Min(), activities.Max(), measuredOn, moistureUncertainty);
    }

    /// <summary>
    /// Moisture, dry basis, at this water activity, with the uncertainty of the curve. The largest moisture for a water-activity limit is
    /// this value less the guard.
    /// </summary>
    /// <exception cref="ArgumentOutOfRangeException">Outside the measured range: the curve is not extended.</exception>
    public Estimate DryBasis(double waterActivity)
    {
        Domain.Within(waterActivity, LowestWaterActivity, HighestWaterActivity);
        return new(Fit.Model.DryBasis(waterActivity), CurveUncertainty);
    }

    /// <summary>
    /// Water activity at this moisture, dry basis, at <see cref="TemperatureCelsius"/>. Uncertainty: that of the moisture and of the curve,
    /// over the slope dX/daw.
    /// </summary>
    /// <exception cref="ArgumentOutOfRangeException">The moisture is not finite, or its water activity lies outside the measured range.</exception>
    public Estimate WaterActivity(Estimate dryBasis)
    {
        Domain.NotNegative(dryBasis.Uncertainty, nameof(dryBasis));
        Domain.Within(dryBasis.Value, Fit.Model.DryBasis(LowestWaterActivity), Fit.Model.DryBasis(HighestWaterActivity), nameof(dryBasis));
        var activity = Fit.Model.WaterActivity(dryBasis.Value);
        return new(activity, double.Hypot(dryBasis.Uncertainty, CurveUncertainty) / Slope(activity));
    }

    /// <summary>Whether a moisture, dry basis, lies in what was measured.</summary>
    public bool Reaches(double dryBasis) =>
        dryBasis >= Fit.Model.DryBasis(LowestWaterActivity) && dryBasis <= Fit.Model.DryBasis(HighestWaterActivity);

    /// <summary>What every answer of the curve has to say of itself.</summary>
    public string Statement => FormattableString.Invariant(
        $"{Named(Fit.Model.Kind)} through own pairs of {MeasuredOn:yyyy-MM-dd}, {BranchWord} at {TemperatureCelsius:0.#} °C, aw {LowestWaterActivity:0.00##} to {HighestWaterActivity:0.00##}")
        + (Branch == SorptionBranch.Adsorption ? "; errs on the safe side for freshly dried larvae" : "; for freshly dried larvae, not for such that took up moisture again");

    /// <summary>As papers write it.</summary>
    private static string Named(SorptionModelKind kind) =>
        kind is SorptionModelKind.Gab or SorptionModelKind.Bet ? kind.ToString().ToUpperInvariant() : kind.ToString();

    private string BranchWord => Branch == SorptionBranch.Adsorption ? "adsorption" : "desorption";

    private double CurveUncertainty => Math.Max(Fit.ResidualDryBasis, MoistureUncertainty);

    /// <summary>dX/daw by central difference, at the ends one-sided.</summary>
    private double Slope(double activity)
    {
        const double Step = 1e-5;
        var (low, high) = (Math.Max(LowestWaterActivity, activity - Step), Math.Min(HighestWaterActivity, activity + Step));
        return Domain.Positive((Fit.Model.DryBasis(high) - Fit.Model.DryBasis(low)) / (high - low), nameof(activity));
    }
}
