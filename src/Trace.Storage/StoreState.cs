using System.Collections.Concurrent;
using Trace.Core.Journal;

namespace Trace.Storage;

/// <summary>What writer and readers share.</summary>
internal sealed class StoreState(StoreFolder folder, StorageOptions options)
{
    private readonly ConcurrentDictionary<string, JournalStream> streams = new(StringComparer.Ordinal);
    private JournalStop? stopped;

    public StoreFolder Folder => folder;

    public StorageOptions Options => options;

    /// <summary>In ordinal order.</summary>
    public IReadOnlyList<JournalStream> Streams => [.. streams.Values.OrderBy(stream => stream.Name, StringComparer.Ordinal)];

    public JournalStop? Stopped => Volatile.Read(ref stopped);

    public JournalStream? Find(string stream) => streams.GetValueOrDefault(stream);

    public void Add(JournalStream stream) => streams[stream.Name] = stream;

    /// <summary>Stops writing for good; the first reason stays.</summary>
    public void Stop(JournalStop stop)
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
