using Trace.Core.Journal;

namespace Trace.Storage;

/// <summary>What stands after the last whole batch of a journal file.</summary>
internal enum TailKind
{
    /// <summary>Nothing.</summary>
    None,

    /// <summary>A write that never finished, so never was acknowledged: may be cut off.</summary>
    Torn,

    /// <summary>A whole batch that lacks only its last newline.</summary>
    NewlineMissing,

    /// <summary>Something that was, or may have been, acknowledged and is not what it was.</summary>
    Damaged,
}

/// <summary>The result of walking one journal file.</summary>
/// <param name="Head">The last whole batch.</param>
/// <param name="Tail">What follows it.</param>
/// <param name="Reason">Why the tail is judged so; empty if there is none.</param>
/// <param name="Bad">Set if and only if the tail is damaged.</param>
/// <param name="Completed">Set if and only if a newline is missing: the head once it is written.</param>
internal sealed record ScanResult(StreamHead Head, TailKind Tail, string Reason, BadEntry? Bad = null, StreamHead? Completed = null);

internal static class JournalScan
{
    /// <summary>Walks the chain from the start of the file to an offset, checking each hash, number, link and batch.</summary>
    /// <param name="moved">Told now and then how many entries and bytes were walked.</param>
    /// <param name="acknowledged">The last entry that is known to have been acknowledged: <see cref="AcknowledgedMark"/>.</param>
    public static ScanResult Walk(IJournalFile file, long end, Action<long, long>? moved = null, long acknowledged = 0)
    {
        var rules = new ChainRules(0, EntryText.NoHash);
        var head = StreamHead.Empty;
        var scanner = new LineScanner(file, 0, end);
        while (scanner.Next())
        {
            if (EntryText.ReadLink(scanner.Line.Span, out _) is not { } link || !rules.Take(link, out _)) break;
            if (!rules.BatchIsWhole) continue;
            head = new StreamHead(link.Seq, link.Hash, scanner.NextOffset);
            if (link.Seq % 8192 == 0) moved?.Invoke(link.Seq, head.Length);
        }

        moved?.Invoke(head.Seq, head.Length);
        var found = head.Length == end ? new ScanResult(head, TailKind.None, "") : JournalTail.Judge(file, head, end);
        if (found.Tail == TailKind.Damaged || (found.Completed ?? head).Seq >= acknowledged) return found;
        var reason = AcknowledgedMark.Lost(acknowledged, found.Tail == TailKind.None ? "the journal ends before" : found.Reason);
        return new ScanResult(head, TailKind.Damaged, reason, new BadEntry(head.Seq + 1, head.Length, reason));
    }
}
