namespace Trace.Core.Science.Keeping;

/// <summary>One reason why a product stops being good, with the time that a model or a test gives it.</summary>
/// <param name="Name">For people, such as "moisture through the pouch".</param>
/// <param name="Days">Above zero; null: this reason never ends its life in the storage assumed.</param>
/// <param name="RelativeUncertainty">Standard uncertainty over value, 0 to 1.</param>
/// <param name="SafetyFactor">What share of the time is claimed, above 0, at most 1.</param>
/// <param name="Weakest">The input that contributes most to the uncertainty.</param>
public sealed record KeepingModel(string Name, double? Days, double RelativeUncertainty, double SafetyFactor, string Weakest);

/// <summary>What the models together allow.</summary>
/// <param name="Days">Whole days that may be claimed, rounded down; null: none of the models limits it, so only the ceiling does.</param>
/// <param name="LeastDays">At the lower end of the range (value − 1.645 u), before the safety factor.</param>
/// <param name="MostDays">At the upper end.</param>
/// <param name="Limiting">The model that decides.</param>
public sealed record KeepingVerdict(int? Days, double? LeastDays, double? MostDays, KeepingModel? Limiting);

/// <summary>
/// The keeping time that models allow: the least of each model's days times its safety factor, in whole days. The models may only shorten
/// what the ceiling of months allows; they never lengthen it.
/// </summary>
public static class KeepingTime
{
    /// <summary>Share of a modelled time that is claimed where nobody decided otherwise. Common practice, no source.</summary>
    public const double UsualSafetyFactor = 0.7;

    /// <exception cref="ArgumentException">No model at all: then a person has to justify a date; a ceiling is not evidence.</exception>
    /// <exception cref="ArgumentOutOfRangeException">A number of a model is out of range.</exception>
    public static KeepingVerdict Judge(IReadOnlyList<KeepingModel> models)
    {
        ArgumentNullException.ThrowIfNull(models);
        if (models.Count == 0) throw new ArgumentException("Without a model there is nothing to judge.", nameof(models));
        foreach (var model in models)
        {
            if (model.Days is { } days) Domain.Positive(days, nameof(models));
            Domain.Within(model.RelativeUncertainty, 0, 1, nameof(models));
            Domain.Positive(model.SafetyFactor, nameof(models));
            Domain.Within(model.SafetyFactor, 0, 1, nameof(models));
        }

        var limiting = models.Where(model => model.Days is not null).MinBy(model => model.Days * model.SafetyFactor);
        if (limiting?.Days is not { } least) return new(null, null, null, null);

        // Centuries are no claim: the number only has to stay above every ceiling.
        var claimed = (int)Math.Min(100_000, Math.Floor(least * limiting.SafetyFactor));
        var spread = Estimate.GuardFactor * limiting.RelativeUncertainty;
        return new(claimed, least * Math.Max(0, 1 - spread), least * (1 + spread), limiting);
    }
}
