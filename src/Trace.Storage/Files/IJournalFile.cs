namespace Trace.Storage;

/// <summary>
/// All that the store does to a journal file. One thread writes; reads may come from any thread at any time.
/// It is an interface only so that tests can let the n-th write or flush fail.
/// </summary>
internal interface IJournalFile : IDisposable
{
    /// <summary>Bytes in the file.</summary>
    long Length { get; }

    /// <summary>Writes at the end. Nothing is promised until <see cref="Flush"/> has returned.</summary>
    void Append(ReadOnlySpan<byte> bytes);

    /// <summary>Returns when all that was appended is on the disk itself, not only in the system's memory.</summary>
    void Flush();

    /// <summary>Reads up to the buffer's length at an offset; fewer bytes only at the end of the file.</summary>
    int Read(long offset, Span<byte> buffer);

    /// <summary>Cuts the file at a length.</summary>
    void Truncate(long length);
}
