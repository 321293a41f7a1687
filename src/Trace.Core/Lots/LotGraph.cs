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

    private int[] firstIn = new int[64];
    private int[] firstOut = new int[64];
    private int[] from = new int[64];
    private int[] to = new int[64];
    private int[] nextIn = new int[64];
    private int[] nextOut = new int[64];
    private long[] milligrams = new long[64];
    private long[] passedAtTicks = new long[64];
    private int[] visited = new int[64];
    private int visit;

    public int LotCount { get; private set; }

    public int EdgeCount { get; private set; }

    public int AddLot()
    {
        if (LotCount == firstIn.Length)
        {
            Array.Resize(ref firstIn, LotCount * 2);
            Array.Resize(ref firstOut, LotCount * 2);
            Array.Resize(ref visited, LotCount * 2);
        }

        firstIn[LotCount] = None;
        firstOut[LotCount] = None;
        return LotCount++;
    }

    /// <summary>Adds the passage of a mass.</summary>
    public void AddEdge(int source, int target, Mass mass, DateTimeOffset passedAt)
    {
        if (source == target) throw new InvalidOperationException("A lot cannot go into itself.");
        if (EdgeCount == from.Length)
        {
            Array.Resize(ref from, EdgeCount * 2);
            Array.Resize(ref to, EdgeCount * 2);
            Array.Resize(ref nextIn, EdgeCount * 2);
            Array.Resize(ref nextOut, EdgeCount * 2);
            Array.Resize(ref milligrams, EdgeCount * 2);
            Array.Resize(ref passedAtTicks, EdgeCount * 2);
        }

        var edge = EdgeCount++;
        from[edge] = source;
        to[edge] = target;
        milligrams[edge] = mass.Milligrams;
        passedAtTicks[edge] = passedAt.UtcTicks;
        nextIn[edge] = firstIn[target];
        firstIn[target] = edge;
        nextOut[edge] = firstOut[source];
        firstOut[source] = edge;
    }

    public IEnumerable<LotEdge> Inputs(int lot)
    {
        for (var edge = firstIn[lot]; edge != None; edge = nextIn[edge]) yield return Edge(edge);
    }

    public IEnumerable<LotEdge> Outputs(int lot)
    {
        for (var edge = firstOut[lot]; edge != None; edge = nextOut[edge]) yield return Edge(edge);
    }

    public bool HasOutputs(int lot) => firstOut[lot] != None;

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
                for (var edge = firstIn[lot]; edge != None; edge = nextIn[edge]) Mark(from[edge], found);
            }
            else
            {
                for (var edge = firstOut[lot]; edge != None; edge = nextOut[edge]) Mark(to[edge], found);
            }
        }

        found.Sort();
        return found;
    }

    private void Mark(int lot, List<int> found)
    {
        if (visited[lot] == visit) return;
        visited[lot] = visit;
        found.Add(lot);
    }

    private LotEdge Edge(int edge) =>
        new(from[edge], to[edge], Mass.FromMilligrams(milligrams[edge]), new DateTimeOffset(passedAtTicks[edge], TimeSpan.Zero), edge);
}

/// <summary>A mass that passed from one lot into another at an instant.</summary>
/// <param name="Number">Rises in the order of the journal.</param>
public readonly record struct LotEdge(int From, int To, Mass Mass, DateTimeOffset PassedAt, int Number);
