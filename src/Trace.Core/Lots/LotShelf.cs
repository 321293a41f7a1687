using Trace.Core.Lots.Packed;

namespace Trace.Core.Lots;

/// <summary>
/// Keeps the details of the lots in use open and packs those that were not asked for lately. It packs only at <see cref="Rest"/>, between
/// events: what an event or a reader holds in its hands stays what it is until it is done.
/// </summary>
internal sealed class LotShelf(NameTable names)
{
    private const int MostOpen = 1000;
    private readonly PackWriter writer = new(names);
    private readonly PackReader reader = new(names);
    private readonly Queue<Lot> open = new();

    public void Opened(Lot lot) => open.Enqueue(lot);

    public LotDetail Unpack(Lot lot, byte[] packed)
    {
        Opened(lot);
        reader.Start(packed, lot.MadeBySeq, lot.MadeAt);
        return LotPacking.Read(reader);
    }

    public byte[] Pack(Lot lot, LotDetail detail)
    {
        writer.Start(lot.MadeBySeq, lot.MadeAt);
        LotPacking.Write(writer, detail);
        return writer.Take();
    }

    public void Rest()
    {
        while (open.Count > MostOpen) open.Dequeue().Pack();
    }
}
