using Trace.Core.Trends;

namespace Trace.Web.Pages.Charts;

/// <summary>Signals as people read them: a rule that stays met from batch to batch is one thing to look into.</summary>
public static class SignalEpisodes
{
    /// <summary>Newest first.</summary>
    public static IReadOnlyList<(ChartSignal First, ChartSignal Last, int Count)> Of(IReadOnlyList<ChartSignal> signals)
    {
        var all = new List<(ChartSignal First, ChartSignal Last, int Count)>();
        var open = new Dictionary<string, int>();
        foreach (var signal in signals)
        {
            if (open.TryGetValue(signal.Words, out var at) && all[at].Last.Point == signal.Point - 1)
            {
                all[at] = (all[at].First, signal, all[at].Count + 1);
                continue;
            }

            open[signal.Words] = all.Count;
            all.Add((signal, signal, 1));
        }

        all.Reverse();
        return all;
    }
}
