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
/// whole and changed later. And since the next group is written only after the flush of the one before has returned,
/// a good line of a later batch behind zeros says that the zeros may have been acknowledged; it may also have been in the same group,
/// and then nothing was lost. Nobody can know, so that too counts as damage and a person decides.
/// A batch that is whole but for its last newline is kept: nothing is lost by that, and editors like to drop that character.
/// One case cannot be told from a torn write: an acknowledged last batch of which the file system later lost the end, to the last byte.
/// </remarks>
internal static class JournalTail
{
    private const int SectorBytes = 512;
    private const int FewestZeros = 8;

    // A group is cut at one longest batch, so with the batch that crossed the limit it is at most twice that.
    private const int LongestTail = 2 * ChainRules.LongestBatchBytes;

    public static ScanResult Judge(IJournalFile file, StreamHead head, long end)
    {
        var tail = new byte[(int)Math.Min(end - head.Length, LongestTail + 1L)];
        var got = file.Read(head.Length, tail);
        return Judge(tail.AsSpan(0, got), head);
    }

    private static ScanResult Judge(ReadOnlySpan<byte> tail, StreamHead head)
    {
        var rules = new ChainRules(head.Seq, head.Hash);
        var at = 0;
        while (at < tail.Length)
        {
            var length = tail[at..].IndexOf((byte)'\n');
            if (length < 0) return Unfinished(tail, at, head, rules);
            if (EntryText.ReadLink(tail.Slice(at, length), out var problem) is not { } link || !rules.Take(link, out problem))
                return Failed(tail, at, head, rules, problem);
            at += length + 1;
        }

        return Torn(head, "the last batch is not whole");
    }

    /// <summary>The last piece has no newline.</summary>
    private static ScanResult Unfinished(ReadOnlySpan<byte> tail, int at, StreamHead head, ChainRules rules)
    {
        var piece = tail[at..];
        if (EntryText.ReadLink(piece, out _) is { } link && rules.Take(link, out _))
        {
            return rules.BatchIsWhole
                ? NewlineMissing(head, new StreamHead(link.Seq, link.Hash, head.Length + tail.Length + 1))
                : Torn(head, "the last batch is not whole");
        }

        if (piece.Length > 1 && EntryText.ReadLink(piece[..^1], out _) is not null)
            return Damaged(head, at, rules, "the newline after the entry was changed");
        if (tail.Length > LongestTail) return Damaged(head, at, rules, "what follows is longer than anything that is written at once");
        if (StartsRight(piece, rules)) return Torn(head, "the last line is not whole");
        return Failed(tail, at, head, rules, "the text is not the beginning of the next entry");
    }

    /// <summary>A line cannot be the next entry: torn only if whole sectors are missing and nothing of a later batch follows.</summary>
    private static ScanResult Failed(ReadOnlySpan<byte> tail, int at, StreamHead head, ChainRules rules, string problem)
    {
        if (!HasMissingSector(tail[at..], head.Length + at)) return Damaged(head, at, rules, problem);
        for (var next = at; next < tail.Length;)
        {
            var length = tail[next..].IndexOf((byte)'\n');
            if (length < 0) break;
            if (EntryText.ReadLink(tail.Slice(next, length), out _) is { } link && link.Seq - link.Part != head.Seq)
                return Damaged(head, at, rules, "text is missing before entries that are sound");
            next += length + 1;
        }

        if (tail.Length > LongestTail) return Damaged(head, at, rules, problem);
        return Torn(head, "parts of the last write never reached the disk");
    }

    private static bool StartsRight(ReadOnlySpan<byte> piece, ChainRules rules)
    {
        Span<byte> start = stackalloc byte[64];
        var text = string.Create(CultureInfo.InvariantCulture, $"{{\"seq\":{rules.NextSeq},\"part\":{rules.NextPart},\"parts\":");
        start = start[..Encoding.ASCII.GetBytes(text, start)];
        return piece.Length < start.Length ? start.StartsWith(piece) : piece.StartsWith(start) && !HasZeros(piece);
    }

    private static bool HasZeros(ReadOnlySpan<byte> piece) => piece.Contains((byte)0);

    private static bool HasMissingSector(ReadOnlySpan<byte> text, long offset)
    {
        for (var at = 0; at < text.Length;)
        {
            var toBorder = (int)(SectorBytes - ((offset + at) % SectorBytes));
            var sector = text.Slice(at, Math.Min(toBorder, text.Length - at));
            if (sector.Length >= FewestZeros && !sector.ContainsAnyExcept((byte)0)) return true;
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
