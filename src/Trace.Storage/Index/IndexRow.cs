using Trace.Core.Journal;

namespace Trace.Storage;

/// <summary>What the index knows of an entry: enough to find it, never enough to answer without the journal.</summary>
internal readonly record struct IndexRow(
    string Stream, long Seq, long HappenedUtcTicks, IReadOnlyList<string> Lots, long Offset, int Length)
{
    public static IndexRow Of(string stream, long seq, NewEntry entry, long offset, int length) =>
        new(stream, seq, entry.HappenedAt.UtcTicks, entry.Lots, offset, length);
}

/// <summary>Where an entry's line stands in its journal file, without the newline.</summary>
internal readonly record struct Place(long Seq, long Offset, int Length);

/// <summary>The index says something that the journal does not.</summary>
internal sealed class IndexMismatchException(string reason) : Exception(reason);
