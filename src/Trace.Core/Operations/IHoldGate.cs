using Trace.Core.Lots;

namespace Trace.Core.Operations;

/// <summary>The gate as the write path sees it: handed in, since rules stand above operations.</summary>
public interface IHoldGate
{
    /// <summary>All that holds a lot from taking a step; empty when it may. Without a passage: what holds it as it stands.</summary>
    IReadOnlyList<Hold> HoldsOn(SiteState state, Lot lot, DateTimeOffset asOf, Passages passage);

    IReadOnlyList<Evidence> EvidenceOf(SiteState state, IEnumerable<Lot> lots, DateTimeOffset asOf);
}
