using System.Buffers;

namespace Trace.Storage;

/// <summary>Collects the lines of one group; kept and reused by the writer. It can take back what a failed batch wrote.</summary>
internal sealed class LineBuffer : IBufferWriter<byte>
{
    private const int KeptBytes = 1 << 20;
    private byte[] bytes = new byte[16 * 1024];

    public int Length { get; private set; }

    public ReadOnlySpan<byte> Written => bytes.AsSpan(0, Length);

    public void Advance(int count) => Length += count;

    public Memory<byte> GetMemory(int sizeHint = 0)
    {
        Grow(sizeHint);
        return bytes.AsMemory(Length);
    }

    public Span<byte> GetSpan(int sizeHint = 0)
    {
        Grow(sizeHint);
        return bytes.AsSpan(Length);
    }

    public void TakeBack(int length) => Length = length;

    public void Clear()
    {
        Length = 0;
        if (bytes.Length > KeptBytes) bytes = new byte[16 * 1024];
    }

    private void Grow(int sizeHint)
    {
        if (bytes.Length - Length >= Math.Max(sizeHint, 1)) return;
        Array.Resize(ref bytes, Math.Max(bytes.Length * 2, Length + sizeHint));
    }
}
