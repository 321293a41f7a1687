using System.Runtime.CompilerServices;
using Trace.Core.Operations;

namespace Trace.Web.Views;

/// <summary>
/// The view of a page that judges very many lots, one a site. It serves until the site records anything, and ten seconds at most, since
/// rules also look at the clock: a page that several people leave open and load anew costs its judging once.
/// </summary>
public sealed class RecentView<TView>
    where TView : class
{
    private static readonly TimeSpan Longest = TimeSpan.FromSeconds(10);
    private readonly ConditionalWeakTable<SiteLedger, Kept> views = [];

    /// <param name="make">Judges anew; called outside the site's lock.</param>
    public async Task<TView> Of(SiteLedger ledger, DateTimeOffset now, Func<Task<TView>> make)
    {
        var head = await ledger.ReadAsync(state => state.Head);
        if (views.TryGetValue(ledger, out var kept) && kept.Head == head && now >= kept.MadeAt && now - kept.MadeAt <= Longest)
            return kept.View;
        var view = await make();
        views.AddOrUpdate(ledger, new Kept(view, head, now));
        return view;
    }

    private sealed record Kept(TView View, long Head, DateTimeOffset MadeAt);
}
