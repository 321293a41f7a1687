namespace Trace.Storage;

/// <summary>What walking the chains found.</summary>
public sealed record VerifyReport(IReadOnlyList<StreamReport> Streams)
{
    /// <summary>True if no stream has a bad entry. Also true of an empty folder: look at the counts.</summary>
    public bool Sound => Streams.All(stream => stream.FirstBad is null);
}

/// <summary>One stream's chain.</summary>
/// <param name="Stream">A site code or the access stream.</param>
/// <param name="Entries">Entries in whole, sound batches; the sequence number of the last of them.</param>
/// <param name="HeadHash">Hash of the last of them; 64 zeros if there is none.</param>
/// <param name="FirstBad">The first entry that does not hold, or null.</param>
public sealed record StreamReport(string Stream, long Entries, string HeadHash, BadEntry? FirstBad)
{
    /// <summary>
    /// If an entry is bad: what behind the last whole batch still holds among itself, in the order of the file. That it once followed the
    /// entries before the damage is not shown by it.
    /// </summary>
    public IReadOnlyList<SoundRun> Behind { get; init; } = [];
}

/// <summary>Entries that stand together, each with a hash that holds and each but the first naming the one before.</summary>
/// <param name="ByteOffset">Where the first one starts in the journal file.</param>
/// <param name="HeadHash">Hash of the last one.</param>
public sealed record SoundRun(long FirstSeq, long LastSeq, long ByteOffset, string HeadHash);

/// <summary>Where a chain breaks: the entry that should stand there, its byte offset in the file, and what is wrong.</summary>
public sealed record BadEntry(long Seq, long ByteOffset, string Reason);

/// <summary>How far the check of one stream has come.</summary>
public sealed record VerifyProgress(string Stream, long Entries, long Bytes, long TotalBytes);
