using Trace.Core.Lots;
using Trace.Core.Science;
using Trace.Core.Specifications;
using Trace.Core.Units;

namespace Trace.Core.Holds.Rules;

/// <summary>
/// Yield: mass out ÷ fresh mass in × 100. It can reject a batch; inside the band a batch may still be 20 % wet, so it never releases one
/// by itself.
/// </summary>
internal static class DryingYield
{
    internal static Verdict? Start(RuleContext context)
    {
        if (context.Lot.Record is not DryingRecord { NeedsWeighOut: false, LastWeighOut: { } last } drying) return null;
        var percent = last.MassOut.GramsApprox / drying.FreshGrams * 100;
        if (!double.IsFinite(percent) || percent <= 0)
        {
            return new Verdict(Outcome.Undetermined, "The masses do not give a yield.") { EvidenceSeq = last.Seq, WeakestInput = "mass in" };
        }

        return new Verdict(Outcome.Pass, "") { Value = percent, Unit = "%", EvidenceSeq = last.Seq };
    }

    /// <summary>
    /// Initial moisture of what entered the dryer: measured on the sanitised lots where it was, else the book value.
    /// The moisture of live larvae does not serve: blanching adds water.
    /// </summary>
    internal static (Estimate Moisture, string Source) InitialMoisture(RuleContext context) =>
        InitialMoisture(context.State, context.Specification.Drying, context.Lot);

    internal static (Estimate Moisture, string Source) InitialMoisture(SiteState state, DryingLimits limits, Lot lot)
    {
        var parts = new List<(double Mass, double Moisture)>();
        foreach (var edge in state.Graph.Inputs(lot.Index))
        {
            // The yield is judged against fresh mass; the moisture of rework is that of a batch already dried in part and must not stand
            // for it.
            var from = state.Lots[edge.From];
            var check = from.Kind == LotKind.Sanitised ? from.Checks.LastOrDefault(made => made.Kind == "moisture") : null;
            if (check is null || Measured.Mean(check) is not { } mean)
                return (new Estimate(limits.FreshMoistureFraction, limits.FreshMoistureUncertainty), "book value of the moisture in");
            parts.Add((edge.Mass.GramsApprox, mean));
        }

        return (new Estimate(DrySolids.MixMoisture(parts), limits.MoistureMeterUncertainty), "measured moisture in");
    }
}

internal sealed class DryingYieldHigh : HoldRule
{
    public override string Code => "drying.yield-high";

    public override string Title => "Yield above the band";

    public override string Source => "Band 25–35 %: common practice, no source; 45 % is wet for every initial moisture from 0.60 to 0.75 (recomputed from the dry-solids balance).";

    public override string Clears => "A further drying cycle and a new weigh-out: the batch is likely still wet.";

    public override Passages CuredBy => Passages.Drying;

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        if (DryingYield.Start(context) is not { } verdict) yield break;
        if (verdict.Value is not { } percent)
        {
            yield return verdict;
            yield break;
        }

        var limit = context.Specification.Drying.YieldHighPercent;
        var (moisture, source) = DryingYield.InitialMoisture(context);
        var left = Left(context, moisture);
        yield return verdict with
        {
            Outcome = percent <= limit ? Outcome.Pass : Outcome.Hold,
            Finding = FormattableString.Invariant($"Yield {percent:0.0} %, the band ends at {limit:0.#} %.{left}"),
            Limit = limit,
            WeakestInput = source,
        };
    }

    /// <summary>What the balance says about the water left. Told beside the verdict; too uncertain to decide on.</summary>
    private static string Left(RuleContext context, Estimate initial)
    {
        var drying = (DryingRecord)context.Lot.Record;
        var tolerance = context.Specification.Handling.BalanceToleranceGrams;
        if (initial.Value is <= 0 or >= 1 || drying.LastWeighOut!.MassOut.GramsApprox > drying.FreshGrams) return "";
        var division = DrySolids.ResolutionUncertainty(tolerance);
        var left = DrySolids.FinalMoisture(drying.FreshGrams, drying.LastWeighOut.MassOut.GramsApprox, initial, division, division);
        return left.Value < 0
            ? ""
            : FormattableString.Invariant($" By the dry-solids balance {left.Value * 100:0} % ± {left.Uncertainty * 100:0} % of it is still water.");
    }
}

internal sealed class DryingYieldLow : HoldRule
{
    public override string Code => "drying.yield-low";

    public override string Title => "Yield below the band";

    public override string Source => "Band 25–35 %: common practice, no source; below 1 − M0 it is impossible (dry-solids balance).";

    public override string Clears => "A corrected weighing, or a loss that the quality officer accepts with a reason.";

    public override Passages CuredBy => Passages.Drying;

    public override bool MayBeAccepted => true;

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        if (DryingYield.Start(context) is not { Value: { } percent } verdict) yield break;
        var limits = context.Specification.Drying;
        var (moisture, source) = DryingYield.InitialMoisture(context);
        var impossible = (1 - moisture.Upper - limits.YieldToleranceFraction) * 100;
        var finding = percent < impossible
            ? FormattableString.Invariant(
                $"Yield {percent:0.0} % is less than the dry matter that went in ({impossible:0.0} % at the very least): product was lost, or a mass is wrong.")
            : FormattableString.Invariant($"Yield {percent:0.0} %, the band starts at {limits.YieldLowPercent:0.#} %: was product lost?");
        var passes = percent >= limits.YieldLowPercent && percent >= impossible;
        yield return verdict with
        {
            Outcome = passes ? Outcome.Pass : Outcome.Hold,
            Finding = passes ? FormattableString.Invariant($"Yield {percent:0.0} %, the band starts at {limits.YieldLowPercent:0.#} %.") : finding,
            Limit = Math.Max(limits.YieldLowPercent, impossible),
            WeakestInput = source,
        };
    }
}
