using Trace.Core.Lots;

namespace Trace.Core.Recall;

/// <summary>Reminds of the drill once a year: some rules want it (Canada's do), and audit schemes ask for it (common practice, no
/// source).</summary>
public static class DrillsDue
{
    private static readonly TimeSpan Every = TimeSpan.FromDays(365);

    /// <summary>Why a drill is due, in words; null when none is. A site that has shipped nothing has nothing to practise on.</summary>
    public static string? Of(SiteState state, DateTimeOffset now)
    {
        var last = state.Recalls.Values.Where(one => one.Kind == RecallKind.Drill && one.Closed is not null).MaxBy(one => one.Seq);
        if (last?.Closed is not { } closed)
            return state.ShipmentCount == 0 ? null : "No drill was ever closed here. Once a year is usual: find out today whether you could.";
        return now - closed.At <= Every
            ? null
            : $"The last drill, {last.Id}, was closed {state.Zone.Local(closed.At):yyyy-MM-dd}. Once a year is usual.";
    }
}
