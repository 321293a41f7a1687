using Microsoft.Win32.SafeHandles;

namespace Trace.Storage;

internal sealed class DiskJournalFile : IJournalFile
{
    private readonly SafeFileHandle handle;
    private long length;

    private DiskJournalFile(SafeFileHandle handle)
    {
        this.handle = handle;
        length = RandomAccess.GetLength(handle);
    }

    public long Length => Volatile.Read(ref length);

    /// <summary>Creates the file if it is not there, and then makes its name durable too: a flush of the file alone does not.</summary>
    public static IJournalFile OpenForWriting(string path)
    {
        var isNew = !File.Exists(path);
        const FileShare readers = FileShare.Read | FileShare.Delete;
        var file = new DiskJournalFile(File.OpenHandle(path, FileMode.OpenOrCreate, FileAccess.ReadWrite, readers));
        try
        {
            if (isNew) StoreFolder.FlushFolder(Path.GetDirectoryName(path)!);
            return file;
        }
        catch
        {
            file.Dispose();
            throw;
        }
    }

    /// <summary>Opens beside a running server; the length is the one at this moment.</summary>
    public static IJournalFile OpenForReading(string path) =>
        new DiskJournalFile(File.OpenHandle(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete));

    public void Append(ReadOnlySpan<byte> bytes)
    {
        RandomAccess.Write(handle, bytes, length);
        Volatile.Write(ref length, length + bytes.Length);
    }

    public void Flush() => RandomAccess.FlushToDisk(handle);

    public int Read(long offset, Span<byte> buffer)
    {
        var total = 0;
        while (total < buffer.Length)
        {
            var got = RandomAccess.Read(handle, buffer[total..], offset + total);
            if (got == 0) break;
            total += got;
        }

        return total;
    }

    public void Truncate(long length)
    {
        RandomAccess.SetLength(handle, length);
        Volatile.Write(ref this.length, length);
    }

    public void Dispose() => handle.Dispose();
}
