using Trace.Core.Lots;

namespace Trace.Core.Holds.Rules;

/// <summary>The least rest since weigh-out, so that heat inside the larvae reaches the thermometer.</summary>
internal sealed class CoolingRest : HoldRule
{
    public override string Code => "cooling.rest";

    public override string Title => "Still resting";

    public override string Source => "Common practice, no source.";

    public override string Clears => "Time.";

    public override Passages CuredBy => Passages.Drying;

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        if (context.Lot.Record is not DryingRecord { NeedsWeighOut: false, LastWeighOut: { } last }) yield break;
        var least = context.Specification.Cooling.LeastRestMinutes;
        if (least <= 0) yield break;
        var rested = (context.AsOf - last.At).TotalMinutes;
        yield return new Verdict(
            rested >= least ? Outcome.Pass : Outcome.Hold,
            FormattableString.Invariant($"Rested {Math.Max(0, Math.Floor(rested)):0} of {least} min since weigh-out."))
        {
            Value = rested,
            Limit = least,
            Unit = "min",
            ClearsAt = rested >= least ? null : last.At.AddMinutes(least),
            EvidenceSeq = last.Seq,
        };
    }
}
