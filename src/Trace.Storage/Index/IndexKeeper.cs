using Trace.Core.Journal;

namespace Trace.Storage;

/// <summary>
/// Holds the index and replaces it when it fails. Reading goes through <see cref="Use"/>; all else belongs to the thread that writes.
/// </summary>
internal sealed class IndexKeeper(StoreState state) : IDisposable
{
    private const int RowsPerTransaction = 1000;
    private const int Attempts = 3;
    private readonly ReaderWriterLockSlim gate = new();
    private QueryIndex? index;
    private int generation;

    /// <summary>Opens the index and brings it up to the journal, or builds it anew.</summary>
    public void Open()
    {
        var opened = QueryIndex.Open(state.Folder.Index, state.Options.BootId(), out var reason);
        if (opened is not null)
        {
            try
            {
                CatchUp(opened);
                index = opened;
                return;
            }
            catch (Exception broken) when (broken is not JournalDamagedException)
            {
                opened.Abandon();
                reason = broken.Message;
            }
        }

        Rebuild(reason);
    }

    /// <summary>
    /// Feeds rows that are on the disk. A failure loses the index, not the rows: it is built anew from the journal, and only if that fails
    /// too does writing stop. Never throws.
    /// </summary>
    public void Apply(IReadOnlyList<IndexRow> rows)
    {
        if (index is null) return;
        try
        {
            state.Options.BeforeIndex?.Invoke();
            index.Apply(rows);
        }
        catch (Exception broken)
        {
            Replace(generation, broken.Message);
        }
    }

    /// <summary>Builds the index anew, unless that has happened since <paramref name="seen"/>. Never throws.</summary>
    public void Replace(int seen, string reason)
    {
        gate.EnterWriteLock();
        try
        {
            if (seen == generation) Rebuild(reason);
        }
        catch (JournalDamagedException damaged)
        {
            state.Stop(damaged.Stop);
        }
        catch (Exception broken)
        {
            state.Stop(new JournalStop("index", null, $"The index cannot be built: {broken.Message}"));
        }
        finally
        {
            gate.ExitWriteLock();
        }
    }

    /// <summary>Reads by the index; if it fails or lies, asks the writer for a new one and tries again.</summary>
    /// <param name="ask">Returns when the writer has built a new index in place of the given generation.</param>
    public T Use<T>(Func<QueryIndex, T> read, Action<int, string> ask)
    {
        for (var attempt = 1; ; attempt++)
        {
            string reason;
            gate.EnterReadLock();
            var seen = generation;
            try
            {
                if (index is null)
                    throw new JournalStoppedException(state.Stopped ?? new JournalStop("index", null, "The index is closed."));
                return read(index);
            }
            catch (Exception broken) when (attempt < Attempts && broken is not (JournalStoppedException or JournalDamagedException))
            {
                // Damaged pages make the driver throw anything.
                reason = broken.Message;
            }
            finally
            {
                gate.ExitReadLock();
            }

            ask(seen, reason);
        }
    }

    public void Dispose()
    {
        gate.EnterWriteLock();
        try
        {
            index?.Dispose();
        }
        catch (Exception broken)
        {
            state.Log($"The index could not be closed and will be built anew: {broken.Message}");
        }
        finally
        {
            index = null;
            gate.ExitWriteLock();
        }
    }

    private void Rebuild(string reason)
    {
        state.Log($"Building the index from the journal: {reason}");
        generation++;
        index?.Abandon();
        index = null;
        var created = QueryIndex.Create(state.Folder.Index, state.Options.BootId());
        try
        {
            CatchUp(created);
        }
        catch
        {
            created.Abandon();
            throw;
        }

        index = created;
    }

    private void CatchUp(QueryIndex target)
    {
        var onDisk = state.Streams;
        foreach (var known in target.Streams)
            if (onDisk.All(stream => stream.Name != known))
                throw new IndexMismatchException($"it knows a stream {known} that is not there");
        foreach (var stream in onDisk) CatchUp(target, stream);
    }

    private void CatchUp(QueryIndex target, JournalStream stream)
    {
        var (seq, from) = (0L, 0L);
        if (target.Last(stream.Name) is { } last)
        {
            if (last.Seq > stream.Written.Seq || JournalReader.LineAt(stream, last) is null)
                throw new IndexMismatchException("its last row is not what the journal holds");
            (seq, from) = (last.Seq, last.Offset + last.Length + 1);
        }

        var rows = new List<IndexRow>(RowsPerTransaction);
        var scanner = new LineScanner(stream.File, from, stream.Written.Length);
        while (scanner.Next())
        {
            if (EntryText.Read(scanner.Line.Span, out var problem) is not { } entry)
                throw new JournalDamagedException(new JournalStop(stream.Name, seq + 1, problem));
            if (entry.Seq != ++seq) throw new IndexMismatchException("its last row is not where the journal goes on");
            rows.Add(IndexRow.Of(stream.Name, seq, entry.Entry, scanner.Offset, scanner.Line.Length));
            if (rows.Count < RowsPerTransaction) continue;
            target.Apply(rows);
            rows.Clear();
            if (seq % 50_000 == 0) state.Log($"Index of {stream.Name}: {seq} of {stream.Written.Seq} entries");
        }

        if (rows.Count > 0) target.Apply(rows);
    }
}
