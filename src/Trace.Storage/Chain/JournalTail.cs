using System.Globalization;
using System.Text;
using Trace.Core.Journal;

namespace Trace.Storage;

/// <summary>
/// Decides whether what follows the last whole batch is a write that never finished, or damage to something acknowledged.
/// </summary>
/// <remarks>
/// A torn write was never acknowledged and may be cut off. Damage must not be: it may be an answer somebody relies on.
/// What a write can leave behind when the program or the machine stops in the middle of it:
/// <list type="bullet">
/// <item>a beginning of the lines, cut anywhere: the program died, the disk was full, or the file had not grown further;</item>
/// <item>the full length with whole sectors missing, which the file system shows as zeros: the power went before the flush returned.
/// A line of JSON holds no zero byte, so zeros from one sector border to the next were never written text.</item>
/// </list>
/// Everything else is damage. In particular a line that is ended by its newline, holds no such zeros and fails its check, was written
/// whole and changed later. Behind zeros there may be good lines of later batches of the same write: each line says what had been flushed
/// when it was written, and one that was written after the flush of what is missing says that it was acknowledged.
/// A batch that is whole but for its last newline is kept: nothing is lost by that, and editors like to drop that character.
/// One case cannot be told from a torn write: that the disk later loses, in just these two ways, a part of the write it acknowledged last.
/// <see cref="AcknowledgedMark"/> leaves a second for it.
/// </remarks>
internal static class JournalTail
{
    private const int SectorBytes = 512;

    // A group is cut at one longest batch, so with the batch that crossed the limit it is at most twice that.
    private const int LongestTail = 2 * ChainRules.LongestBatchBytes;

    public static ScanResult Judge(IJournalFile file, StreamHead head, long end)
    {
        var tail = new byte[(int)Math.Min(end - head.Length, LongestTail + 1L)];
        var got = file.Read(head.Length, tail);
        return Judge(tail.AsSpan(0, got), head, SoundLines.Behind(file, head.Length, end).Select(line => line.Link));
    }

    /// <param name="sound">What still holds by itself in the tail; looked for only when it matters.</param>
    private static ScanResult Judge(ReadOnlySpan<byte> tail, StreamHead head, IEnumerable<EntryLink> sound)
    {
        var rules = new ChainRules(head.Seq, head.Hash);
        var at = 0;
        while (at < tail.Length)
        {
            var length = tail[at..].IndexOf((byte)'\n');
            if (length < 0) return Unfinished(tail, at, head, rules, sound);
            if (EntryText.ReadLink(tail.Slice(at, length), out var problem) is not { } link || !rules.Take(link, out problem))
                return Failed(tail, at, length, head, rules, sound, problem);
            at += length + 1;
        }

        return Torn(head, "the last batch is not whole");
    }

    /// <summary>The last piece has no newline.</summary>
    private static ScanResult Unfinished(ReadOnlySpan<byte> tail, int at, StreamHead head, ChainRules rules, IEnumerable<EntryLink> sound)
    {
        var piece = tail[at..];
        if (EntryText.ReadLink(piece, out _) is { } link && rules.Take(link, out _))
        {
            return rules.BatchIsWhole
                ? NewlineMissing(head, new StreamHead(link.Seq, link.Hash, head.Length + tail.Length + 1))
                : Torn(head, "the last batch is not whole");
        }

        if (piece.Length > 1 && EntryText.ReadLink(piece[..^1], out _) is not null && !LacksSector(tail, at, piece.Length, head.Length))
            return Damaged(head, at, rules, "the newline after the entry was changed");
        if (tail.Length > LongestTail) return Damaged(head, at, rules, "what follows is longer than anything that is written at once");
        if (StartsRight(piece, rules)) return Torn(head, "the last line is not whole");
        return Failed(tail, at, piece.Length, head, rules, sound, "the text is not the beginning of the next entry");
    }

    /// <summary>A line cannot be the next entry: torn only if it lacks whole sectors, and nothing behind it was written later.</summary>
    private static ScanResult Failed(
        ReadOnlySpan<byte> tail, int at, int length, StreamHead head, ChainRules rules, IEnumerable<EntryLink> sound, string problem)
    {
        if (tail.Length > LongestTail || !LacksSector(tail, at, length, head.Length)) return Damaged(head, at, rules, problem);
        return sound.Any(link => link.Flushed > head.Seq)
            ? Damaged(head, at, rules, "text is missing before entries that were written when it had been flushed")
            : Torn(head, "parts of the last write never reached the disk");
    }

    private static bool StartsRight(ReadOnlySpan<byte> piece, ChainRules rules)
    {
        Span<byte> start = stackalloc byte[64];
        var text = string.Create(CultureInfo.InvariantCulture, $"{{\"seq\":{rules.NextSeq},\"part\":{rules.NextPart},\"parts\":");
        start = start[..Encoding.ASCII.GetBytes(text, start)];
        return piece.Length < start.Length ? start.StartsWith(piece) : piece.StartsWith(start) && !HasZeros(piece);
    }

    private static bool HasZeros(ReadOnlySpan<byte> piece) => piece.Contains((byte)0);

    /// <summary>
    /// Zeros from one border to the next, beginning in a line. The place where the line starts and the end of the file are borders too. No
    /// single flipped bit looks like this: neither the brace that starts a line nor the newline that ends a file becomes zero by one.
    /// </summary>
    private static bool LacksSector(ReadOnlySpan<byte> tail, int line, int length, long offset)
    {
        for (var at = line; at < line + length;)
        {
            var toBorder = (int)(SectorBytes - ((offset + at) % SectorBytes));
            var sector = tail.Slice(at, Math.Min(toBorder, tail.Length - at));
            if (!sector.ContainsAnyExcept((byte)0)) return true;
            at += sector.Length;
        }

        return false;
    }

    private static ScanResult Torn(StreamHead head, string reason) => new(head, TailKind.Torn, reason);

    private static ScanResult NewlineMissing(StreamHead head, StreamHead completed) =>
        new(head, TailKind.NewlineMissing, "the last line lacks its newline", Completed: completed);

    private static ScanResult Damaged(StreamHead head, int at, ChainRules rules, string reason) =>
        new(head, TailKind.Damaged, reason, new BadEntry(rules.NextSeq, head.Length + at, reason));
}
