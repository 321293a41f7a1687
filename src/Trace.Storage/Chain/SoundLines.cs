using System.Text;
using Trace.Core.Journal;

namespace Trace.Storage;

/// <summary>
/// An entry whose own hash holds, wherever it stands. The text has no newline and is valid until the next one is asked for.
/// </summary>
internal readonly record struct SoundLine(EntryLink Link, long Offset, ReadOnlyMemory<byte> Text);

/// <summary>Looks for entries that still hold in a damaged file, where the chain leads no further.</summary>
internal static class SoundLines
{
    // A payload may hold what looks like an entry's end. Trying a few ends is enough, and a crafted file cannot make it slow.
    private const int MostEnds = 4;
    private const int EndLength = 9 + 64 + 2;
    private static readonly byte[] Start = Encoding.ASCII.GetBytes("{\"seq\":");
    private static readonly byte[] HashName = Encoding.ASCII.GetBytes(",\"hash\":\"");

    /// <summary>All entries between two offsets whose hash holds, in the order of the file.</summary>
    public static IEnumerable<SoundLine> Behind(IJournalFile file, long from, long end)
    {
        while (from < end)
        {
            var scanner = new LineScanner(file, from, end);
            while (scanner.Next())
                foreach (var found in In(scanner.Line, scanner.Offset)) yield return found;

            // What is left has no newline, or is longer than any line: only its end can still be an entry.
            var newline = NextNewline(file, scanner.NextOffset, end);
            var start = Math.Max(scanner.NextOffset, newline - ChainRules.LongestBatchBytes);
            var piece = new byte[newline - start];
            var got = file.Read(start, piece);
            foreach (var found in In(piece.AsMemory(0, got), start)) yield return found;
            from = newline + 1;
        }
    }

    /// <summary>True if an entry names the other one as the one before it.</summary>
    public static bool Follows(EntryLink before, EntryLink link) => link.Seq == before.Seq + 1 && link.PreviousHash == before.Hash;

    public static IReadOnlyList<SoundRun> Runs(IEnumerable<SoundLine> lines)
    {
        var runs = new List<SoundRun>();
        EntryLink? last = null;
        foreach (var (link, offset, _) in lines)
        {
            if (last is { } before && Follows(before, link)) runs[^1] = runs[^1] with { LastSeq = link.Seq, HeadHash = link.Hash };
            else runs.Add(new SoundRun(link.Seq, link.Seq, offset, link.Hash));
            last = link;
        }

        return runs;
    }

    private static List<SoundLine> In(ReadOnlyMemory<byte> line, long offset)
    {
        if (EntryText.ReadLink(line.Span, out _) is { } whole) return [new SoundLine(whole, offset, line)];

        // The newline before or behind an entry may be what was damaged: then it stands inside a longer line.
        var found = new List<SoundLine>();
        for (var at = 0; line.Span[at..].IndexOf(Start) is >= 0 and var skipped;)
        {
            at += skipped;
            if (FirstEntry(line[at..]) is not { } entry)
            {
                at += Start.Length;
                continue;
            }

            found.Add(entry with { Offset = offset + at });
            at += entry.Text.Length;
        }

        return found;
    }

    private static SoundLine? FirstEntry(ReadOnlyMemory<byte> text)
    {
        var (at, ends) = (0, 0);
        while (ends++ < MostEnds && text.Span[at..].IndexOf(HashName) is >= 0 and var skipped && at + skipped + EndLength <= text.Length)
        {
            at += skipped;
            var entry = text[..(at + EndLength)];
            if (EntryText.ReadLink(entry.Span, out _) is { } link) return new SoundLine(link, 0, entry);
            at += HashName.Length;
        }

        return null;
    }

    private static long NextNewline(IJournalFile file, long from, long end)
    {
        var buffer = new byte[64 * 1024];
        while (from < end)
        {
            var got = file.Read(from, buffer.AsSpan(0, (int)Math.Min(buffer.Length, end - from)));
            if (got == 0) break;
            if (buffer.AsSpan(0, got).IndexOf((byte)'\n') is >= 0 and var newline) return from + newline;
            from += got;
        }

        return end;
    }
}
