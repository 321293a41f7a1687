using Trace.Core.Lots;
using Trace.Core.Science;
using Trace.Core.Specifications;

namespace Trace.Core.Holds.Rules;

/// <summary>
/// A measured moisture or water activity: value + 1.645 u must not pass the limit. Where the specification wants one, it must be there;
/// one that is too wet holds wherever it was taken.
/// </summary>
internal sealed class DryingMeasured : HoldRule
{
    public override string Code => "drying.measured";

    public override string Title => "Measured dryness missing or too wet";

    public override string Source => "Guard band 1.645 u, one-sided 95 % (JCGM 106:2012, from memory). Water activity below 0.60: no microbial growth (Vandeweyer et al. 2017).";

    public override string Clears => "A reading with a checked instrument; a further drying cycle if it is too wet.";

    public override Passages CuredBy => Passages.Drying;

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        var wanted = context.Specification.Drying.MeasuredAt switch
        {
            MeasuredAt.EachDriedLot => LotKind.Dried,
            MeasuredAt.EachBulkLot => LotKind.Bulk,
            _ => (LotKind?)null,
        };
        if (context.Lot.Kind < LotKind.Dried) yield break;
        var limits = context.Specification.Drying;

        // A reading before the last weigh-out was of a wetter batch and says nothing. One before the last fill was of a part of the
        // content: too wet it still counts, dry it does not speak for what came later.
        var since = context.Lot.Record is DryingRecord { LastWeighOut: { } last } ? last.At : context.Lot.MadeAt;
        var filled = Measured.LastFill(context) ?? since;
        var any = false;
        foreach (var (kind, limit, uncertainty) in new[]
        {
            ("moisture", limits.LargestMoistureFraction, limits.MoistureMeterUncertainty),
            ("water-activity", limits.LargestWaterActivity, limits.WaterActivityMeterUncertainty),
        })
        {
            var check = context.Lot.Checks.LastOrDefault(made => made.Kind == kind && made.At >= since && made.At <= context.AsOf);
            if (limit is null || check is null) continue;
            var verdict = Compare(kind, check, limit.Value, uncertainty);
            if (check.At < filled && !verdict.Holds) continue;
            any = true;
            yield return verdict;
        }

        if (!any && context.Lot.Kind == wanted)
        {
            yield return new Verdict(
                Outcome.Undetermined,
                $"Lot {context.Lot.Code} has no measured moisture or water activity{(filled > since ? " since product was last poured in" : "")}.")
            {
                EvidenceSeq = context.Lot.MadeBySeq,
                WeakestInput = "measurement",
            };
        }
    }

    private static Verdict Compare(string kind, LotCheck check, double limit, double uncertainty)
    {
        var name = kind == "moisture" ? "Moisture" : "Water activity";
        var verdict = new Verdict(Outcome.Undetermined, $"{name}: a value is no plain fraction between 0 and 1.")
        {
            Limit = limit,
            Unit = kind == "moisture" ? "fraction, wet basis" : "water activity",
            WeakestInput = check.Instrument ?? "instrument not named",
            EvidenceSeq = check.Seq,
        };
        if (Measured.Of(check, uncertainty) is not { } measured) return verdict;
        return verdict with
        {
            Outcome = measured.Upper <= limit ? Outcome.Pass : Outcome.Hold,
            Finding = FormattableString.Invariant(
                $"{name} {measured.Value:0.000}, with its uncertainty up to {measured.Upper:0.000}; the limit is {limit:0.000}."),
            Value = measured.Value,
            Uncertainty = measured.Uncertainty,
        };
    }
}
