using System.Buffers.Binary;
using System.Text;
using Trace.Core.Units;

namespace Trace.Core.Lots.Packed;

/// <summary>
/// Writes facts in few bytes: whole numbers seven bits to the byte, entries and times as distances from where the lot was made,
/// figures with up to three decimals as thousandths. What <see cref="PackReader"/> gives back is the same to the last bit.
/// </summary>
internal sealed class PackWriter(NameTable names)
{
    private byte[] bytes = new byte[256];
    private int length;
    private long baseSeq;
    private DateTimeOffset baseTime;

    public void Start(long seq, DateTimeOffset time) => (length, baseSeq, baseTime) = (0, seq, time);

    public byte[] Take() => bytes[..length];

    /// <summary>Sets the point from which entries and times are counted; the reader must do it at the same place.</summary>
    public void Base(long seq, DateTimeOffset time) => (baseSeq, baseTime) = (seq, time);

    public void Whole(long value)
    {
        Room(10);
        var rest = unchecked((ulong)((value << 1) ^ (value >> 63)));
        while (rest >= 0x80)
        {
            bytes[length++] = (byte)((rest & 0x7f) | 0x80);
            rest >>= 7;
        }

        bytes[length++] = (byte)rest;
    }

    public void MaybeWhole(int? value)
    {
        Flag(value is not null);
        if (value is { } there) Whole(there);
    }

    public void Flag(bool value) => Whole(value ? 1 : 0);

    public void Mass(Mass mass) => Whole(mass.Milligrams);

    public void Seq(long seq) => Whole(seq - baseSeq);

    public void Number(double value)
    {
        var thousandths = Math.Abs(value) < 1e12 ? (long)Math.Round(value * 1000) : long.MaxValue;
        if (thousandths != long.MaxValue && BitConverter.DoubleToInt64Bits(thousandths / 1000.0) == BitConverter.DoubleToInt64Bits(value))
        {
            Whole(thousandths * 2);
            return;
        }

        Whole(1);
        Room(8);
        BinaryPrimitives.WriteDoubleLittleEndian(bytes.AsSpan(length), value);
        length += 8;
    }

    public void Number(double? value)
    {
        Flag(value is not null);
        if (value is { } there) Number(there);
    }

    /// <summary>A time with its offset: whole seconds and ticks apart from the base, and the offset's minutes if they differ.</summary>
    public void Time(DateTimeOffset time)
    {
        var ticks = time.UtcTicks - baseTime.UtcTicks;
        var minutes = (time.TotalOffsetMinutes - baseTime.TotalOffsetMinutes) != 0;
        var seconds = ticks % TimeSpan.TicksPerSecond == 0;
        Whole(((seconds ? ticks / TimeSpan.TicksPerSecond : ticks) * 4) + (seconds ? 0 : 1) + (minutes ? 2 : 0));
        if (minutes) Whole(time.TotalOffsetMinutes);
    }

    public void Time(DateTimeOffset? time)
    {
        Flag(time is not null);
        if (time is { } there) Time(there);
    }

    public void Date(DateOnly? date) => Whole(date?.DayNumber ?? -1);

    /// <summary>A name that many facts repeat.</summary>
    public void Name(string? name) => Whole(name is null ? -1 : names.Add(name));

    /// <summary>Text of its own.</summary>
    public void Text(string? text)
    {
        if (text is null)
        {
            Whole(-1);
            return;
        }

        var count = Encoding.UTF8.GetByteCount(text);
        Whole(count);
        Room(count);
        length += Encoding.UTF8.GetBytes(text, bytes.AsSpan(length));
    }

    public void Bytes(ReadOnlySpan<byte> value)
    {
        Whole(value.Length);
        Room(value.Length);
        value.CopyTo(bytes.AsSpan(length));
        length += value.Length;
    }

    public void List<T>(IReadOnlyCollection<T> items, Action<PackWriter, T> write)
    {
        Whole(items.Count);
        foreach (var item in items) write(this, item);
    }

    private void Room(int count)
    {
        if (bytes.Length - length < count) Array.Resize(ref bytes, Math.Max(bytes.Length * 2, length + count));
    }
}
