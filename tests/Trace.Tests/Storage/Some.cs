using System.Globalization;
using Trace.Core.Journal;
using Trace.Storage;

namespace Trace.Tests.Storage;

/// <summary>A data folder of its own for each test, and entries to put in it.</summary>
internal sealed class TempFolder : IDisposable
{
    public string Path { get; } = Directory.CreateTempSubdirectory("trace-storage-").FullName;

    public string Site => File("sites/S1.jsonl");

    public string File(string name) => System.IO.Path.Combine(Path, name);

    public TraceStore Open(List<string>? log = null, Func<string, IJournalFile>? files = null) => TraceStorage.Open(Path, new StorageOptions
    {
        Log = log is null ? null : line => { lock (log) log.Add(line); },
        OpenFile = files ?? DiskJournalFile.OpenForWriting,
    });

    public string Mark => File("acknowledged");

    /// <summary>
    /// Writes batches of the given sizes to site S1 and leaves the folder as a program does that was killed before it noted what it had
    /// acknowledged. Gives the file's length after each.
    /// </summary>
    public async Task<long[]> Fill(params int[] sizes)
    {
        var ends = new List<long>();
        using (var store = Open())
        {
            store.WaitForIndex();
            foreach (var size in sizes)
            {
                await store.Add("S1", size);
                ends.Add(new FileInfo(Site).Length);
            }
        }

        System.IO.File.Delete(Mark);
        return [.. ends];
    }

    public void Dispose() => Directory.Delete(Path, recursive: true);
}

internal static class Some
{
    public static readonly DateTimeOffset Noon = new(2026, 3, 1, 12, 0, 0, TimeSpan.FromHours(1));

    public static NewEntry Entry(int number = 1, params string[] lots) => new(
        Noon.ToUniversalTime().AddMinutes(number), Noon.AddSeconds(number), "Ann", "scale 1", "drying.started",
        string.Create(CultureInfo.InvariantCulture, $"{{\"number\":{number}}}"), lots);

    /// <summary>Appends a batch on the stream's present head.</summary>
    public static Task<Appended> Add(this IJournal journal, string stream, int count = 1)
    {
        var head = journal.Head(stream);
        var entries = Enumerable.Range((int)head + 1, count).Select(number => Entry(number, "L" + (number % 3)));
        return journal.AppendAsync(new EntryBatch(stream, head, [.. entries]));
    }

    /// <summary>All that the store answers about a stream, as text to compare.</summary>
    public static string Answers(this IJournal journal, string stream) => string.Join('\n',
    [
        journal.Head(stream).ToString(CultureInfo.InvariantCulture),
        .. journal.Read(stream).Select(entry => entry.Hash),
        .. from lot in (string[])["L0", "L1", "L2"]
           from entry in journal.Query(new EntryQuery(stream, lot, Limit: 500)).Entries
           select $"{lot} {entry.Seq} {entry.Hash}",
        .. from entry in journal.Query(new EntryQuery(stream, HappenedFrom: Noon, HappenedBefore: Noon.AddSeconds(7))).Entries
           select entry.Hash,
    ]);
}

/// <summary>Counts writes and flushes, keeps in mind what was flushed, and lets one of them fail.</summary>
internal sealed class FaultyFile(IJournalFile inner, FaultyFile.Plan plan) : IJournalFile
{
    public long Length => inner.Length;

    public void Append(ReadOnlySpan<byte> bytes)
    {
        if (++plan.Calls == plan.FailAt)
        {
            inner.Append(bytes[..(bytes.Length / 2)]);
            throw new IOException("No space left on device");
        }

        plan.Writes++;
        inner.Append(bytes);
    }

    public void Flush()
    {
        if (++plan.Calls == plan.FailAt) throw new IOException("Input/output error");
        plan.Flushes++;
        plan.AtFlush?.Invoke();
        inner.Flush();
    }

    public int Read(long offset, Span<byte> buffer) => inner.Read(offset, buffer);

    public void Truncate(long length)
    {
        if (plan.TruncateFails) throw new IOException("Input/output error");
        inner.Truncate(length);
    }

    public void Dispose() => inner.Dispose();

    internal sealed class Plan
    {
        public int Calls { get; set; }

        public int FailAt { get; set; }

        public int Writes { get; set; }

        public int Flushes { get; set; }

        public bool TruncateFails { get; init; }

        public Action? AtFlush { get; set; }

        public IJournalFile Open(string path) => new FaultyFile(DiskJournalFile.OpenForWriting(path), this);
    }
}
