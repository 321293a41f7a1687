using Trace.Core.Lots;
using Trace.Core.Specifications;

namespace Trace.Core.Holds.Rules;

/// <summary>Fresh larvae pass on only through a sanitising run.</summary>
internal sealed class SanitisingMissing : HoldRule
{
    public override string Code => "sanitising.missing";

    public override string Title => "Not sanitised";

    public override string Source => "Common practice, no source: product is sanitised before it is dried.";

    public override string Clears => "A sanitising run.";

    public override Passages CuredBy => Passages.Sanitising;

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        if (context.Lot.Kind == LotKind.Harvest)
            yield return new Verdict(Outcome.Hold, $"Lot {context.Lot.Code} is fresh and has not been sanitised.") { EvidenceSeq = context.Lot.MadeBySeq };
    }
}
