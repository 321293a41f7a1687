using System.Diagnostics;
using Microsoft.Data.Sqlite;
using Trace.Benchmarks.Harness;
using Trace.Benchmarks.Plants;

namespace Trace.Benchmarks;

/// <summary>Traces of random packed lots back and random harvests forward, over the same edges by three ways.</summary>
internal static class TraceBenchmark
{
    private const int Queries = 300;

    public static Benchmark About { get; } = new("trace", "a trace costs what its answer costs", Run);

    private static List<Finding> Run(Plan plan)
    {
        var findings = new List<Finding>();
        int[] sizes = plan.Full ? [100_000, 1_000_000, 10_000_000] : [100_000, 1_000_000];
        Series? smallest = null;
        foreach (var size in sizes)
        {
            var name = $"{size / 1000} k lots";
            var site = PlantGraph.Of(plan.Scale(size));
            var bare = new BareArrays(site);
            using var sqlite = new SqliteEdges(Path.Combine(plan.Folder, $"edges-{size}.db"), site);
            var agreed = Agree(site, bare, sqlite);
            var draws = new[] { 0, 0, 0 };
            var series = Rounds.Play(
                plan.Rounds,
                new("graph", () => Microseconds(site, draws[0]++, (lot, back) => site.Graph.Reach([lot], back).Count)),
                new("array walk", () => Microseconds(site, draws[1]++, (lot, back) => bare.Reach(lot, back).Count)),
                new("SQLite", () => Microseconds(site, draws[2]++, (lot, back) => sqlite.Reach(lot, back).Count)));
            findings.Add(Finding.Plain($"{name}: graph, µs a trace of {agreed:0} lots", series["graph"], " µs", "0.0"));
            findings.Add(Finding.Plain($"{name}: bare array walk", series["array walk"], " µs", "0.0"));
            findings.Add(Finding.Plain($"{name}: SQLite, recursive query", series["SQLite"], " µs", "0.0"));
            findings.Add(Finding.AtMost($"{name}: graph ÷ array walk", series["graph"].Over(series["array walk"]), 3));
            findings.Add(Finding.AtLeast($"{name}: SQLite ÷ graph", series["SQLite"].Over(series["graph"]), 3));
            smallest ??= series["graph"];
            // A longer history falls out of the processor's caches; what follows the history would be ten times dearer for ten times the lots.
            if (size != sizes[0])
                findings.Add(Finding.AtMost($"graph, {name} ÷ {sizes[0] / 1000} k lots", series["graph"].Over(smallest), Math.Sqrt(size / (double)sizes[0])));
        }

        return findings;
    }

    private static double Microseconds(PlantGraph site, int seed, Func<int, bool, int> reach)
    {
        // The same seed gives each way the same lots.
        var chance = new Random(seed);
        var lots = Enumerable.Range(0, Queries)
            .Select(query => query % 2 == 0 ? site.Packs[chance.Next(site.Packs.Count)] : site.Harvests[chance.Next(site.Harvests.Count)]).ToArray();
        var started = Stopwatch.GetTimestamp();
        for (var query = 0; query < Queries; query++) reach(lots[query], query % 2 == 0);
        return Stopwatch.GetElapsedTime(started).TotalMicroseconds / Queries;
    }

    /// <summary>A fast wrong answer is worth nothing: the three must find the same lots. Gives the mean number of lots.</summary>
    private static double Agree(PlantGraph site, BareArrays bare, SqliteEdges sqlite)
    {
        var (found, asked) = (0, 0);
        var chance = new Random(7);
        for (; asked < 40; asked++)
        {
            var back = asked % 2 == 0;
            var lot = back ? site.Packs[chance.Next(site.Packs.Count)] : site.Harvests[chance.Next(site.Harvests.Count)];
            var expected = site.Graph.Reach([lot], back);
            if (!expected.SequenceEqual(bare.Reach(lot, back).Order()) || !expected.SequenceEqual(sqlite.Reach(lot, back).Order()))
                throw new InvalidOperationException($"The ways disagree about lot {lot}.");
            found += expected.Count;
        }

        return (double)found / asked;
    }

    /// <summary>The least that a walk can be: neighbours in one array, where each lot's begin in another. Cannot grow.</summary>
    private sealed class BareArrays(PlantGraph site)
    {
        private readonly (int[] Start, int[] Next) sources = Sorted(site.Graph.LotCount, site.To, site.From);
        private readonly (int[] Start, int[] Next) targets = Sorted(site.Graph.LotCount, site.From, site.To);
        private readonly int[] visited = new int[site.Graph.LotCount];
        private int visit;

        public List<int> Reach(int lot, bool back)
        {
            var (start, next) = back ? sources : targets;
            visit++;
            var found = new List<int> { lot };
            visited[lot] = visit;
            for (var place = 0; place < found.Count; place++)
            {
                for (var at = start[found[place]]; at < start[found[place] + 1]; at++)
                {
                    if (visited[next[at]] == visit) continue;
                    visited[next[at]] = visit;
                    found.Add(next[at]);
                }
            }

            return found;
        }

        private static (int[] Start, int[] Next) Sorted(int lots, IReadOnlyList<int> keys, IReadOnlyList<int> values)
        {
            var start = new int[lots + 1];
            foreach (var key in keys) start[key + 1]++;
            for (var lot = 0; lot < lots; lot++) start[lot + 1] += start[lot];
            var place = start[..^1];
            var next = new int[keys.Count];
            for (var edge = 0; edge < keys.Count; edge++) next[place[keys[edge]]++] = values[edge];
            return (start, next);
        }
    }

    private sealed class SqliteEdges : IDisposable
    {
        private readonly SqliteConnection connection;
        private readonly SqliteCommand back;
        private readonly SqliteCommand forward;

        public SqliteEdges(string file, PlantGraph site)
        {
            connection = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = file, Pooling = false }.ToString());
            connection.Open();
            Do("PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF; PRAGMA cache_size = -400000; CREATE TABLE edges (f INTEGER NOT NULL, t INTEGER NOT NULL)");
            using (var transaction = connection.BeginTransaction())
            {
                using var insert = connection.CreateCommand();
                insert.CommandText = "INSERT INTO edges VALUES (@f, @t)";
                var (from, to) = (insert.Parameters.Add("@f", SqliteType.Integer), insert.Parameters.Add("@t", SqliteType.Integer));
                insert.Prepare();
                for (var edge = 0; edge < site.From.Count; edge++)
                {
                    (from.Value, to.Value) = (site.From[edge], site.To[edge]);
                    insert.ExecuteNonQuery();
                }

                transaction.Commit();
            }

            Do("CREATE INDEX forward ON edges (f, t); CREATE INDEX back ON edges (t, f); ANALYZE");
            back = Recursive("SELECT f FROM edges JOIN r ON t = lot");
            forward = Recursive("SELECT t FROM edges JOIN r ON f = lot");
        }

        public List<int> Reach(int lot, bool back)
        {
            var query = back ? this.back : forward;
            query.Parameters[0].Value = lot;
            var found = new List<int>();
            using var reader = query.ExecuteReader();
            while (reader.Read()) found.Add(reader.GetInt32(0));
            return found;
        }

        public void Dispose()
        {
            back.Dispose();
            forward.Dispose();
            connection.Dispose();
        }

        private SqliteCommand Recursive(string step)
        {
            var query = connection.CreateCommand();
#pragma warning disable CA2100 // The text is one of the two constants above.
            query.CommandText = $"WITH RECURSIVE r(lot) AS (SELECT @lot UNION {step}) SELECT lot FROM r";
#pragma warning restore CA2100
            query.Parameters.Add("@lot", SqliteType.Integer);
            query.Prepare();
            return query;
        }

        private void Do(string text)
        {
            using var command = connection.CreateCommand();
#pragma warning disable CA2100 // Constant texts of this file.
            command.CommandText = text;
#pragma warning restore CA2100
            command.ExecuteNonQuery();
        }
    }
}
