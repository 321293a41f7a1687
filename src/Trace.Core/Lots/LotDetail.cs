using Trace.Core.Units;

namespace Trace.Core.Lots;

/// <summary>
/// What is known of a lot beyond where it stands. Most lots of a site are finished and seldom looked at, so this is kept as a few packed
/// bytes and unpacked when somebody asks: <see cref="LotShelf"/>.
/// Most lots have few of these facts or none: each list is as long as what it holds, and a new one takes its place when a fact comes in.
/// </summary>
internal sealed class LotDetail(LotRecord record)
{
    public LotRecord Record { get; } = record;

    public double FreshPerGram { get; set; } = 1;

    public Mass Shipped { get; set; }

    public Mass Returned { get; set; }

    public Mass Sampled { get; set; }

    public Mass Disposed { get; set; }

    public Mass Unaccounted { get; set; }

    public IReadOnlyList<CoolingReading> Readings { get; set; } = [];

    public IReadOnlyList<LotCheck> Checks { get; set; } = [];

    public IReadOnlyList<PlacedHold> PlacedHolds { get; set; } = [];

    public IReadOnlyList<Acceptance> Acceptances { get; set; } = [];

    public IReadOnlyList<ShipmentLine> Shipments { get; set; } = [];

    public IReadOnlyList<PackReturn> Returns { get; set; } = [];

    public IReadOnlyList<LabelPrint> Prints { get; set; } = [];

    public IReadOnlyList<LabelJob> Jobs { get; set; } = [];
}
