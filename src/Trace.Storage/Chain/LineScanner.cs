namespace Trace.Storage;

/// <summary>
/// Walks the lines of a journal file between two offsets with one buffer, so that a journal is never in memory whole.
/// </summary>
internal sealed class LineScanner(IJournalFile file, long start, long end)
{
    // Below the size from which the runtime keeps arrays apart and cleans them up late.
    private byte[] buffer = new byte[64 * 1024];
    private long bufferOffset = start;
    private int filled;
    private int position;

    /// <summary>The line without its newline; valid until the next call.</summary>
    public ReadOnlyMemory<byte> Line { get; private set; }

    /// <summary>Where the line starts in the file.</summary>
    public long Offset { get; private set; } = start;

    /// <summary>Where the next line starts.</summary>
    public long NextOffset => bufferOffset + position;

    /// <summary>
    /// Moves to the next line that ends in a newline. False at the end, before an unfinished line, and before one that is too long;
    /// <see cref="NextOffset"/> then is where that starts.
    /// </summary>
    public bool Next()
    {
        var searched = position;
        while (true)
        {
            var newline = buffer.AsSpan(searched, filled - searched).IndexOf((byte)'\n');
            if (newline >= 0)
            {
                var lineEnd = searched + newline;
                Line = buffer.AsMemory(position, lineEnd - position);
                Offset = bufferOffset + position;
                position = lineEnd + 1;
                return true;
            }

            searched = filled;
            if (filled - position > ChainRules.LongestBatchBytes || !Fill(ref searched)) return false;
        }
    }

    private bool Fill(ref int searched)
    {
        if (position > 0)
        {
            buffer.AsSpan(position, filled - position).CopyTo(buffer);
            bufferOffset += position;
            filled -= position;
            searched -= position;
            position = 0;
        }

        if (filled == buffer.Length) Array.Resize(ref buffer, buffer.Length * 2);
        var wanted = (int)Math.Min(buffer.Length - filled, end - bufferOffset - filled);
        if (wanted <= 0) return false;
        var got = file.Read(bufferOffset + filled, buffer.AsSpan(filled, wanted));
        filled += got;
        return got > 0;
    }
}
