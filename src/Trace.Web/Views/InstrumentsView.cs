using Trace.Core.Operations;
using Trace.Core.Tracing;

namespace Trace.Web.Views;

/// <param name="LotsInDoubt">Lots for which a rule decides on a reading of it that does not count.</param>
public sealed record InstrumentLine(InstrumentSummary Instrument, int LotsInDoubt);

/// <param name="Truncated">True when lots older than the newest 4,000 were not looked at.</param>
public sealed record InstrumentsView(IReadOnlyList<InstrumentLine> Instruments, bool Truncated)
{
    /// <summary>How many of the newest lots are looked at.</summary>
    public const int MostLots = 4_000;

    private const int Slice = 200;

    public static async Task<InstrumentsView> Of(SiteLedger ledger, DateTimeOffset now)
    {
        var (named, truncated) = await Gather(ledger, (state, from, to) => InstrumentUses.Named(state, from, to, now));
        return await ledger.ReadAsync(state => new InstrumentsView(
            [.. state.Instruments.Keys.Union(named.Select(one => one.Instrument)).Order(StringComparer.Ordinal)
                .Select(name => new InstrumentLine(
                InstrumentSummary.Of(state, name, now),
                named.Where(one => one.InDoubt && one.Instrument == name).Select(one => one.Lot).Distinct().Count()))],
            truncated));
    }

    /// <summary>Looks through the newest lots in slices, so that nobody at the bench waits for it.</summary>
    internal static async Task<(List<T> Found, bool Truncated)> Gather<T>(
        SiteLedger ledger, Func<Core.Lots.SiteState, int, int, List<T>> look)
    {
        var count = await ledger.ReadAsync(state => state.Lots.Count);
        var oldest = Math.Max(0, count - MostLots);
        var found = new List<T>();
        for (var end = count; end > oldest; end -= Slice)
        {
            var (from, to) = (Math.Max(oldest, end - Slice), end);
            found.AddRange(await ledger.ReadAsync(state => look(state, from, to)));
        }

        return (found, oldest > 0);
    }
}

/// <summary>One instrument: its checks, newest first, and what was read with it that is in doubt or not yet confirmed by a check.</summary>
/// <param name="Truncated">True when lots older than the newest 4,000 were not looked at.</param>
public sealed record InstrumentView(
    InstrumentSummary Instrument, IReadOnlyList<InstrumentCheckView> Checks, IReadOnlyList<InstrumentUse> Uses, bool Truncated)
{
    private const int MostChecks = 50;

    /// <summary>Null when nobody ever named such an instrument.</summary>
    public static async Task<InstrumentView?> Of(SiteLedger ledger, string instrument, DateTimeOffset now)
    {
        var (uses, truncated) = await InstrumentsView.Gather(
            ledger, (state, from, to) => InstrumentUses.Among(state, instrument, from, to, now));
        var view = await ledger.ReadAsync(state => new InstrumentView(
            InstrumentSummary.Of(state, instrument, now),
            [.. state.ChecksOf(instrument).Reverse().Take(MostChecks).Select(InstrumentCheckView.Of)], uses, truncated));
        return view.Checks.Count == 0 && uses.Count == 0 ? null : view;
    }
}
