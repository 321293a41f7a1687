using System.Buffers.Binary;
using System.Text;
using Trace.Core.Units;

namespace Trace.Core.Lots.Packed;

/// <summary>Reads what <see cref="PackWriter"/> wrote.</summary>
/// <exception cref="FormatException">The bytes end too early or say something that cannot be.</exception>
internal sealed class PackReader(NameTable names)
{
    private ReadOnlyMemory<byte> bytes;
    private int at;
    private long baseSeq;
    private DateTimeOffset baseTime;

    public bool AtEnd => at == bytes.Length;

    public void Start(ReadOnlyMemory<byte> packed, long seq, DateTimeOffset time) =>
        (bytes, at, baseSeq, baseTime) = (packed, 0, seq, time);

    public void Base(long seq, DateTimeOffset time) => (baseSeq, baseTime) = (seq, time);

    public long Whole()
    {
        var (value, shift) = (0UL, 0);
        var span = bytes.Span;
        while (true)
        {
            if (at >= span.Length || shift > 63) throw new FormatException("A packed number has no end.");
            var next = span[at++];
            value |= (ulong)(next & 0x7f) << shift;
            if (next < 0x80) break;
            shift += 7;
        }

        return unchecked((long)(value >> 1) ^ -(long)(value & 1));
    }

    public int Int() => checked((int)Whole());

    public int? MaybeInt() => Flag() ? Int() : null;

    public bool Flag() => Whole() != 0;

    public Mass Mass() => Units.Mass.FromMilligrams(Whole());

    public long Seq() => Whole() + baseSeq;

    public double Number()
    {
        var value = Whole();
        return value == 1 ? BinaryPrimitives.ReadDoubleLittleEndian(Next(8)) : value / 2 / 1000.0;
    }

    public double? MaybeNumber() => Flag() ? Number() : null;

    public DateTimeOffset Time()
    {
        var value = Whole();
        var ticks = (value & 1) == 0 ? (value >> 2) * TimeSpan.TicksPerSecond : value >> 2;
        var offset = (value & 2) == 0 ? baseTime.Offset : TimeSpan.FromMinutes(Whole());
        return new DateTimeOffset(baseTime.UtcTicks + ticks, TimeSpan.Zero).ToOffset(offset);
    }

    public DateTimeOffset? MaybeTime() => Flag() ? Time() : null;

    public DateOnly? Date() => Int() is >= 0 and var day ? DateOnly.FromDayNumber(day) : null;

    public string? MaybeName() => Int() is >= 0 and var number ? names[number] : null;

    public string Name() => MaybeName() ?? throw new FormatException("A packed name is missing.");

    public string? MaybeText() => Int() is >= 0 and var count ? Encoding.UTF8.GetString(Next(count)) : null;

    public string Text() => MaybeText() ?? throw new FormatException("A packed text is missing.");

    public byte[] Bytes() => Next(Int()).ToArray();

    public T[] List<T>(Func<PackReader, T> read)
    {
        var count = Int();
        if (count > bytes.Length - at) throw new FormatException("A packed list is longer than what is left.");
        if (count == 0) return [];
        var items = new T[count];
        for (var place = 0; place < count; place++) items[place] = read(this);
        return items;
    }

    private ReadOnlySpan<byte> Next(int count)
    {
        if (count < 0 || count > bytes.Length - at) throw new FormatException("A packed text is longer than what is left.");
        at += count;
        return bytes.Span.Slice(at - count, count);
    }
}
