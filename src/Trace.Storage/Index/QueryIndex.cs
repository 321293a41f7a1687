using LiteDB;
using LiteDB.Engine;

namespace Trace.Storage;

/// <summary>
/// The query store: finds entries of a stream by lot and by time. It holds places in the journal only, so it may be lost at any time,
/// and what it finds is always read from the journal and checked there.
/// </summary>
/// <remarks>
/// A document: <c>_id</c> = number of the stream &lt;&lt; 44 | seq; <c>o</c>, <c>n</c> = offset and length of the line;
/// <c>k</c> = stream, time and seq, <c>l</c> = for each lot: stream, lot and seq, all as fixed-width hex text,
/// so that a range of keys comes out in the order of pages and a page costs what it holds.
/// LiteDB never flushes a commit, loses data when several threads write and has no checksums, so: one thread writes and checkpoints, and
/// the file counts only if it was closed cleanly and is still, byte for byte, what was closed then (<see cref="CleanMark"/>).
/// Rows are written in the order of the journal, in transactions; so the last row of a stream tells how far the index has come.
/// Conditions are BETWEEN with parameters (else only one bound is used, or every value compiles anew), and results are lists (an open
/// reader would hold a transaction).
/// </remarks>
internal sealed class QueryIndex : IDisposable
{
    private const int SeqBits = 44;
    private const long HighestSeq = (1L << SeqBits) - 1;
    private const long LargeLogBytes = 64L << 20;
    private const int LogLooks = 64;

    // A commit writes some eight pages, mostly the same ones again. Merging them seldom costs a few flushes less a second.
    private const int PagesBeforeCheckpoint = 8000;

    private const string LastSeq = "fffffffffff";

    private readonly LiteDatabase database;
    private readonly ILiteCollection<BsonDocument> entries;
    private readonly ILiteCollection<BsonDocument> streams;
    private readonly Dictionary<string, long> numbers = new(StringComparer.Ordinal);
    private readonly string folder;
    private readonly string logPath;
    private int applied;

    private QueryIndex(string folder)
    {
        this.folder = folder;
        logPath = Path.Combine(folder, "query-log.db");
        var engine = new LiteEngine(new EngineSettings { Filename = Path.Combine(folder, "query.db"), Collation = Collation.Binary });
        try
        {
            database = new LiteDatabase(engine, new BsonMapper());
            database.Checkpoint();
            database.Timeout = TimeSpan.FromSeconds(10);
            database.CheckpointSize = PagesBeforeCheckpoint;
            entries = database.GetCollection("entries", BsonAutoId.Int64);
            streams = database.GetCollection("streams", BsonAutoId.Int64);
            foreach (var stream in streams.FindAll().ToList()) numbers.Add(stream["s"].AsString, stream["_id"].AsInt64);
        }
        catch
        {
            engine.Dispose();
            throw;
        }
    }

    /// <summary>Names of the streams that have rows.</summary>
    public IEnumerable<string> Streams => numbers.Keys;

    /// <summary>Opens what is there; null and why if it cannot be relied on.</summary>
    public static QueryIndex? Open(string folder, out string reason)
    {
        if (!CleanMark.Take(folder, out reason)) return null;
        try
        {
            return new QueryIndex(folder);
        }
        catch (Exception broken)
        {
            // Whatever the driver throws: the answer is always to build it anew.
            reason = $"it cannot be opened ({broken.Message})";
            return null;
        }
    }

    /// <summary>Deletes what is there and starts empty.</summary>
    public static QueryIndex Create(string folder)
    {
        StoreFolder.CreatePrivate(folder);
        foreach (var file in Directory.EnumerateFiles(folder)) File.Delete(file);
        var index = new QueryIndex(folder);
        index.entries.EnsureIndex("k", BsonExpression.Create("$.k"));
        index.entries.EnsureIndex("l", BsonExpression.Create("$.l[*]"));
        return index;
    }

    /// <summary>The last row of a stream, or null.</summary>
    public Place? Last(string stream)
    {
        if (!numbers.TryGetValue(stream, out var number)) return null;
        var all = BsonExpression.Create("$._id BETWEEN @0 AND @1", Id(number, 0), Id(number, HighestSeq));
        return entries.Query().Where(all).OrderByDescending("$._id").Limit(1).ToList() is [var last] ? PlaceOf(last) : null;
    }

    /// <summary>Rows that touch a lot, in order of seq, behind a seq.</summary>
    public List<Place> ByLot(string stream, string lot, long after, int limit) =>
        Range("$.l[*] ANY BETWEEN @0 AND @1", LotKey(stream, lot) + Hex(after + 1), LotKey(stream, lot) + LastSeq, limit);

    /// <summary>
    /// Rows from one instant (inclusive, behind a seq) to another (inclusive), in order of time, then seq. Ticks are UTC.
    /// </summary>
    public List<Place> ByTime(string stream, long fromTicks, long after, long toTicks, int limit) =>
        Range("$.k BETWEEN @0 AND @1", TimeKey(stream, fromTicks) + Hex(after + 1), TimeKey(stream, toTicks) + LastSeq, limit);

    /// <summary>Writes the rows in one transaction. Only ever one thread at a time, and that one also checkpoints.</summary>
    public void Apply(IReadOnlyList<IndexRow> rows)
    {
        if (!database.BeginTrans()) throw new IndexMismatchException("a transaction was left open");
        entries.Insert(rows.Select(row => Document(row, NumberOf(row.Stream))).ToList());
        if (!database.Commit()) throw new IndexMismatchException("the transaction was not this thread's");
        if (++applied % LogLooks == 0 && new FileInfo(logPath) is { Exists: true, Length: > LargeLogBytes }) database.Checkpoint();
    }

    /// <summary>Closes the file, and says with a mark beside it that it may be relied on next time.</summary>
    /// <param name="clean">False for what cannot be relied on: then nothing is thrown either, since it is deleted next.</param>
    public void Close(bool clean)
    {
        try
        {
            if (clean) database.Checkpoint();
            Dispose();
        }
        catch (Exception) when (!clean)
        {
            // A driver that cannot even close a broken file has nothing more to tell.
        }

        if (clean) CleanMark.Leave(folder);
    }

    public void Dispose() => database.Dispose();

    private static BsonDocument Document(IndexRow row, long number)
    {
        var lots = new BsonArray();
        foreach (var lot in row.Lots.Distinct(StringComparer.Ordinal)) lots.Add(LotKey(row.Stream, lot) + Hex(row.Seq));
        return new BsonDocument
        {
            ["_id"] = Id(number, row.Seq),
            ["k"] = TimeKey(row.Stream, row.HappenedUtcTicks) + Hex(row.Seq),
            ["l"] = lots,
            ["o"] = row.Offset,
            ["n"] = row.Length,
        };
    }

    private static BsonValue Id(long number, long seq) => (number << SeqBits) | seq;

    private static string Hex(long seq) => seq.ToString("x11");

    // A space stands in no stream name, and lots with control characters are refused: the parts of a key cannot run into each other.
    private static string LotKey(string stream, string lot) => $"{stream} {lot}\u0001";

    private static string TimeKey(string stream, long ticks) => $"{stream} {ticks:x16}";

    private static Place PlaceOf(BsonDocument row) => new(row["_id"].AsInt64 & HighestSeq, row["o"].AsInt64, row["n"].AsInt32);

    private List<Place> Range(string condition, string low, string high, int limit) =>
        entries.Query().Where(BsonExpression.Create(condition, low, high)).Limit(limit).ToList().ConvertAll(PlaceOf);

    private long NumberOf(string stream)
    {
        if (numbers.TryGetValue(stream, out var number)) return number;
        number = numbers.Count + 1;
        streams.Insert(new BsonDocument { ["_id"] = number, ["s"] = stream });
        lock (numbers) numbers.Add(stream, number);
        return number;
    }
}
