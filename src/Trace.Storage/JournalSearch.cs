using System.Text;
using Trace.Core.Journal;

namespace Trace.Storage;

/// <summary>Finds entries in a journal file itself, without an index.</summary>
internal static class JournalSearch
{
    private const int NearBytes = 32 * 1024;
    private static readonly byte[] LineStart = Encoding.ASCII.GetBytes("{\"seq\":");

    /// <summary>
    /// The place of an entry, by halving: entries stand in the order of their numbers. Null if what it meets on the way is no journal.
    /// </summary>
    public static Place? Find(JournalStream stream, long seq, StreamHead head)
    {
        var (low, high) = (0L, head.Length);
        while (high - low > NearBytes)
        {
            var middle = low + (high - low) / 2;
            // The line that contains the middle is passed over; the one after it tells which half to look in.
            var probe = new LineScanner(stream.File, middle, high);
            if (!probe.Next() || probe.NextOffset >= high || !probe.Next())
            {
                high = middle;
                continue;
            }

            if (SeqOf(probe.Line.Span) is not { } found) return null;
            if (found <= seq) low = probe.Offset;
            else high = middle;
        }

        // Halving may have left the end of the wanted line outside.
        var scanner = new LineScanner(stream.File, low, head.Length);
        while (scanner.Next())
        {
            if (SeqOf(scanner.Line.Span) is not { } found || found > seq) return null;
            if (found == seq) return new Place(seq, scanner.Offset, scanner.Line.Length);
        }

        return null;
    }

    /// <summary>
    /// All entries that touch a lot, in order. Each line's hash and link is checked, but only lines with the lot's code in them are read.
    /// </summary>
    /// <exception cref="JournalDamagedException">A line is not what was written.</exception>
    public static IEnumerable<JournalEntry> ByLot(StoreState state, JournalStream stream, string lot, StreamHead head)
    {
        var code = Encoding.UTF8.GetBytes(lot);
        var rules = new ChainRules(0, EntryText.NoHash);
        var scanner = new LineScanner(stream.File, 0, head.Length);
        while (rules.NextSeq <= head.Seq)
        {
            var problem = "the line is missing or longer than any can be";
            if (!scanner.Next() || EntryText.ReadLink(scanner.Line.Span, out problem) is not { } link || !rules.Take(link, out problem))
                throw state.Damaged(stream.Name, rules.NextSeq, problem);
            // A code with a character that JSON escapes does not stand in the line as it is.
            if (scanner.Line.Span.IndexOf(code) < 0 && scanner.Line.Span.IndexOf((byte)'\\') < 0) continue;
            if (EntryText.Read(scanner.Line.Span, out _) is { } entry && entry.Entry.Lots.Contains(lot)) yield return entry;
        }
    }

    private static long? SeqOf(ReadOnlySpan<byte> line) =>
        line.StartsWith(LineStart) && System.Buffers.Text.Utf8Parser.TryParse(line[LineStart.Length..], out long seq, out _) ? seq : null;
}
