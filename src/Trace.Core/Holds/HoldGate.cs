using Trace.Core.Lots;
using Trace.Core.Operations;

namespace Trace.Core.Holds;

/// <summary>The one place that refuses an operation on a held lot.</summary>
public sealed class HoldGate : IHoldGate
{
    public IReadOnlyList<Hold> HoldsOn(SiteState state, Lot lot, DateTimeOffset asOf, Passages passage) =>
        passage == Passages.None ? HoldRules.StandingOn(state, lot, asOf) : HoldRules.HoldsOn(state, lot, asOf, passage);

    public IReadOnlyList<Evidence> EvidenceOf(SiteState state, IEnumerable<Lot> lots, DateTimeOffset asOf) =>
        HoldRules.EvidenceOf(state, lots, asOf);
}
