using Trace.Core.Journal;

namespace Trace.Storage;

/// <summary>An open data folder. Safe to use from any thread; dispose it last.</summary>
public sealed class TraceStore : IJournal, ISnapshots, IDisposable
{
    private readonly StoreState state;
    private readonly FileStream folderLock;
    private readonly IndexKeeper index;
    private readonly JournalWriter writer;
    private readonly JournalReader reader;
    private readonly Lock closing = new();
    private int disposed;

    private TraceStore(StoreState state, FileStream folderLock)
    {
        this.state = state;
        this.folderLock = folderLock;
        index = new IndexKeeper(state);
        writer = new JournalWriter(state, index);
        reader = new JournalReader(state, index);
    }

    public IReadOnlyList<string> Streams => [.. state.Streams.Where(stream => stream.Durable.Seq > 0).Select(stream => stream.Name)];

    public JournalStop? Stopped => state.Stopped;

    public long Head(string stream) => state.Find(stream)?.Durable.Seq ?? 0;

    /// <inheritdoc/>
    /// <exception cref="ArgumentException">It can never be kept: no entries, no site code, text that would not read back.</exception>
    public Task<Appended> AppendAsync(EntryBatch batch)
    {
        ObjectDisposedException.ThrowIf(Volatile.Read(ref disposed) == 1, this);
        StoreRules.Check(batch);
        var stop = batch.DecidedOn is null ? state.Stopped : state.Closed;
        return stop is { } stopped ? Task.FromException<Appended>(new JournalStoppedException(stopped)) : writer.Append(batch);
    }

    public IEnumerable<JournalEntry> Read(string stream, long fromSeq = 1) => reader.Read(stream, fromSeq);

    /// <summary>
    /// Writes entries as their lines stand in the journal's file, from one sequence number to another, so that anybody can check them
    /// without this program.
    /// </summary>
    /// <exception cref="JournalDamagedException">A line is not what was written.</exception>
    public void CopyLines(string stream, long fromSeq, long toSeq, Stream target) => reader.CopyLines(stream, fromSeq, toSeq, target);

    public JournalEntry? Get(string stream, long seq) => reader.Get(stream, seq);

    public EntryPage Query(EntryQuery query) => reader.Query(query);

    /// <summary>
    /// Writes what waits, marks the end as clean and frees the folder. Readers must have finished. Called from two sides, it returns to
    /// both when the folder is free.
    /// </summary>
    public void Dispose()
    {
        lock (closing)
        {
            if (Interlocked.Exchange(ref disposed, 1) == 1) return;
            writer.Dispose();
            index.Dispose();
            foreach (var stream in state.Streams) stream.File.Dispose();
            folderLock.Dispose();
        }
    }

    public ReadOnlyMemory<byte>? Find(string stream, string version) =>
        SnapshotFile.Read(state.Folder.SnapshotPath(stream), version, seq => Get(stream, seq)?.Hash, state.Log);

    public void Keep(string stream, string version, long seq, ReadOnlyMemory<byte> snapshot)
    {
        var hash = Get(stream, seq)?.Hash ?? throw new ArgumentOutOfRangeException(nameof(seq), seq, "There is no such entry.");
        SnapshotFile.Write(state.Folder.SnapshotPath(stream), version, seq, hash, snapshot.Span);
    }

    /// <summary>Returns when the index has been checked or built; until then searches walk the journal.</summary>
    public void WaitForIndex() => index.WaitUntilReady();

    internal static TraceStore Open(StoreFolder folder, StorageOptions options)
    {
        folder.Create();
        var folderLock = folder.Lock();
        var state = new StoreState(folder, options) { Mark = AcknowledgedMark.Read(folder, options.Log) };
        try
        {
            foreach (var name in folder.StreamsOnDisk()) state.Add(OpenStream(state, name));
            foreach (var gone in state.Mark.Gone(folder)) state.Close(new JournalStop(gone, 1, state.Mark.WhyGone(gone)));
            return new TraceStore(state, folderLock);
        }
        catch
        {
            foreach (var stream in state.Streams) stream.File.Dispose();
            folderLock.Dispose();
            throw;
        }
    }

    private static JournalStream OpenStream(StoreState state, string name)
    {
        var file = state.Options.OpenFile(state.Folder.JournalPath(name));
        try
        {
            var scan = JournalScan.Walk(file, file.Length, acknowledged: state.Mark.Of(name));
            return new JournalStream(name, file, Repair(state, name, file, scan));
        }
        catch
        {
            file.Dispose();
            throw;
        }
    }

    /// <summary>Mends the end of a journal where nothing acknowledged can be lost, else stops writing: <see cref="JournalTail"/>.</summary>
    private static StreamHead Repair(StoreState state, string name, IJournalFile file, ScanResult scan)
    {
        switch (scan.Tail)
        {
            case TailKind.Torn:
                state.Log($"Journal {name}: cut off {file.Length - scan.Head.Length} bytes after entry {scan.Head.Seq} that were never "
                    + $"acknowledged: {scan.Reason}");
                file.Truncate(scan.Head.Length);
                break;
            case TailKind.NewlineMissing:
                state.Log($"Journal {name}: {scan.Reason}; put back.");
                file.Append("\n"u8);
                break;
            case TailKind.Damaged:
                state.Close(new JournalStop(name, scan.Bad!.Seq, $"{scan.Reason} (byte {scan.Bad.ByteOffset})"));
                return scan.Head;
            case TailKind.None:
                break;
        }

        // Also without a repair: what a program wrote before it was killed may be in the system's memory only, and is shown from now on.
        file.Flush();
        return scan.Completed ?? scan.Head;
    }
}
