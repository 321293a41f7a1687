namespace Trace.Web.Pages.Traces;

/// <summary>
/// Puts the boxes of a trace into columns and rows: what something came from stands to its left (Sugiyama's method: layers by longest
/// path, order by barycentres, both from memory of the literature). Pure arithmetic on indices; circles, which corrections can tell, are
/// broken where the walk meets itself.
/// </summary>
internal sealed class TraceLayers
{
    private const int Sweeps = 6;

    private readonly List<List<int>> columns = [];
    private readonly List<int>[] before;
    private readonly List<int>[] after;
    private readonly int[] column;

    /// <param name="count">Boxes.</param>
    /// <param name="links">From and to, as indices of boxes; doubles and links to itself are left out.</param>
    public TraceLayers(int count, IEnumerable<(int From, int To)> links)
    {
        Count = count;
        var all = links.Where(link => link.From != link.To).Distinct().ToList();
        var forward = WithoutCircles(count, all);
        var depth = LongestPaths(count, forward);

        // A link over several columns gets a stop in each between, so that it has a lane of its own and crosses no box.
        var stops = forward.Sum(link => Math.Max(0, depth[link.To] - depth[link.From] - 1));
        column = new int[count + stops];
        (before, after) = (Lists(count + stops), Lists(count + stops));
        depth.CopyTo(column, 0);
        var next = count;
        foreach (var (from, to) in forward)
        {
            var (last, lane) = (from, new List<int>());
            for (var place = depth[from] + 1; place < depth[to]; place++)
            {
                column[next] = place;
                Join(last, next);
                lane.Add(next);
                last = next++;
            }

            Join(last, to);
            Lanes[(from, to)] = lane;
        }

        for (var place = 0; place <= column.DefaultIfEmpty(0).Max(); place++) columns.Add([]);
        for (var box = 0; box < column.Length; box++) columns[column[box]].Add(box);
        Order();
        Rows = Place();
    }

    /// <summary>Boxes, without the stops of long links, which have the indices after them.</summary>
    public int Count { get; }

    public int ColumnCount => columns.Count;

    /// <summary>Row of each box and stop, in heights of a box; the first is 0.</summary>
    public double[] Rows { get; }

    /// <summary>The stops of each link that was not turned round, in order.</summary>
    public Dictionary<(int From, int To), List<int>> Lanes { get; } = [];

    public int ColumnOf(int box) => column[box];

    /// <summary>Boxes of a column from top to bottom.</summary>
    public IEnumerable<int> InColumn(int place) => columns[place].Where(box => box < Count);

    public double LastRow => Rows.Length == 0 ? 0 : Rows.Max();

    private void Join(int from, int to)
    {
        after[from].Add(to);
        before[to].Add(from);
    }

    private static List<int>[] Lists(int count) => [.. Enumerable.Range(0, count).Select(_ => new List<int>())];

    /// <summary>The links but those that lead back to a box on the way to itself. With a stack of its own: a trace may be deep.</summary>
    private static List<(int From, int To)> WithoutCircles(int count, List<(int From, int To)> links)
    {
        var outputs = links.ToLookup(link => link.From, link => link.To);
        var (state, kept) = (new byte[count], new List<(int, int)>());
        var reached = links.Select(link => link.To).ToHashSet();
        foreach (var root in Enumerable.Range(0, count).OrderBy(reached.Contains))
        {
            if (state[root] != 0) continue;
            var way = new Stack<(int Box, IEnumerator<int> Open)>();
            Enter(root);
            while (way.TryPeek(out var here))
            {
                if (!here.Open.MoveNext())
                {
                    state[here.Box] = 2;
                    way.Pop();
                    continue;
                }

                var to = here.Open.Current;
                if (state[to] == 1) continue;
                kept.Add((here.Box, to));
                if (state[to] == 0) Enter(to);
            }

            void Enter(int box)
            {
                state[box] = 1;
                way.Push((box, outputs[box].GetEnumerator()));
            }
        }

        return kept;
    }

    private static int[] LongestPaths(int count, List<(int From, int To)> links)
    {
        var outputs = links.ToLookup(link => link.From, link => link.To);
        var waits = new int[count];
        foreach (var (_, to) in links) waits[to]++;
        var depth = new int[count];
        var ready = new Queue<int>(Enumerable.Range(0, count).Where(box => waits[box] == 0));
        while (ready.TryDequeue(out var box))
        {
            foreach (var to in outputs[box])
            {
                depth[to] = Math.Max(depth[to], depth[box] + 1);
                if (--waits[to] == 0) ready.Enqueue(to);
            }
        }

        return depth;
    }

    /// <summary>Each column by the mean place of its neighbours, to the right and back to the left, some times.</summary>
    private void Order()
    {
        var place = new double[column.Length];
        foreach (var boxes in columns) Number(boxes);
        for (var sweep = 0; sweep < Sweeps; sweep++)
        {
            var isRight = sweep % 2 == 0;
            foreach (var boxes in isRight ? columns : Enumerable.Reverse(columns))
            {
                var wanted = boxes.ToDictionary(
                    box => box,
                    box => (isRight ? before : after)[box] is { Count: > 0 } near ? near.Average(one => place[one]) : place[box]);
                boxes.Sort((one, other) =>
                    wanted[one] != wanted[other] ? wanted[one].CompareTo(wanted[other]) : place[one].CompareTo(place[other]));
                Number(boxes);
            }
        }

        void Number(List<int> boxes)
        {
            for (var row = 0; row < boxes.Count; row++) place[boxes[row]] = row - (boxes.Count - 1) / 2.0;
        }
    }

    /// <summary>As near to the middle of the neighbours as the order allows: runs that would overlap move together.</summary>
    private double[] Place()
    {
        var rows = new double[column.Length];
        foreach (var boxes in columns) for (var row = 0; row < boxes.Count; row++) rows[boxes[row]] = row;
        for (var sweep = 0; sweep < Sweeps; sweep++)
        {
            foreach (var boxes in sweep % 2 == 0 ? columns : Enumerable.Reverse(columns))
            {
                var wanted = boxes
                    .Select(box => before[box].Concat(after[box]).Select(one => rows[one]).DefaultIfEmpty(rows[box]).Average()).ToList();
                var set = Spread(wanted);
                for (var row = 0; row < boxes.Count; row++) rows[boxes[row]] = set[row];
            }
        }

        var first = rows.DefaultIfEmpty(0).Min();
        return [.. rows.Select(row => row - first)];
    }

    /// <summary>
    /// The rows nearest to those wanted (least squares) that rise by one at least: pool adjacent violators, on what is wanted less
    /// the place.
    /// </summary>
    internal static double[] Spread(IReadOnlyList<double> wanted)
    {
        var pools = new List<(double Sum, int Count)>();
        for (var row = 0; row < wanted.Count; row++)
        {
            pools.Add((wanted[row] - row, 1));
            while (pools.Count > 1 && pools[^2].Sum / pools[^2].Count > pools[^1].Sum / pools[^1].Count)
            {
                pools[^2] = (pools[^2].Sum + pools[^1].Sum, pools[^2].Count + pools[^1].Count);
                pools.RemoveAt(pools.Count - 1);
            }
        }

        var set = new List<double>();
        foreach (var (sum, count) in pools)
            for (var one = 0; one < count; one++) set.Add(sum / count + set.Count);
        return [.. set];
    }
}
