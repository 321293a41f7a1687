namespace Trace.Core.Journal;

/// <summary>
/// What an operation asks the journal to keep. The journal adds sequence number and hashes.
/// </summary>
/// <param name="RecordedAt">When the program took it, UTC.</param>
/// <param name="HappenedAt">When it happened, as told, with the teller's offset.</param>
/// <param name="Person">Who says so; never empty.</param>
/// <param name="Device">On which device; may be empty text.</param>
/// <param name="Type">The stored event name, such as <c>drying.started</c>; never renamed or reused.</param>
/// <param name="Payload">One JSON object on one line. Kept to the letter: the hash runs over it.</param>
/// <param name="Lots">Every lot the entry touches, so that the store can find entries by lot without reading payloads.</param>
/// <param name="RequestKey">The caller's idempotency key, or null.</param>
/// <param name="RequestHash">Hash of the request that the key came with, or null.</param>
/// <param name="Answer">The first answer to that request as JSON text on one line, repeated when the key comes again; or null.</param>
public sealed record NewEntry(
    DateTimeOffset RecordedAt,
    DateTimeOffset HappenedAt,
    string Person,
    string Device,
    string Type,
    string Payload,
    IReadOnlyList<string> Lots,
    string? RequestKey = null,
    string? RequestHash = null,
    string? Answer = null);

/// <summary>One entry as it stands in the journal.</summary>
/// <param name="Seq">1 for the first entry of a stream, then without gaps.</param>
/// <param name="Part">1-based place in the batch that was appended with it.</param>
/// <param name="Parts">How many entries the batch has; fewer than these on disk means the batch never happened.</param>
/// <param name="Entry">What was asked to be kept.</param>
/// <param name="PreviousHash">Hash of the entry before; 64 zeros for the first.</param>
/// <param name="Hash">SHA-256 over the entry's line without the hash itself, in lower-case hex.</param>
public sealed record JournalEntry(long Seq, int Part, int Parts, NewEntry Entry, string PreviousHash, string Hash);

/// <summary>Where an entry stands in its chain: the members of <see cref="JournalEntry"/> without what it says.</summary>
/// <param name="Flushed">
/// The last entry of the stream that was on the disk when this one was written; less than the one before its batch when batches
/// were written
/// together. What is missing behind it may have been lost with this entry's own write; what is missing up to it was lost later.
/// </param>
public readonly record struct EntryLink(long Seq, int Part, int Parts, string PreviousHash, string Hash, long Flushed);

/// <summary>Entries that are appended together or not at all.</summary>
/// <param name="Stream">A site code, or <see cref="JournalStreams.Access"/>.</param>
/// <param name="ExpectedHead">The last sequence number the decision was made on; 0 for an empty stream.</param>
public sealed record EntryBatch(string Stream, long ExpectedHead, IReadOnlyList<NewEntry> Entries)
{
    /// <summary>
    /// For callers that decide on a state of their own which runs ahead of the disk: the append before this one, done or not. When that one
    /// is refused so is this one, even if somebody else's entry has made its number right. And since such a state cannot be taken
    /// back, what
    /// a reader finds damaged after the caller saw <see cref="IJournal.Stopped"/> empty does not refuse this batch any more, only the next.
    /// </summary>
    public Task? DecidedOn { get; init; }
}

/// <summary>Where a batch came to stand.</summary>
public readonly record struct Appended(long FirstSeq, long LastSeq);

/// <summary>Stream names that are not site codes. Site codes are upper case, so they can never collide.</summary>
public static class JournalStreams
{
    /// <summary>Persons, keys and devices. Never part of an export.</summary>
    public const string Access = "access";
}
