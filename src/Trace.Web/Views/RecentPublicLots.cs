using System.Runtime.CompilerServices;
using Trace.Core.Lots;

namespace Trace.Web.Views;

/// <summary>
/// Buyers' views that were made a moment ago. Judging a lot means judging everything it was made from, under the lock that writers need
/// too, and anybody may ask as often as he likes. So a view serves until the site records anything, and five seconds at most, since
/// rules also look at the clock. Call it under the site's lock.
/// </summary>
public sealed class RecentPublicLots
{
    private const int Most = 1000;
    private static readonly TimeSpan Longest = TimeSpan.FromSeconds(5);
    private static readonly ConditionalWeakTable<SiteState, RecentPublicLots> OfStates = [];
    private readonly Dictionary<string, (PublicLotView View, DateTimeOffset MadeAt)> views = new(StringComparer.Ordinal);
    private long head;

    public static PublicLotView Of(SiteState state, Lot lot, DateTimeOffset now) => OfStates.GetOrCreateValue(state).Find(state, lot, now);

    /// <summary>How many views of a state are kept now: what asking has cost.</summary>
    internal static int MadeOf(SiteState state) => OfStates.TryGetValue(state, out var recent) ? recent.views.Count : 0;

    private PublicLotView Find(SiteState state, Lot lot, DateTimeOffset now)
    {
        if (head != state.Head || views.Count >= Most) views.Clear();
        head = state.Head;
        if (views.TryGetValue(lot.Code, out var kept) && now >= kept.MadeAt && now - kept.MadeAt <= Longest) return kept.View;
        var view = PublicLot.Of(state, lot, now);
        views[lot.Code] = (view, now);
        return view;
    }
}
