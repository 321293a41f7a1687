using Trace.Core.Journal;

namespace Trace.Storage;

/// <summary>
/// All reading. What the index finds is read from the journal and checked, so a wrong index can cost time but never give a wrong entry.
/// </summary>
internal sealed class JournalReader(StoreState state, IndexKeeper index)
{
    private const int LargestPage = 500;

    /// <summary>The entry at a place, or null if there is none with that number; its hash is checked.</summary>
    public static JournalEntry? LineAt(JournalStream stream, Place place)
    {
        if (place.Offset < 0 || place.Length is < 1 or > ChainRules.LongestBatchBytes) return null;
        if (place.Offset + place.Length >= stream.File.Length) return null;
        var line = new byte[place.Length + 1];
        if (stream.File.Read(place.Offset, line) < line.Length || line[^1] != (byte)'\n') return null;
        return EntryText.Read(line.AsSpan(..^1), out _) is { } entry && entry.Seq == place.Seq ? entry : null;
    }

    public IEnumerable<JournalEntry> Read(string name, long fromSeq)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(fromSeq, 1);
        return state.Find(name) is { } stream && fromSeq <= stream.Durable.Seq ? Read(stream, fromSeq, stream.Durable) : [];
    }

    public JournalEntry? Get(string name, long seq)
    {
        if (seq < 1 || state.Find(name) is not { } stream || stream.Durable is var head && seq > head.Seq) return null;
        return Locate(stream, seq, head)?.Entry ?? Read(stream, seq, head).First();
    }

    public EntryPage Query(EntryQuery query)
    {
        if (query.Limit is < 1 or > LargestPage) throw new ArgumentOutOfRangeException(nameof(query), "A page has 1 to 500 entries.");
        ArgumentOutOfRangeException.ThrowIfNegative(query.After);
        if (state.Find(query.Stream) is not { } stream) return new EntryPage([], null);
        var head = stream.Durable;
        if (query.After > head.Seq) return new EntryPage([], null);
        if (query.Lot is null && query.HappenedFrom is null && query.HappenedBefore is null)
            return Page([.. Read(query.Stream, query.After + 1).Take(query.Limit + 1)], query.Limit);
        if (query.Lot is { } lot && !StoreRules.IsLot(lot)) return new EntryPage([], null);
        var behind = query.After > 0 && query.Lot is null ? Get(query.Stream, query.After) : null;
        return index.TryUse(stream.Name, head.Seq, found => Select(found, stream, query, behind, head), out var page)
            ? page
            : Walk(stream, query, behind, head);
    }

    private static EntryPage Page(List<JournalEntry> found, int limit) =>
        found.Count > limit ? new EntryPage(found[..limit], found[limit - 1].Seq) : new EntryPage(found, null);

    /// <summary>The same page without an index.</summary>
    private EntryPage Walk(JournalStream stream, EntryQuery query, JournalEntry? behind, StreamHead head)
    {
        bool Fits(JournalEntry entry) =>
            (query.HappenedFrom is not { } from || entry.Entry.HappenedAt >= from)
            && (query.HappenedBefore is not { } before || entry.Entry.HappenedAt < before);
        if (query.Lot is { } lot)
        {
            return Page([.. JournalSearch.ByLot(state, stream, lot, head).Where(entry => entry.Seq > query.After && Fits(entry))
                .Take(query.Limit + 1)], query.Limit);
        }

        // The earliest of those that fit and come behind the last page; the queue gives the latest of them first, to make room.
        var earliest = new PriorityQueue<JournalEntry, (long, long)>(Comparer<(long, long)>.Create((left, right) => right.CompareTo(left)));
        var resume = behind is not null && Fits(behind) ? KeyOf(behind) : (long.MinValue, 0);
        foreach (var entry in Read(stream, 1, head))
        {
            if (!Fits(entry) || KeyOf(entry).CompareTo(resume) <= 0) continue;
            earliest.Enqueue(entry, KeyOf(entry));
            if (earliest.Count > query.Limit + 1) earliest.Dequeue();
        }

        return Page([.. earliest.UnorderedItems.OrderBy(item => item.Priority).Select(item => item.Element)], query.Limit);
    }

    private static (long Ticks, long Seq) KeyOf(JournalEntry entry) => (entry.Entry.HappenedAt.UtcTicks, entry.Seq);

    private EntryPage Select(QueryIndex index, JournalStream stream, EntryQuery query, JournalEntry? behind, StreamHead head)
    {
        var from = query.HappenedFrom?.UtcTicks ?? 0;
        var before = query.HappenedBefore?.UtcTicks ?? long.MaxValue;
        var (seq, ticks) = (query.After, from);
        if (query.Lot is null)
        {
            var resume = behind?.Entry.HappenedAt.UtcTicks ?? -1;
            (seq, ticks) = resume >= from ? (behind!.Seq, resume) : (0, from);
        }

        var found = new List<JournalEntry>();
        var wanted = Math.Min(query.Limit + 1, LargestPage);
        while (ticks < before)
        {
            var places = query.Lot is { } lot
                ? index.ByLot(stream.Name, lot, seq, wanted)
                : index.ByTime(stream.Name, ticks, seq, before - 1, wanted);
            foreach (var place in places)
            {
                var entry = LineAt(stream, place) ?? throw NotThere(stream, place, head);
                var at = entry.Entry.HappenedAt.UtcTicks;
                if (query.Lot is { } touched && !entry.Entry.Lots.Contains(touched))
                    throw new IndexMismatchException($"entry {place.Seq} does not touch the lot it says");
                if (query.Lot is null && (at < ticks || at >= before || (at == ticks && entry.Seq <= seq)))
                    throw new IndexMismatchException($"entry {place.Seq} did not happen when it says");
                if (query.Lot is not null && entry.Seq <= seq) throw new IndexMismatchException($"entry {place.Seq} is out of order");
                seq = entry.Seq;
                if (query.Lot is null) ticks = at;
                if (entry.Seq > head.Seq || at < from || at >= before) continue;
                found.Add(entry);
                if (found.Count > query.Limit) return Page(found, query.Limit);
            }

            if (places.Count < wanted) break;
        }

        return Page(found, query.Limit);
    }

    /// <summary>The lines of entries as they stand in the file, each with its newline, checked as <see cref="Read(string, long)"/> does.</summary>
    public void CopyLines(string name, long fromSeq, long toSeq, Stream target)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(fromSeq, 1);
        if (state.Find(name) is not { } stream || fromSeq > stream.Durable.Seq) return;
        foreach (var (entry, line) in Lines(stream, fromSeq, stream.Durable))
        {
            if (entry.Seq > toSeq) return;
            target.Write(line.Span);
            target.WriteByte((byte)'\n');
        }
    }

    private IEnumerable<JournalEntry> Read(JournalStream stream, long fromSeq, StreamHead head) =>
        Lines(stream, fromSeq, head).Select(found => found.Entry);

    /// <summary>Each line is valid until the next one is asked for.</summary>
    private IEnumerable<(JournalEntry Entry, ReadOnlyMemory<byte> Line)> Lines(JournalStream stream, long fromSeq, StreamHead head)
    {
        // The entry before gives the place to start at and the hash that the first one must follow.
        var (seq, hash, offset) = fromSeq > 1 && Locate(stream, fromSeq - 1, head) is { } before
            ? (before.Entry.Seq, before.Entry.Hash, before.Place.Offset + before.Place.Length + 1)
            : (0, EntryText.NoHash, 0);
        var scanner = new LineScanner(stream.File, offset, head.Length);
        while (seq < head.Seq)
        {
            seq++;
            if (!scanner.Next()) throw Damaged(stream, seq, "the line is missing or longer than any can be");
            var entry = EntryText.Read(scanner.Line.Span, out var problem) ?? throw Damaged(stream, seq, problem);
            if (entry.Seq != seq) throw Damaged(stream, seq, $"the sequence number is {entry.Seq}");
            if (entry.PreviousHash != hash) throw Damaged(stream, seq, "the previous hash is not that of the entry before");
            hash = entry.Hash;
            if (seq >= fromSeq) yield return (entry, scanner.Line);
        }
    }

    /// <summary>Finds an entry and checks its hash; null when something is wrong on the way, which reading in order will name.</summary>
    private static (Place Place, JournalEntry Entry)? Locate(JournalStream stream, long seq, StreamHead head) =>
        JournalSearch.Find(stream, seq, head) is { } place && LineAt(stream, place) is { } entry ? (place, entry) : null;

    /// <summary>The journal itself says whose fault it is: an index that is right about a damaged entry still serves all others.</summary>
    private IndexMismatchException NotThere(JournalStream stream, Place place, StreamHead head)
    {
        if (place.Seq >= 1 && place.Seq <= head.Seq) _ = Read(stream, place.Seq, head).First();
        return new IndexMismatchException($"entry {place.Seq} is not where it says");
    }

    private JournalDamagedException Damaged(JournalStream stream, long seq, string reason) => state.Damaged(stream.Name, seq, reason);
}
