using System.Buffers;
using Trace.Core.Journal;

namespace Trace.Tests.Support;

/// <summary>A journal in memory that keeps the contract: one chain a stream, all of a batch or nothing, refused when the head has moved.</summary>
internal sealed class MemoryJournal : IJournal
{
    private readonly Lock gate = new();
    private readonly Dictionary<string, List<JournalEntry>> streams = new(StringComparer.Ordinal);
    private readonly List<Action> waiting = [];

    /// <summary>While true an append stays unanswered, and cannot be read, until <see cref="Flush"/>: a slow disk.</summary>
    public bool IsSlow { get; set; }

    public JournalStop? Stopped { get; set; }

    public IReadOnlyList<string> Streams
    {
        get { lock (gate) return [.. streams.Keys.Order(StringComparer.Ordinal)]; }
    }

    public long Head(string stream)
    {
        lock (gate) return Entries(stream).Count;
    }

    public Task<Appended> AppendAsync(EntryBatch batch)
    {
        var done = new TaskCompletionSource<Appended>(TaskCreationOptions.RunContinuationsAsynchronously);
        lock (gate)
        {
            foreach (var entry in batch.Entries) EntryText.Check(entry);
            if (IsSlow) waiting.Add(() => Take(batch, done));
            else Take(batch, done);
        }

        return done.Task;
    }

    /// <summary>The disk has caught up.</summary>
    public void Flush()
    {
        lock (gate)
        {
            foreach (var append in waiting) append();
            waiting.Clear();
        }
    }

    public IEnumerable<JournalEntry> Read(string stream, long fromSeq = 1)
    {
        lock (gate) return [.. Entries(stream).Skip((int)fromSeq - 1)];
    }

    public JournalEntry? Get(string stream, long seq)
    {
        lock (gate) return seq >= 1 && seq <= Entries(stream).Count ? Entries(stream)[(int)seq - 1] : null;
    }

    public EntryPage Query(EntryQuery query)
    {
        lock (gate)
        {
            var found = Entries(query.Stream).Where(entry =>
                entry.Seq > query.After
                && (query.Lot is null || entry.Entry.Lots.Contains(query.Lot))
                && (query.HappenedFrom is null || entry.Entry.HappenedAt >= query.HappenedFrom)
                && (query.HappenedBefore is null || entry.Entry.HappenedAt < query.HappenedBefore)).Take(query.Limit + 1).ToList();
            return found.Count > query.Limit ? new([.. found.Take(query.Limit)], found[query.Limit - 1].Seq) : new(found, null);
        }
    }

    private List<JournalEntry> Entries(string stream) => streams.GetValueOrDefault(stream) ?? [];

    private void Take(EntryBatch batch, TaskCompletionSource<Appended> done)
    {
        if (Stopped is not null)
        {
            done.SetException(new JournalStoppedException(Stopped));
            return;
        }

        var entries = Entries(batch.Stream);
        if (entries.Count != batch.ExpectedHead)
        {
            done.SetException(new HeadMovedException(batch.Stream, batch.ExpectedHead, entries.Count));
            return;
        }

        streams[batch.Stream] = entries;
        for (var place = 0; place < batch.Entries.Count; place++)
        {
            var previous = entries.Count == 0 ? EntryText.NoHash : entries[^1].Hash;
            entries.Add(EntryText.Write(new ArrayBufferWriter<byte>(), entries.Count + 1, place + 1, batch.Entries.Count, batch.Entries[place], previous));
        }

        done.SetResult(new Appended(batch.ExpectedHead + 1, entries.Count));
    }
}
