using System.Globalization;
using Trace.Core.Specifications;

namespace Trace.Web.Pages.Products;

/// <summary>A limit in plain words.</summary>
/// <param name="Value">With its unit.</param>
/// <param name="Note">Where the default comes from, or what it is for.</param>
internal sealed record LimitWords(string What, string Value, string Note = "");

/// <summary>A product's specification in the words of the plant.</summary>
internal static class SpecificationWords
{
    internal static IEnumerable<(string Title, IReadOnlyList<LimitWords> Limits)> Of(ProductSpecification specification)
    {
        yield return ("Sanitising", Sanitising(specification.Sanitising));
        yield return ("Dryness", Dryness(specification.Drying));
        yield return ("Cooling", Cooling(specification.Cooling));
        yield return ("Handling", Handling(specification.Handling));
        yield return ("Label and keeping", Label(specification.Label));
    }

    internal static string Number(double value, string form = "0.####") => value.ToString(form, CultureInfo.InvariantCulture);

    internal static string Percent(double share) => $"{Number(share * 100, "0.#")} %";

    /// <summary>When one unit is over M; the laws differ.</summary>
    internal static string Comparison(AwaitedTest test)
    {
        var limit = $"{Number(test.UpperLimit)} {test.Unit}";
        return (test.AtLeast, test.UpperLimit) switch
        {
            (_, 0) => $"A unit is bad when anything is found ({limit} allowed).",
            (true, _) => $"A unit of {limit} or more is bad (≥ M: so feed law words it).",
            _ => $"A unit of more than {limit} is bad (> M: so food law words it); {limit} itself is not.",
        };
    }

    internal static string Plan(AwaitedTest test) => test.LowerLimit == test.UpperLimit
        ? $"{test.N} units, at most {test.C} of them bad (two-class)."
        : $"{test.N} units, none bad, and at most {test.C} above m = {Number(test.LowerLimit)} {test.Unit} (three-class).";

    private static List<LimitWords> Sanitising(SanitisingLimits limits) =>
    [
        new("Heat at the coldest core", $"at least {Number(limits.LethalityMinutes)} min at {Number(limits.ReferenceCelsius)} °C", "Default 2 min at 70 °C: benchmark quoted in New Zealand MPI Technical Paper 2016/05"),
        new("Ten times faster kill (z)", $"every {Number(limits.ZKelvin)} K", "Default from memory"),
        new("Counted", $"from {Number(limits.CountFromCelsius)} °C, credited as {Number(limits.CreditToCelsius)} °C at most", "Defaults are an engineering choice"),
        new("Longest gap between readings", $"{limits.LargestReadingGapSeconds} s"),
        new("Uncertainty of the core probe", limits.ProbeUncertaintyKelvin > 0 ? $"{Number(limits.ProbeUncertaintyKelvin)} K: every reading counts {Number(1.645 * limits.ProbeUncertaintyKelvin, "0.##")} K lower" : "none stated, so readings count as they are"),
        new("Decimal reduction time (D)", limits.DecimalReductionMinutes is { } d ? $"{Number(d)} min at {Number(limits.ReferenceCelsius)} °C: log reductions are shown, and release nothing" : "none stated, so no log reductions are shown"),
        new("Mass gained in the bath", $"at most {Percent(limits.LargestMassGainFraction)}", "Common practice, no source"),
    ];

    private static List<LimitWords> Dryness(DryingLimits limits) =>
    [
        new("Yield of the fresh mass", $"{Number(limits.YieldLowPercent)} to {Number(limits.YieldHighPercent)} %", "Common practice, no source; can reject a batch, never release one"),
        new("Moisture of fresh larvae, book value", $"{Percent(limits.FreshMoistureFraction)}, standard uncertainty {Percent(limits.FreshMoistureUncertainty)}", "Default: middle of 60 to 75 %, common practice, no source"),
        new("Must be measured", limits.MeasuredAt switch
        {
            MeasuredAt.EachDriedLot => "each dried batch",
            MeasuredAt.EachBulkLot => "each container's lot",
            _ => "no lot: what is measured all the same counts",
        }),
        new("Moisture, wet basis", limits.LargestMoistureFraction is { } moisture ? $"at most {Percent(moisture)}, with 1.645 times its uncertainty ({Percent(limits.MoistureMeterUncertainty)} by the meter) added" : "no limit", "5 to 10 % is the usual band: common practice, no source"),
        new("Water activity", limits.LargestWaterActivity is { } activity ? $"at most {Number(activity)}, with 1.645 times its uncertainty ({Number(limits.WaterActivityMeterUncertainty)} by the meter) added" : "no limit", "Below 0.60 no microbe grows (Vandeweyer et al. 2017)"),
    ];

    private static List<LimitWords> Cooling(CoolingLimits limits) =>
    [
        new("Core when filled or packed", $"at most {Number(limits.AboveRoomKelvin)} K above the room, or less where a closed pack would sweat", "5 K: common practice, no source"),
        new("A reading counts for", $"{limits.LargestReadingAgeMinutes} min"),
        new("Least rest after weighing out", $"{limits.LeastRestMinutes} min"),
    ];

    private static List<LimitWords> Handling(HandlingLimits limits) =>
    [
        new("Two masses agree within", $"{Number(limits.BalanceToleranceGrams)} g", "Common practice, no source"),
        new("Unexplained loss", $"at most {Percent(limits.LargestUnexplainedLossFraction)} of what was made", "Common practice, no source"),
        new("A container may stand open", $"{limits.LargestContainerOpenMinutes} min", "Common practice, no source"),
        new("A check of an instrument counts for", $"{limits.InstrumentCheckDays} days{(limits.InstrumentsMustBeNamed ? "; deciding readings must name theirs" : "")}", "Common practice, no source"),
        new("Labels of a run", $"at most {limits.LargestLabelDifference} missing or too many{(limits.ReconcileLabels ? "; the lot waits until they are counted" : "")}", "Common practice, no source"),
    ];

    private static List<LimitWords> Label(LabelFacts facts) =>
    [
        new("Keeps", $"{facts.ShelfLifeMonths} months at most{(facts.KeepingDays is { } days ? $", {days} days by model or test" : "")}", "Ceiling: common practice, no source"),
        new("Packs", facts.PackSizesGrams.Count == 0 ? "any size" : string.Join(", ", facts.PackSizesGrams.Select(SiteFrame.Grams))),
        new("For", facts.Purpose),
        new("Storage", facts.Storage),
        new("Cautions", facts.Cautions.Count == 0 ? "none" : string.Join(" ", facts.Cautions)),
        new("GTIN", facts.Gtin ?? "none"),
        new("Labels in", facts.Languages.Count == 0 ? "any language that there are lead words for" : string.Join(", ", facts.Languages)),
        new("Template and logo", $"{facts.Template ?? "the usual one for its use"}, {(facts.Logo is null ? "no logo" : "logo " + facts.Logo)}"),
        new("Numbers of packs", facts.SerialPacks ? "each pack has its own" : "none"),
    ];
}
