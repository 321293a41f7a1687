using System.Buffers;
using System.Globalization;
using System.Text;
using Microsoft.Data.Sqlite;
using Trace.Benchmarks.Harness;
using Trace.Benchmarks.Plants;
using Trace.Core;
using Trace.Core.Journal;
using Trace.Core.Operations;
using Trace.Core.Steps.Receiving;

namespace Trace.Benchmarks;

/// <summary>
/// Durable writes beside SQLite (write-ahead log, every commit flushed) with the same text, through HTTP with 1, 8 and 64 clients, in plants
/// with journals of 10,000, 100,000 and (with --full) 1,000,000 entries.
/// </summary>
internal static class GrowthBenchmark
{
    private const string OtherStream = "S2";
    private static readonly int[] Clients = [1, 8, 64];

    public static Benchmark About { get; } = new("growth", "durable writes a second beside SQLite, as the journal grows", Run);

    private static List<Finding> Run(Plan plan)
    {
        var findings = new List<Finding>();
        int[] sizes = plan.Quick ? [10_000] : plan.Full ? [10_000, 100_000, 1_000_000] : [10_000, 100_000];
        foreach (var size in sizes) findings.AddRange(Run(plan, size));
        return findings;
    }

    private static IEnumerable<Finding> Run(Plan plan, int size)
    {
        var folder = Path.Combine(plan.Folder, string.Create(CultureInfo.InvariantCulture, $"growth-{size}"));
        using (var store = Storage.TraceStorage.Open(folder)) PlantJournal.Fill(store, size, TimeProvider.System.GetUtcNow().AddHours(-1));
        using var plant = new RunningPlant(folder);
        var app = plant.App;
        var at = TimeProvider.System.GetUtcNow();
        var body = string.Create(
            CultureInfo.InvariantCulture, $"{{\"supplier\":\"Example Farm\",\"massGrams\":8000,\"happenedAt\":\"{at:O}\",\"species\":\"Hermetia illucens\"}}");
        var receive = Areas.Operations.Single(operation => operation.Name == "receiving/receive");
        var caller = new Caller("Amina", "tablet-1", Roles.Operator);
        app.Path.Run(app.Site(PlantJournal.Site)!, receive, new ReceiveLarvae("Example Farm", 8000, at), caller, app.Surroundings).GetAwaiter().GetResult();
        var sample = app.Journal.Get(PlantJournal.Site, app.Journal.Head(PlantJournal.Site))!.Entry;
        using var sqlite = new SqliteRows(Path.Combine(folder, "rows.db"), LineOf(sample));
        sqlite.Fill(size);
        var few = plan.Scale(500);
        var head = 0L;
        Task Append() => app.Journal.AppendAsync(new EntryBatch(OtherStream, head++, [sample]));
        double Each(Action write) => few / Rounds.Seconds(() =>
        {
            for (var written = 0; written < few; written++) write();
        });

        Contender[] http =
        [
            .. Clients.Select(clients => new Contender($"HTTP, {clients}", () => LoadClient.Rate(
                plant.Port, clients, Math.Max(few * 2 / clients, 10), "POST", $"/api/sites/{PlantJournal.Site}/receiving/receive", plant.KeyHeader,
                body, 201))),
        ];
        var series = Rounds.Play(
            plan.Rounds * 2,
            [new("SQLite, 1", () => Each(sqlite.Insert)), new("store, 1", () => Each(() => Append().GetAwaiter().GetResult())), .. http]);
        var kilo = string.Create(CultureInfo.InvariantCulture, $"{size / 1000} k entries: ");
        return
        [
            .. series.Values.Select(one => Finding.Plain(kilo + one.Name, one, " /s")),
            Finding.Plain(kilo + "store ÷ SQLite", series["store, 1"].Over(series["SQLite, 1"]), "", "0.00"),
        ];
    }

    /// <summary>The very line that the store writes for an entry.</summary>
    private static string LineOf(NewEntry entry)
    {
        var line = new ArrayBufferWriter<byte>();
        EntryText.Write(line, 10_000, 1, 1, entry, EntryText.NoHash);
        return Encoding.UTF8.GetString(line.WrittenSpan);
    }

    /// <summary>The same text in a table with the same ways to find it, each row a commit of its own.</summary>
    private sealed class SqliteRows : IDisposable
    {
        private readonly SqliteConnection connection;
        private readonly SqliteCommand insert;
        private long seq;

        public SqliteRows(string file, string text)
        {
            connection = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = file, Pooling = false }.ToString());
            connection.Open();
            Execute("PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL");
            Execute("CREATE TABLE entry (seq INTEGER PRIMARY KEY, lot TEXT, at INTEGER, text TEXT)");
            Execute("CREATE INDEX lots ON entry (lot, seq); CREATE INDEX times ON entry (at, seq)");
            insert = connection.CreateCommand();
            insert.CommandText = "INSERT INTO entry VALUES (@seq, @lot, @at, @text)";
            insert.Parameters.Add("@seq", SqliteType.Integer);
            insert.Parameters.Add("@lot", SqliteType.Text);
            insert.Parameters.Add("@at", SqliteType.Integer);
            insert.Parameters.Add("@text", SqliteType.Text).Value = text;
        }

        public void Fill(int rows)
        {
            using var transaction = connection.BeginTransaction();
            insert.Transaction = transaction;
            for (var row = 0; row < rows; row++) Insert();
            transaction.Commit();
            insert.Transaction = null;
        }

        public void Insert()
        {
            seq++;
            insert.Parameters["@seq"].Value = seq;
            insert.Parameters["@lot"].Value = string.Create(CultureInfo.InvariantCulture, $"H{seq / 6}");
            insert.Parameters["@at"].Value = seq * 1000;
            insert.ExecuteNonQuery();
        }

        public void Dispose()
        {
            insert.Dispose();
            connection.Dispose();
        }

        private void Execute(string sql)
        {
            using var command = connection.CreateCommand();
            command.CommandText = sql;
            command.ExecuteNonQuery();
        }
    }
}
