namespace Trace.Core.Lots;

/// <summary>Finds lots by code: a table of places in the list of lots, in a third of the memory of a dictionary.</summary>
internal sealed class CodeTable(List<Lot> lots)
{
    private const int Free = 0;
    private int[] slots = new int[64];

    public Lot? Find(string code)
    {
        var slot = slots[SlotOf(code)];
        return slot == Free ? null : lots[slot - 1];
    }

    /// <summary>Enters the last lot of the list; false if its code is taken.</summary>
    public bool TryAddLast()
    {
        if (lots.Count * 4 > slots.Length * 3)
        {
            slots = new int[slots.Length * 2];
            for (var place = 0; place < lots.Count - 1; place++) slots[SlotOf(lots[place].Code)] = place + 1;
        }

        var at = SlotOf(lots[^1].Code);
        if (slots[at] != Free) return false;
        slots[at] = lots.Count;
        return true;
    }

    /// <summary>The slot of a code: where it stands, or the free one where it would.</summary>
    private int SlotOf(string code)
    {
        var mask = slots.Length - 1;
        var at = string.GetHashCode(code, StringComparison.Ordinal) & mask;
        while (slots[at] != Free && lots[slots[at] - 1].Code != code) at = (at + 1) & mask;
        return at;
    }
}
