using System.Threading.Channels;
using Trace.Core.Journal;

namespace Trace.Storage;

/// <summary>
/// The one thread that writes the journal files: takes what waits, writes, flushes, answers, and hands the rows to the index's own thread.
/// </summary>
internal sealed class JournalWriter : IDisposable
{
    private const int LargestGroup = 512;
    private const int Waiting = 4096;
    private static readonly TimeSpan MarkEvery = TimeSpan.FromSeconds(1);

    private readonly StoreState state;
    private readonly IndexKeeper index;
    private readonly Thread thread;
    // Synchronous continuations: what runs on is only the wake-up of this thread or of a waiting call, never the caller's code.
    private readonly Channel<Work> queue = Channel.CreateBounded<Work>(
        new BoundedChannelOptions(Waiting) { SingleReader = true, AllowSynchronousContinuations = true });
    private readonly List<JournalStream> touched = [];
    private readonly List<IndexRow> rows = [];
    private readonly List<(Work Work, JournalStream Stream, Appended Place)> encoded = [];
    private long marked = Environment.TickCount64;

    public JournalWriter(StoreState state, IndexKeeper index)
    {
        this.state = state;
        this.index = index;
        thread = new Thread(Run) { IsBackground = true, Name = "Journal writer" };
        thread.Start();
    }

    /// <summary>Puts the batch behind all that were given before; only the answer is awaited.</summary>
    public Task<Appended> Append(EntryBatch batch) => Enqueue(new Work(batch));

    /// <summary>Writes what waits, then ends the thread.</summary>
    public void Dispose()
    {
        queue.Writer.TryComplete();
        thread.Join();
    }

    private Task<Appended> Enqueue(Work work)
    {
        // The channel keeps the order of calls also for those that wait for room.
        if (!queue.Writer.TryWrite(work)) _ = Wait(queue.Writer.WriteAsync(work), work);

        // Always the writer's own task: it is refused before what was decided on it is looked at.
        return work.Done.Task;

        static async Task Wait(ValueTask room, Work work)
        {
            try
            {
                await room.ConfigureAwait(false);
            }
            catch (ChannelClosedException)
            {
                work.Done.SetException(new ObjectDisposedException(nameof(TraceStore)));
            }
        }
    }

    private void Run()
    {
        while (Next())
        {
            Collect();
            Write();
            Answer();
            if (Environment.TickCount64 - marked >= MarkEvery.TotalMilliseconds) Mark();
        }

        Mark();
    }

    /// <summary>Waits for work; when there is none for a moment, the mark is brought up to what was acknowledged.</summary>
    private bool Next()
    {
        var more = queue.Reader.WaitToReadAsync().AsTask();
        if (!more.Wait(MarkEvery)) Mark();
        return more.GetAwaiter().GetResult();
    }

    private void Mark()
    {
        marked = Environment.TickCount64;
        state.Mark.Raise(state.Streams, state.Log);
    }

    /// <summary>Takes what waits and turns it into lines, batch by batch; a batch that cannot be taken is answered alone.</summary>
    private void Collect()
    {
        var (count, bytes) = (0, 0);
        while (count < LargestGroup && bytes < ChainRules.LongestBatchBytes && queue.Reader.TryRead(out var work))
        {
            count++;
            if (state.Closed is { } stopped) work.Done.SetException(new JournalStoppedException(stopped));
            else bytes += Encode(work, work.Batch);
        }
    }

    private int Encode(Work work, EntryBatch batch)
    {
        if (Open(batch.Stream, out var failure) is not { } stream)
        {
            work.Done.SetException(new JournalStoppedException(failure!));
            return 0;
        }

        var head = stream.Pending;
        if (batch.ExpectedHead != head.Seq || batch.DecidedOn is { IsFaulted: true })
        {
            work.Done.SetException(new HeadMovedException(batch.Stream, batch.ExpectedHead, head.Seq));
            return 0;
        }

        var before = (Bytes: stream.Buffer.Length, Rows: rows.Count);
        try
        {
            var (seq, hash) = (head.Seq, head.Hash);
            long? flushed = head == stream.Written ? null : stream.Written.Seq;
            for (var part = 1; part <= batch.Entries.Count; part++)
            {
                var start = stream.Buffer.Length;
                var written = EntryText.Write(stream.Buffer, ++seq, part, batch.Entries.Count, batch.Entries[part - 1], hash, flushed);
                hash = written.Hash;
                rows.Add(IndexRow.Of(stream.Name, seq, written.Entry, stream.Written.Length + start, stream.Buffer.Length - start));
                stream.Buffer.GetSpan(1)[0] = (byte)'\n';
                stream.Buffer.Advance(1);
                if (stream.Buffer.Length - before.Bytes > ChainRules.LongestBatchBytes)
                    throw new ArgumentException("The batch is longer than 16 MiB.", nameof(batch));
            }

            stream.Pending = new StreamHead(seq, hash, stream.Written.Length + stream.Buffer.Length);
            encoded.Add((work, stream, new Appended(head.Seq + 1, seq)));
            if (!touched.Contains(stream)) touched.Add(stream);
            return stream.Buffer.Length - before.Bytes;
        }
        catch (Exception refused)
        {
            // Its lines are taken back; the batches beside it go on.
            stream.Buffer.TakeBack(before.Bytes);
            rows.RemoveRange(before.Rows, rows.Count - before.Rows);
            work.Done.SetException(refused);
            return 0;
        }
    }

    private JournalStream? Open(string name, out JournalStop? failure)
    {
        failure = null;
        if (state.Find(name) is { } known) return known;
        try
        {
            var stream = new JournalStream(name, state.Options.OpenFile(state.Folder.JournalPath(name)), StreamHead.Empty);
            state.Add(stream);
            return stream;
        }
        catch (Exception broken)
        {
            state.Close(failure = new JournalStop(name, null, $"The journal file cannot be created: {broken.Message}"));
            return null;
        }
    }

    /// <summary>
    /// One write and one flush a file; all writes first, since the flush of the first file then carries much of the others' work.
    /// After a failed flush nobody knows what the system still holds, so nothing is ever tried again: writing stops, and what is on the
    /// disk is read at the next start. Files flushed before the failure count.
    /// </summary>
    private void Write()
    {
        foreach (var stream in touched) UnlessStopped(stream, static stream => stream.File.Append(stream.Buffer.Written));
        foreach (var stream in touched)
        {
            UnlessStopped(stream, static stream =>
            {
                stream.File.Flush();
                stream.Written = stream.Pending;
            });
        }

        foreach (var stream in touched)
        {
            if (stream.Written != stream.Pending) TakeBack(stream);
            stream.Pending = stream.Written;
            stream.Buffer.Clear();
        }
    }

    private void UnlessStopped(JournalStream stream, Action<JournalStream> act)
    {
        if (state.Closed is not null) return;
        try
        {
            act(stream);
        }
        catch (Exception broken)
        {
            state.Close(new JournalStop(stream.Name, null, $"The disk refused after entry {stream.Written.Seq}: {broken.Message}"));
        }
    }

    /// <summary>Nothing was acknowledged, so nothing should be found at the next start; if this fails too, a whole batch may be.</summary>
    private void TakeBack(JournalStream stream)
    {
        try
        {
            stream.File.Truncate(stream.Written.Length);
        }
        catch (Exception broken)
        {
            state.Log($"What was not acknowledged may still stand at the end of journal {stream.Name}: {broken.Message}");
        }
    }

    private void Answer()
    {
        if (state.Closed is not null) rows.RemoveAll(row => row.Seq > state.Find(row.Stream)!.Written.Seq);
        foreach (var stream in touched) stream.Acknowledge();
        foreach (var (work, stream, place) in encoded)
        {
            if (place.LastSeq <= stream.Written.Seq) work.Done.SetResult(place);
            else work.Done.SetException(new JournalStoppedException(state.Closed!));
        }

        if (rows.Count > 0) index.Feed(rows);
        touched.Clear();
        rows.Clear();
        encoded.Clear();
    }

    private sealed record Work(EntryBatch Batch)
    {
        public TaskCompletionSource<Appended> Done { get; } = new(TaskCreationOptions.RunContinuationsAsynchronously);
    }
}
