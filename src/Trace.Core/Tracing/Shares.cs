using Trace.Core.Lots;

namespace Trace.Core.Tracing;

/// <summary>
/// Mass fractions along the flow, every lot taken as perfectly mixed: f(j) = Σ m(c→j) ÷ M(j) · f(c), with M(j) all that went into j.
/// They say how much is expected; which lots can contain something is reachability alone.
/// </summary>
public static class Shares
{
    /// <summary>For each lot of the set: which share of it came from the sources.</summary>
    public static Dictionary<int, double> Forward(SiteState state, IReadOnlyList<int> sources, IReadOnlyList<int> reached)
    {
        var shares = sources.ToDictionary(source => source, _ => 1.0);
        foreach (var lot in InOrder(state, reached))
        {
            if (shares.ContainsKey(lot)) continue;
            double whole = 0, part = 0;
            foreach (var edge in state.Graph.Inputs(lot))
            {
                whole += edge.Mass.GramsApprox;
                part += edge.Mass.GramsApprox * shares.GetValueOrDefault(edge.From);
            }

            shares[lot] = whole > 0 ? part / whole : 0;
        }

        return shares;
    }

    /// <summary>For each lot of the set: which share of the target came through it.</summary>
    public static Dictionary<int, double> Back(SiteState state, int target, IReadOnlyList<int> reached)
    {
        var shares = new Dictionary<int, double> { [target] = 1 };
        foreach (var lot in InOrder(state, reached).Reverse())
        {
            var share = shares.GetValueOrDefault(lot);
            shares[lot] = share;
            var inputs = state.Graph.Inputs(lot).ToList();
            var whole = inputs.Sum(edge => edge.Mass.GramsApprox);
            foreach (var edge in inputs)
                shares[edge.From] = shares.GetValueOrDefault(edge.From) + (whole > 0 ? share * edge.Mass.GramsApprox / whole : 0);
        }

        return shares;
    }

    /// <summary>The lots so that each comes after all of the set that went into it.</summary>
    private static IEnumerable<int> InOrder(SiteState state, IReadOnlyList<int> lots)
    {
        var open = lots.ToDictionary(lot => lot, _ => 0);
        foreach (var lot in lots)
        {
            foreach (var edge in state.Graph.Inputs(lot))
            {
                if (open.ContainsKey(edge.From)) open[lot]++;
            }
        }

        var ready = new Queue<int>(lots.Where(lot => open[lot] == 0));
        while (ready.TryDequeue(out var lot))
        {
            yield return lot;
            foreach (var edge in state.Graph.Outputs(lot))
            {
                if (open.TryGetValue(edge.To, out var left) && (open[edge.To] = left - 1) == 0) ready.Enqueue(edge.To);
            }
        }
    }
}
