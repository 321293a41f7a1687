namespace Trace.Core.Journal;

/// <summary>
/// The boundary of the store: all that the rest of the program may see of it.
/// A store keeps one chain per stream and answers an append only when it is on the disk.
/// </summary>
public interface IJournal
{
    /// <summary>The streams that have at least one entry, in ordinal order.</summary>
    IReadOnlyList<string> Streams { get; }

    /// <summary>Why writing has stopped, or null while all is well. It stays so until the program is started again.</summary>
    JournalStop? Stopped { get; }

    /// <summary>Sequence number of the last entry that is on the disk; 0 for an empty stream.</summary>
    long Head(string stream);

    /// <summary>
    /// Appends all entries of the batch or none. Batches are taken in the order of the calls, and several that wait are flushed together.
    /// The task completes when the batch is on the disk and can be queried.
    /// </summary>
    /// <exception cref="HeadMovedException">The expected head is not the stream's head: decide again on what is there now.</exception>
    /// <exception cref="JournalStoppedException">
    /// The disk refused, or the journal is damaged. The batch does not count now; if the disk refused in the middle of it and then refused
    /// to take it back too, it may be found whole at the next start. A request key tells.
    /// </exception>
    /// <exception cref="ArgumentException">It can never be kept: no entries, no stream name, text that would not read back.</exception>
    Task<Appended> AppendAsync(EntryBatch batch);

    /// <summary>Reads a stream in order from a sequence number on, checking the chain as it goes; never holds it whole in memory.</summary>
    /// <exception cref="JournalDamagedException">An entry's hash, sequence or link does not hold.</exception>
    IEnumerable<JournalEntry> Read(string stream, long fromSeq = 1);

    /// <summary>One entry, hash checked; null when there is none.</summary>
    JournalEntry? Get(string stream, long seq);

    /// <summary>
    /// A page of entries by lot or by time. By lot, or without any condition: in ascending order of sequence number.
    /// By time alone: in order of the time it happened, then of sequence number, so that a page costs what it holds however long the
    /// journal is. By lot and time, the lot's entries are read and those of other times left out.
    /// </summary>
    /// <exception cref="ArgumentOutOfRangeException">The limit is not 1 to 500, or the continuation is negative.</exception>
    EntryPage Query(EntryQuery query);
}

/// <summary>
/// Keeps what was folded from a stream up to one of its entries, so that the next start is quicker. All of it may be lost.
/// </summary>
public interface ISnapshots
{
    /// <summary>
    /// The newest snapshot of a stream; null if there is none, if it is not byte for byte what was kept, if another version wrote it, or
    /// if the entry that it belongs to has another hash in the journal.
    /// </summary>
    ReadOnlyMemory<byte>? Find(string stream, string version);

    /// <summary>Keeps a snapshot in place of the last one.</summary>
    /// <param name="seq">The last entry that is folded in it; it is on the disk.</param>
    void Keep(string stream, string version, long seq, ReadOnlyMemory<byte> snapshot);
}

/// <summary>Which entries to find. Without <paramref name="Lot"/> and times: all of the stream.</summary>
/// <param name="Stream">A site code.</param>
/// <param name="Lot">Only entries that touch this lot.</param>
/// <param name="HappenedFrom">Only entries that happened at or after this instant (inclusive).</param>
/// <param name="HappenedBefore">Only entries that happened before this instant (exclusive).</param>
/// <param name="After">
/// Continuation: only entries that come behind the one with this sequence number in the order of the query; 0 for the first page.
/// Without a lot and times, and with a lot: those with a higher number.
/// </param>
/// <param name="Limit">1 to 500.</param>
public sealed record EntryQuery(
    string Stream,
    string? Lot = null,
    DateTimeOffset? HappenedFrom = null,
    DateTimeOffset? HappenedBefore = null,
    long After = 0,
    int Limit = 100);

/// <summary>
/// A page of entries and where to go on; <paramref name="Next"/> is null at the end, else the next query's <see cref="EntryQuery.After"/>.
/// </summary>
public sealed record EntryPage(IReadOnlyList<JournalEntry> Entries, long? Next);

/// <summary>Why and where writing stopped. <paramref name="Seq"/> is the first bad entry, if it is an entry.</summary>
public sealed record JournalStop(string Stream, long? Seq, string Reason);

public sealed class HeadMovedException(string stream, long expected, long actual)
    : Exception($"Stream {stream}: expected head {expected}, but it is {actual}.")
{
    public long Actual => actual;
}

public sealed class JournalStoppedException(JournalStop stop) : Exception($"Journal {stop.Stream}: {stop.Reason}")
{
    public JournalStop Stop => stop;
}

public sealed class JournalDamagedException(JournalStop stop) : Exception($"Journal {stop.Stream}, entry {stop.Seq}: {stop.Reason}")
{
    public JournalStop Stop => stop;
}
