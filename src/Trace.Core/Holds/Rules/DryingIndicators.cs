using Trace.Core.Lots;

namespace Trace.Core.Holds.Rules;

/// <summary>Eye and hand: puffed, and crumbles when crushed.</summary>
internal sealed class DryingIndicators : HoldRule
{
    public override string Code => "drying.indicators";

    public override string Title => "Does not look or feel dry";

    public override string Source => "Common practice, no source: dry larvae are puffed and crumble when crushed.";

    public override string Clears => "A further drying cycle and a new weigh-out.";

    public override Passages CuredBy => Passages.Drying;

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        if (context.Lot.Record is not DryingRecord drying) yield break;
        if (drying.NeedsWeighOut || drying.LastWeighOut is not { } last)
        {
            yield return new Verdict(Outcome.Undetermined, $"Batch {context.Lot.Code} is in the dryer: not weighed out since its last cycle.")
            {
                EvidenceSeq = context.Lot.MadeBySeq,
            };
            yield break;
        }

        var missing = (last.Puffed, last.Crumbles) switch
        {
            (false, false) => "not puffed and does not crumble",
            (false, true) => "not puffed",
            (true, false) => "does not crumble when crushed",
            _ => null,
        };
        yield return new Verdict(
            missing is null ? Outcome.Pass : Outcome.Hold,
            missing is null ? $"Batch {context.Lot.Code} is puffed and crumbles." : $"Batch {context.Lot.Code} is {missing}.".Replace("is does", "does", StringComparison.Ordinal))
        {
            EvidenceSeq = last.Seq,
        };
    }
}
