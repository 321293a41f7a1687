using Trace.Core.Lots;
using Trace.Core.Specifications;

namespace Trace.Core.Holds;

/// <summary>
/// What the rules said of lots, for whoever judges many at once: lots that were packed from one container share nearly all that they were
/// made from. Good for as long as the state stays as it is; the first question after a change forgets everything. Not for several threads
/// at once.
/// </summary>
public sealed class HoldMemory
{
    private readonly Dictionary<(int Lot, DateTimeOffset AsOf, SpecificationRef? For), IReadOnlyList<Judgement>> held = [];
    private SiteState? state;
    private long head;

    /// <summary>The verdicts that hold; <paramref name="judge"/> is asked when nobody asked before.</summary>
    internal IReadOnlyList<Judgement> Of(
        SiteState of, int lot, DateTimeOffset asOf, SpecificationRef? wanted, Func<IReadOnlyList<Judgement>> judge)
    {
        if (!ReferenceEquals(of, state) || of.Head != head)
        {
            held.Clear();
            (state, head) = (of, of.Head);
        }

        if (!held.TryGetValue((lot, asOf, wanted), out var known)) held[(lot, asOf, wanted)] = known = judge();
        return known;
    }
}
