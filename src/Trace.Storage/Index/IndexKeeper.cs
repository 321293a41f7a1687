using Trace.Core.Journal;

namespace Trace.Storage;

/// <summary>
/// Owns the index and the one thread that writes to it. Rows come in behind the answers and are gathered for a moment, since a
/// transaction for one row costs what one for fifty does; a reader who needs them has them written at once. While there is no index –
/// it is being checked, built, or the disk refused it – readers walk the journal instead: slower, never wrong.
/// </summary>
internal sealed class IndexKeeper : IDisposable
{
    private const int RowsPerTransaction = 1000;
    private const int MostWaiting = 20_000;
    private static readonly TimeSpan Gathering = TimeSpan.FromMilliseconds(50);

    private readonly StoreState state;
    private readonly Thread thread;
    private readonly ReaderWriterLockSlim use = new();

    // Guards what follows.
    private readonly object gate = new();
    private readonly Dictionary<string, long> indexed = new(StringComparer.Ordinal);
    private List<IndexRow> waiting = [];
    private QueryIndex? index;
    private string? failure;
    private bool wanted;
    private bool closing;
    private bool givenUp;

    public IndexKeeper(StoreState state)
    {
        this.state = state;
        thread = new Thread(Run) { IsBackground = true, Name = "Index" };
        thread.Start();
    }

    /// <summary>Takes rows whose entries are on the disk and answered for. Waits only when the index is far behind.</summary>
    public void Feed(List<IndexRow> rows)
    {
        lock (gate)
        {
            // Without an index the rows are found in the journal when it is built.
            while (index is not null && waiting.Count > MostWaiting) Monitor.Wait(gate);
            if (index is null) return;
            waiting.AddRange(rows);
            if (waiting.Count == rows.Count || waiting.Count > RowsPerTransaction) Monitor.PulseAll(gate);
        }
    }

    /// <summary>
    /// Reads by an index that knows a stream up to an entry. False if there is none to be had now; the journal answers then.
    /// If the index fails or lies it is built anew, and the answer is false.
    /// </summary>
    public bool TryUse<T>(string stream, long upTo, Func<QueryIndex, T> read, out T answer)
    {
        answer = default!;
        if (!WaitFor(stream, upTo)) return false;
        use.EnterReadLock();
        var found = index;
        try
        {
            if (found is null) return false;
            answer = read(found);
            return true;
        }
        catch (Exception broken) when (broken is not JournalDamagedException)
        {
            // Damaged pages make the driver throw anything.
            Fail(found!, broken.Message);
            return false;
        }
        finally
        {
            use.ExitReadLock();
        }
    }

    /// <summary>Returns when the index has been checked or built, or was given up.</summary>
    public void WaitUntilReady()
    {
        lock (gate)
            while ((index is null || failure is not null) && !givenUp && !closing) Monitor.Wait(gate);
    }

    /// <summary>Writes what waits, marks the end as clean and closes.</summary>
    public void Dispose()
    {
        lock (gate)
        {
            closing = true;
            Monitor.PulseAll(gate);
        }

        thread.Join();
    }

    private bool WaitFor(string stream, long upTo)
    {
        lock (gate)
        {
            while (index is not null && failure is null && indexed.GetValueOrDefault(stream) < upTo)
            {
                wanted = true;
                Monitor.PulseAll(gate);
                Monitor.Wait(gate);
            }

            return index is not null && failure is null;
        }
    }

    private void Fail(QueryIndex broken, string reason)
    {
        lock (gate)
        {
            if (index != broken) return;
            failure ??= reason;
            Monitor.PulseAll(gate);
        }
    }

    private void Run()
    {
        Start();
        while (Next() is { } rows)
        {
            if (rows.Count > 0) Apply(rows);
            string? reason;
            lock (gate) reason = failure;
            if (reason is not null) Rebuild(reason);
        }

        try
        {
            Withdraw()?.Close(clean: true);
        }
        catch (Exception broken)
        {
            state.Log($"The index could not be closed and will be built anew: {broken.Message}");
        }
    }

    /// <summary>Waits for something to do, and a moment longer unless somebody is in need of it; null at the end.</summary>
    private List<IndexRow>? Next()
    {
        lock (gate)
        {
            while (waiting.Count == 0 && failure is null && !closing) Monitor.Wait(gate);
            var until = Environment.TickCount64 + (long)Gathering.TotalMilliseconds;
            while (!wanted && failure is null && !closing && waiting.Count <= RowsPerTransaction)
            {
                var left = until - Environment.TickCount64;
                if (left <= 0 || !Monitor.Wait(gate, (int)left)) break;
            }

            if (closing && waiting.Count == 0) return null;
            var rows = waiting;
            waiting = [];
            wanted = false;
            return rows;
        }
    }

    private void Apply(List<IndexRow> rows)
    {
        if (index is null) return;
        try
        {
            state.Options.BeforeIndex?.Invoke();
            // Rows may stand twice: in the journal when the index was built from it, and in what was fed meanwhile.
            rows.RemoveAll(row => row.Seq <= indexed.GetValueOrDefault(row.Stream));
            foreach (var part in rows.Chunk(RowsPerTransaction)) index.Apply(part);
            lock (gate)
            {
                foreach (var row in rows) indexed[row.Stream] = row.Seq;
                Monitor.PulseAll(gate);
            }
        }
        catch (Exception broken)
        {
            Fail(index, broken.Message);
        }
    }

    private void Start()
    {
        var opened = QueryIndex.Open(state.Folder.Index, out var reason);
        if (opened is null)
        {
            Rebuild(reason);
            return;
        }

        try
        {
            CheckStreams(opened);
            Offer(opened);
        }
        catch (Exception broken)
        {
            opened.Close(clean: false);
            Rebuild(broken.Message);
        }
    }

    /// <summary>Builds the index anew; readers walk the journal meanwhile. If that fails too there is none until the next start.</summary>
    private void Rebuild(string reason)
    {
        state.Log($"Building the index from the journal: {reason}");
        Withdraw()?.Close(clean: false);
        QueryIndex? created = null;
        try
        {
            created = QueryIndex.Create(state.Folder.Index);
            Offer(created);
        }
        catch (Exception broken)
        {
            created?.Close(clean: false);
            state.Log($"The index cannot be built, searches will be slow until the next start: {broken.Message}");
            lock (gate)
            {
                givenUp = true;
                Monitor.PulseAll(gate);
            }
        }
    }

    private QueryIndex? Withdraw()
    {
        use.EnterWriteLock();
        try
        {
            lock (gate)
            {
                var last = index;
                index = null;
                failure = null;
                waiting = [];
                Monitor.PulseAll(gate);
                return last;
            }
        }
        finally
        {
            use.ExitWriteLock();
        }
    }

    /// <summary>Brings an index up to the journal and gives it to the readers in a moment in which nothing is missing.</summary>
    private void Offer(QueryIndex target)
    {
        while (true)
        {
            foreach (var stream in state.Streams) CatchUp(target, stream);
            lock (gate)
            {
                // Whoever is answered from now on is fed: rows are given after their entries count as durable.
                if (!closing && state.Streams.Any(stream => stream.Durable.Seq > indexed.GetValueOrDefault(stream.Name))) continue;
                index = target;
                Monitor.PulseAll(gate);
                return;
            }
        }
    }

    private void CheckStreams(QueryIndex target)
    {
        foreach (var known in target.Streams)
            if (state.Find(known) is null) throw new IndexMismatchException($"it knows a stream {known} that is not there");
    }

    private void CatchUp(QueryIndex target, JournalStream stream)
    {
        var head = stream.Durable;
        var (seq, from) = (0L, 0L);
        if (target.Last(stream.Name) is { } last)
        {
            if (last.Seq > head.Seq || JournalReader.LineAt(stream, last) is null)
                throw new IndexMismatchException("its last row is not what the journal holds");
            (seq, from) = (last.Seq, last.Offset + last.Length + 1);
        }

        var rows = new List<IndexRow>(RowsPerTransaction);
        var scanner = new LineScanner(stream.File, from, head.Length);
        while (!Volatile.Read(ref closing) && scanner.Next())
        {
            if (EntryText.Read(scanner.Line.Span, out var problem) is not { } entry)
                throw state.Damaged(stream.Name, seq + 1, problem);
            if (entry.Seq != ++seq) throw new IndexMismatchException("its last row is not where the journal goes on");
            rows.Add(IndexRow.Of(stream.Name, seq, entry.Entry, scanner.Offset, scanner.Line.Length));
            if (rows.Count < RowsPerTransaction) continue;
            target.Apply(rows);
            rows.Clear();
            if (seq % 50_000 == 0) state.Log($"Index of {stream.Name}: {seq} of {head.Seq} entries");
        }

        if (rows.Count > 0) target.Apply(rows);
        lock (gate) indexed[stream.Name] = seq;
    }
}
