using Trace.Core.Units;

namespace Trace.Core.Lots;

/// <summary>
/// Which lot went into which, as append-only linked arrays: following a lot costs what its answer costs, however long the history.
/// A lot is its index; an edge is a mass that passed at a time. A container's lot takes from newer lots too, so an edge may lead either
/// way in age; decisions refuse circles, and every walk here marks what it has visited, so that even one would end.
/// </summary>
public sealed class LotGraph
{
    private const int None = -1;

    private readonly Segments<Link> links = new();
    private readonly Segments<Ends> ends = new();
    private int visit;

    public int LotCount => ends.Count;

    public int EdgeCount => links.Count;

    public int AddLot() => ends.Add(new Ends { FirstIn = None, FirstOut = None });

    /// <summary>Adds the passage of a mass.</summary>
    public void AddEdge(int source, int target, Mass mass, DateTimeOffset passedAt)
    {
        if (source == target) throw new InvalidOperationException("A lot cannot go into itself.");
        var edge = links.Add(new Link(
            source, target, ends[target].FirstIn, ends[source].FirstOut, mass.Milligrams, passedAt.UtcTicks));
        ends[target].FirstIn = edge;
        ends[source].FirstOut = edge;
    }

    public IEnumerable<LotEdge> Inputs(int lot)
    {
        for (var edge = ends[lot].FirstIn; edge != None; edge = links[edge].NextIn) yield return Edge(edge);
    }

    public IEnumerable<LotEdge> Outputs(int lot)
    {
        for (var edge = ends[lot].FirstOut; edge != None; edge = links[edge].NextOut) yield return Edge(edge);
    }

    public bool HasOutputs(int lot) => ends[lot].FirstOut != None;

    /// <summary>
    /// Every lot that can be reached from the given ones, these included, in ascending order: against the flow (back) or with it.
    /// Any positive mass counts, however small. Not for several threads at once: the marks of the visit are shared.
    /// </summary>
    public List<int> Reach(IEnumerable<int> lots, bool back)
    {
        visit++;
        var found = new List<int>();
        foreach (var lot in lots) Mark(lot, found);
        for (var place = 0; place < found.Count; place++)
        {
            var lot = found[place];
            if (back)
            {
                for (var edge = ends[lot].FirstIn; edge != None;)
                {
                    ref var link = ref links[edge];
                    Mark(link.From, found);
                    edge = link.NextIn;
                }
            }
            else
            {
                for (var edge = ends[lot].FirstOut; edge != None;)
                {
                    ref var link = ref links[edge];
                    Mark(link.To, found);
                    edge = link.NextOut;
                }
            }
        }

        found.Sort();
        return found;
    }

    private void Mark(int lot, List<int> found)
    {
        ref var seen = ref ends[lot].Visited;
        if (seen == visit) return;
        seen = visit;
        found.Add(lot);
    }

    internal LotEdge Edge(int edge)
    {
        ref var link = ref links[edge];
        return new(link.From, link.To, Mass.FromMilligrams(link.Milligrams), new DateTimeOffset(link.PassedAtTicks, TimeSpan.Zero), edge);
    }

    private readonly record struct Link(int From, int To, int NextIn, int NextOut, long Milligrams, long PassedAtTicks);

    private struct Ends
    {
        public int FirstIn;
        public int FirstOut;
        public int Visited;
    }
}

/// <summary>A mass that passed from one lot into another at an instant.</summary>
/// <param name="Number">Rises in the order of the journal.</param>
public readonly record struct LotEdge(int From, int To, Mass Mass, DateTimeOffset PassedAt, int Number);
