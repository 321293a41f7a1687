using Trace.Core.Lots;
using Trace.Core.Specifications;

namespace Trace.Core.Holds.Rules;

/// <summary>Best before is over. The day itself still counts.</summary>
internal sealed class DatePassed : HoldRule
{
    public override string Code => "date.passed";

    public override string Title => "Best before is over";

    public override string Source => "Shelf-life ceiling 5–6 months: common practice, no source.";

    public override string Clears => "Nothing: dispose of it. A dried or bulk lot may go back into the dryer as rework, which keeps its date.";

    public override Passages CuredBy => Passages.Drying;

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        if (context.Lot.Kind is LotKind.Harvest or LotKind.Sanitised || context.Lot.IsInProcess) yield break;
        if (BestBefore.Of(context.State, context.Lot) is not { } date) yield break;
        var today = context.State.Zone.DateOf(context.AsOf);
        yield return new Verdict(
            today <= date ? Outcome.Pass : Outcome.Hold,
            FormattableString.Invariant($"Best before {date:yyyy-MM-dd}."))
        {
            EvidenceSeq = context.Lot.MadeBySeq,
        };
    }
}
