using Trace.Storage;

namespace Trace.Tests.Torture.Power;

/// <summary>
/// Journal files that write down what is done to them, and from that what a disk could hold if the power went after any of it. A flush
/// makes all of its file durable; of anything since, each sector may be new or old, and the length may be the old one, the new one or any
/// between. Sectors beyond the old end that were not written read as zeros.
/// </summary>
internal sealed class Recording
{
    public const int SectorBytes = 4096;

    private readonly Lock gate = new();
    private readonly List<(string Path, Kind Kind, byte[] Bytes)> events = [];

    private enum Kind
    {
        Open,
        Append,
        Truncate,
        Flush,
    }

    /// <summary>Number of things done so far.</summary>
    public int Count
    {
        get { lock (gate) return events.Count; }
    }

    public int Writes
    {
        get { lock (gate) return events.Count(one => one.Kind == Kind.Append); }
    }

    public IJournalFile Open(string path)
    {
        // The name is durable when the file is open: its folder was flushed.
        var inner = DiskJournalFile.OpenForWriting(path);
        Note(path, Kind.Open, File.ReadAllBytes(path));
        return new RecordedFile(this, inner, path);
    }

    /// <summary>What each file was on the disk for sure, and what it would have become, after the first so many things.</summary>
    public Dictionary<string, (byte[] Durable, byte[] Wanted)> After(int count)
    {
        var files = new Dictionary<string, (byte[] Durable, byte[] Wanted)>(StringComparer.Ordinal);
        lock (gate)
        {
            foreach (var (path, kind, bytes) in events.Take(count))
            {
                files.TryGetValue(path, out var file);
                files[path] = kind switch
                {
                    Kind.Open => (bytes, bytes),
                    Kind.Append => (file.Durable, [.. file.Wanted, .. bytes]),
                    Kind.Truncate => (file.Durable, file.Wanted[..(int)BitConverter.ToInt64(bytes)]),
                    _ => (file.Wanted, file.Wanted),
                };
            }
        }

        return files;
    }

    /// <param name="length">Of the file as it is found.</param>
    /// <param name="kept">Says of each sector whether its new content reached the disk.</param>
    public static byte[] Image(byte[] durable, byte[] wanted, int length, Func<int, bool> kept)
    {
        var image = new byte[length];
        for (var start = 0; start < length; start += SectorBytes)
        {
            var source = kept(start / SectorBytes) && start < wanted.Length ? wanted : durable;
            if (start < source.Length)
                source.AsSpan(start, Math.Min(Math.Min(SectorBytes, source.Length - start), length - start)).CopyTo(image.AsSpan(start));
        }

        return image;
    }

    private void Note(string path, Kind kind, byte[] bytes)
    {
        lock (gate) events.Add((path, kind, bytes));
    }

    private sealed class RecordedFile(Recording recording, IJournalFile inner, string path) : IJournalFile
    {
        public long Length => inner.Length;

        public void Append(ReadOnlySpan<byte> bytes)
        {
            // Noted before it is done and a flush after: so nothing counts as durable too early, nor as done too late.
            recording.Note(path, Kind.Append, bytes.ToArray());
            inner.Append(bytes);
        }

        public void Flush()
        {
            // Long enough for others to queue up behind, so that groups form.
            Thread.Sleep(1);
            inner.Flush();
            recording.Note(path, Kind.Flush, []);
        }

        public int Read(long offset, Span<byte> buffer) => inner.Read(offset, buffer);

        public void Truncate(long length)
        {
            recording.Note(path, Kind.Truncate, BitConverter.GetBytes(length));
            inner.Truncate(length);
        }

        public void Dispose() => inner.Dispose();
    }
}
