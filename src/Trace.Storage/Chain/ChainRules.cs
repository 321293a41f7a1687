using Trace.Core.Journal;

namespace Trace.Storage;

/// <summary>How far a stream is sound: sequence number, hash and end offset of its last whole batch.</summary>
internal sealed record StreamHead(long Seq, string Hash, long Length)
{
    public static StreamHead Empty { get; } = new(0, EntryText.NoHash, 0);
}

/// <summary>What the next line of a stream has to be; moves on line by line.</summary>
internal struct ChainRules(long seq, string hash)
{
    /// <summary>A batch is refused above this, so nothing that is read has to be longer.</summary>
    public const int LongestBatchBytes = 16 << 20;

    private long seq = seq;
    private string hash = hash;
    private int part = 0;
    private int parts = 0;

    /// <summary>Sequence number that the next line must have.</summary>
    public readonly long NextSeq => seq + 1;

    /// <summary>1-based part that the next line must be.</summary>
    public readonly int NextPart => part == parts ? 1 : part + 1;

    /// <summary>True between batches.</summary>
    public readonly bool BatchIsWhole => part == parts;

    /// <summary>Takes a line whose hash holds; false and why if it is not the next one of the chain.</summary>
    public bool Take(EntryLink link, out string problem)
    {
        problem = "";
        if (link.Seq != NextSeq) problem = $"the sequence number is {link.Seq} where {NextSeq} must stand";
        else if (link.PreviousHash != hash) problem = "the previous hash is not that of the entry before";
        else if (link.Part != NextPart || (!BatchIsWhole && link.Parts != parts)) problem = "the entry is not the next part of its batch";
        if (problem.Length > 0) return false;
        (seq, hash, part, parts) = (link.Seq, link.Hash, link.Part, link.Parts);
        return true;
    }
}
