namespace Trace.Core.Lots;

/// <summary>A list that only grows and never copies what it holds: no moment with two copies, and no half-empty one afterwards.</summary>
internal sealed class Segments<T>
    where T : struct
{
    private const int Bits = 12;
    private const int Size = 1 << Bits;
    private T[][] segments = [];

    public int Count { get; private set; }

    public ref T this[int place] => ref segments[place >> Bits][place & (Size - 1)];

    public int Add(T item)
    {
        if (Count == segments.Length << Bits) segments = [.. segments, new T[Size]];
        this[Count] = item;
        return Count++;
    }
}
