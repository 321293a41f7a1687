using Trace.Core.Lots;

namespace Trace.Core.Holds.Rules;

/// <summary>Dry product takes up water from the air: a container that stood open too long needs a new measured check.</summary>
internal sealed class ContainerOpen : HoldRule
{
    public override string Code => "container.open";

    public override string Title => "Container open too long";

    public override string Source => "Common practice, no source.";

    public override string Clears => "A new measured moisture or water activity of the container's lot that shows it dry.";

    public override Passages CuredBy => Passages.Drying;

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        if (context.Lot.Record is not BulkRecord { OpenSpans.Count: > 0 } bulk) yield break;
        var since = context.Lot.Checks.LastOrDefault(check => check.At <= context.AsOf
            && Measured.ShowsDry(check, context.Specification.Drying))?.At
            ?? context.Lot.MadeAt;
        var open = 0.0;
        foreach (var span in bulk.OpenSpans)
        {
            var from = span.From > since ? span.From : since;

            // An end before its beginning, which only a correction can tell, is no end.
            var to = span.To is { } end && end >= span.From && end < context.AsOf ? end : context.AsOf;
            if (to > from) open += (to - from).TotalMinutes;
        }

        var limit = context.Specification.Handling.LargestContainerOpenMinutes;
        yield return new Verdict(
            open <= limit ? Outcome.Pass : Outcome.Hold,
            FormattableString.Invariant($"Container {bulk.Container} stood open for {open:0} min since its last check; {limit} min are allowed."))
        {
            Value = open,
            Limit = limit,
            Unit = "min",
            EvidenceSeq = context.Lot.MadeBySeq,
        };
    }
}
