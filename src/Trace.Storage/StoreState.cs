using System.Collections.Concurrent;
using Trace.Core.Journal;

namespace Trace.Storage;

/// <summary>What writer and readers share.</summary>
internal sealed class StoreState(StoreFolder folder, StorageOptions options)
{
    private readonly ConcurrentDictionary<string, JournalStream> streams = new(StringComparer.Ordinal);
    private JournalStop? stopped;
    private JournalStop? closed;

    public StoreFolder Folder => folder;

    public StorageOptions Options => options;

    /// <summary>In ordinal order.</summary>
    public IReadOnlyList<JournalStream> Streams => [.. streams.Values.OrderBy(stream => stream.Name, StringComparer.Ordinal)];

    /// <summary>Nothing new may be decided.</summary>
    public JournalStop? Stopped => Volatile.Read(ref stopped);

    /// <summary>
    /// Nothing may be written at all: the disk refused, or a journal was damaged from the start. When a reader finds damage later, what was
    /// decided before is still written: it stands in a state in memory that could never be folded anew from what was damaged.
    /// </summary>
    public JournalStop? Closed => Volatile.Read(ref closed);

    /// <summary>How far the journals were acknowledged.</summary>
    public required AcknowledgedMark Mark { get; init; }

    public JournalStream? Find(string stream) => streams.GetValueOrDefault(stream);

    public void Add(JournalStream stream) => streams[stream.Name] = stream;

    /// <summary>Stops writing for good; the first reason stays.</summary>
    public void Close(JournalStop stop)
    {
        Interlocked.CompareExchange(ref closed, stop, null);
        Stop(stop);
    }

    private void Stop(JournalStop stop)
    {
        if (Interlocked.CompareExchange(ref stopped, stop, null) is null)
            Log($"Writing has stopped. Journal {stop.Stream}, entry {stop.Seq?.ToString() ?? "-"}: {stop.Reason}");
    }

    /// <summary>
    /// Somebody read what was never written. Nothing may be built on a journal that is not sound, so writing stops too; what is sound can
    /// still be read.
    /// </summary>
    public JournalDamagedException Damaged(string stream, long seq, string reason)
    {
        var stop = new JournalStop(stream, seq, reason);
        Stop(stop);
        return new JournalDamagedException(stop);
    }

    public void Log(string line) => options.Log?.Invoke(line);
}
