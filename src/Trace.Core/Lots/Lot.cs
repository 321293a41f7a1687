using Trace.Core.Specifications;
using Trace.Core.Units;

namespace Trace.Core.Lots;

/// <summary>
/// What is known of one lot. Written only by the fold of the journal.
/// Invariant: <c>Made = OnHand + Used + Shipped + Sampled + Disposed + Unaccounted</c>, by the definition of what is on hand.
/// </summary>
public sealed class Lot
{
    internal Lot(int index, string code, LotKind kind, long madeBySeq, DateTimeOffset madeAt, LotRecord record)
    {
        Index = index;
        Code = code;
        Kind = kind;
        MadeBySeq = madeBySeq;
        MadeAt = madeAt;
        Record = record;
    }

    public int Index { get; }

    public string Code { get; }

    public LotKind Kind { get; }

    /// <summary>The entry that made the lot.</summary>
    public long MadeBySeq { get; }

    public DateTimeOffset MadeAt { get; }

    /// <summary>What is particular to its kind.</summary>
    public LotRecord Record { get; }

    /// <summary>The product and version of the specification that judges it; null before a product is chosen.</summary>
    public SpecificationRef? Specification { get; internal set; }

    /// <summary>The mass the lot had when it was whole; grows while a container is filled, zero while a batch is in the dryer.</summary>
    public Mass Made { get; internal set; }

    /// <summary>Gone into other lots.</summary>
    public Mass Used { get; internal set; }

    public Mass Shipped { get; internal set; }

    public Mass Sampled { get; internal set; }

    public Mass Disposed { get; internal set; }

    /// <summary>Missing at a stock count or when the container was emptied; negative when more was found than expected.</summary>
    public Mass Unaccounted { get; internal set; }

    public Mass OnHand => Made - Used - Shipped - Sampled - Disposed - Unaccounted;

    /// <summary>
    /// Grams of fresh larvae that one gram of this lot stands for: 1 until drying, then mass in ÷ mass out.
    /// So the yield of a batch with rework in it is still judged against fresh mass.
    /// </summary>
    public double FreshPerGram { get; internal set; } = 1;

    // Most lots have few of these facts or none, and there are very many lots: each list is as long as what it holds, and a new one takes
    // its place when a fact comes in.

    /// <summary>In order of time, then of sequence number.</summary>
    public IReadOnlyList<CoolingReading> Readings { get; internal set; } = [];

    /// <summary>In order of time, then of sequence number.</summary>
    public IReadOnlyList<LotCheck> Checks { get; internal set; } = [];

    public IReadOnlyList<PlacedHold> PlacedHolds { get; internal set; } = [];

    /// <summary>Rule holds that the quality officer accepted with a reason, each bound to the evidence it was given on.</summary>
    public IReadOnlyList<Acceptance> Acceptances { get; internal set; } = [];

    /// <summary>Packs shipped to whom.</summary>
    public IReadOnlyList<ShipmentLine> Shipments { get; internal set; } = [];

    public IReadOnlyList<LabelPrint> Prints { get; internal set; } = [];

    public bool IsInProcess => Record is DryingRecord { LastWeighOut: null };
}

public sealed record CoolingReading(
    long Seq, DateTimeOffset At, double CoreCelsius, double RoomCelsius, double? RelativeHumidityPercent, string? Instrument);

/// <summary>A judgement with an instrument or method. Values as text keep what a laboratory wrote, such as <c>&lt;10</c>.</summary>
public sealed record LotCheck(
    long Seq, DateTimeOffset At, string Kind, IReadOnlyList<string> Values, string? Instrument, double? TemperatureCelsius,
    string? Laboratory, string? Reference);

public enum PlacedBy
{
    Quality,
    Complaint,
    Recall,
}

/// <summary>A hold that a person placed. It stands until it is released.</summary>
public sealed record PlacedHold(string Id, PlacedBy By, string Reason, DateTimeOffset At, string Person, long Seq)
{
    public HoldRelease? Released { get; internal set; }
}

public sealed record HoldRelease(string Reason, DateTimeOffset At, string Person, long Seq);

/// <summary>A rule hold accepted by the quality officer. It counts only while the evidence is still the one it was given on.</summary>
public sealed record Acceptance(string Rule, long EvidenceSeq, string Reason, DateTimeOffset At, string Person, long Seq);

public sealed record ShipmentLine(string Shipment, string Customer, string Reference, int Packs, Mass Mass, DateTimeOffset At, long Seq);

/// <summary>One print run of labels. <paramref name="Number"/> 1 is the first print of the lot, higher ones are reprints.</summary>
/// <param name="BestBefore">The date that these labels say.</param>
public sealed record LabelPrint(string Id, int Number, int Copies, string Template, string? Reason, DateTimeOffset At, string Person,
    long Seq, DateOnly? BestBefore);
