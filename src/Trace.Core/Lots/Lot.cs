using System.Text.Json.Serialization;
using Trace.Core.Specifications;
using Trace.Core.Units;

namespace Trace.Core.Lots;

/// <summary>
/// What is known of one lot. Written only by the fold of the journal.
/// Invariant: <c>Made = OnHand + Used + Shipped + Returned + Sampled + Disposed + Unaccounted</c>, by the definition of what is on hand.
/// </summary>
public sealed class Lot
{
    private readonly LotShelf shelf;
    private readonly long madeAtTicks;
    private readonly short madeAtOffsetMinutes;

    // Open or packed: a LotDetail or its bytes.
    private object content;
    private string? product;
    private int specificationVersion;
    private Mass left;

    internal Lot(LotShelf shelf, int index, string code, LotKind kind, long madeBySeq, DateTimeOffset madeAt, LotRecord record)
        : this(shelf, index, code, kind, madeBySeq, madeAt, new LotDetail(record))
    {
        shelf.Opened(this);
    }

    private Lot(LotShelf shelf, int index, string code, LotKind kind, long madeBySeq, DateTimeOffset madeAt, object content)
    {
        this.shelf = shelf;
        this.content = content;
        Index = index;
        Code = code;
        Kind = kind;
        MadeBySeq = madeBySeq;
        madeAtTicks = madeAt.Ticks;
        madeAtOffsetMinutes = (short)madeAt.TotalOffsetMinutes;
    }

    public int Index { get; }

    public string Code { get; }

    public LotKind Kind { get; }

    /// <summary>The entry that made the lot.</summary>
    public long MadeBySeq { get; }

    public DateTimeOffset MadeAt => new(madeAtTicks, TimeSpan.FromMinutes(madeAtOffsetMinutes));

    /// <summary>What is particular to its kind.</summary>
    public LotRecord Record => Detail.Record;

    /// <summary>The product and version of the specification that judges it; null before a product is chosen.</summary>
    public SpecificationRef? Specification
    {
        get => product is null ? null : new SpecificationRef(product, specificationVersion);
        internal set => (product, specificationVersion) = (value?.Product, value?.Version ?? 0);
    }

    /// <summary>The mass the lot had when it was whole; grows while a container is filled, zero while a batch is in the dryer.</summary>
    public Mass Made { get; internal set; }

    /// <summary>Gone into other lots.</summary>
    public Mass Used { get; internal set; }

    /// <summary>With customers: shipped, less what came back or was destroyed there.</summary>
    public Mass Shipped
    {
        get => Detail.Shipped;
        internal set
        {
            left += value - Detail.Shipped;
            Detail.Shipped = value;
        }
    }

    /// <summary>Came back from customers and stands here apart: no stock, until it is destroyed.</summary>
    public Mass Returned
    {
        get => Detail.Returned;
        internal set
        {
            left += value - Detail.Returned;
            Detail.Returned = value;
        }
    }

    public Mass Sampled
    {
        get => Detail.Sampled;
        internal set
        {
            left += value - Detail.Sampled;
            Detail.Sampled = value;
        }
    }

    public Mass Disposed
    {
        get => Detail.Disposed;
        internal set
        {
            left += value - Detail.Disposed;
            Detail.Disposed = value;
        }
    }

    /// <summary>Missing at a stock count or when the container was emptied; negative when more was found than expected.</summary>
    public Mass Unaccounted
    {
        get => Detail.Unaccounted;
        internal set
        {
            left += value - Detail.Unaccounted;
            Detail.Unaccounted = value;
        }
    }

    public Mass OnHand => Made - Used - left;

    /// <summary>
    /// Grams of fresh larvae that one gram of this lot stands for: 1 until drying, then mass in ÷ mass out.
    /// So the yield of a batch with rework in it is still judged against fresh mass.
    /// </summary>
    public double FreshPerGram
    {
        get => Detail.FreshPerGram;
        internal set => Detail.FreshPerGram = value;
    }

    /// <summary>In order of time, then of sequence number.</summary>
    public IReadOnlyList<CoolingReading> Readings
    {
        get => Detail.Readings;
        internal set => Detail.Readings = value;
    }

    /// <summary>In order of time, then of sequence number.</summary>
    public IReadOnlyList<LotCheck> Checks
    {
        get => Detail.Checks;
        internal set => Detail.Checks = value;
    }

    public IReadOnlyList<PlacedHold> PlacedHolds
    {
        get => Detail.PlacedHolds;
        internal set => Detail.PlacedHolds = value;
    }

    /// <summary>Rule holds that the quality officer accepted with a reason, each bound to the evidence it was given on.</summary>
    public IReadOnlyList<Acceptance> Acceptances
    {
        get => Detail.Acceptances;
        internal set => Detail.Acceptances = value;
    }

    /// <summary>Packs shipped to whom.</summary>
    public IReadOnlyList<ShipmentLine> Shipments
    {
        get => Detail.Shipments;
        internal set => Detail.Shipments = value;
    }

    /// <summary>Packs that customers no longer have.</summary>
    public IReadOnlyList<PackReturn> Returns
    {
        get => Detail.Returns;
        internal set => Detail.Returns = value;
    }

    public IReadOnlyList<LabelPrint> Prints
    {
        get => Detail.Prints;
        internal set => Detail.Prints = value;
    }

    /// <summary>The last print of the same kind of label for the same unit: it is the one that counts.</summary>
    public LabelPrint NewestLike(LabelPrint print) => Prints.Last(one => one.For == print.For && one.Unit == print.Unit);

    /// <summary>Its labels' ways to printers, in the order they were queued.</summary>
    public IReadOnlyList<LabelJob> Jobs
    {
        get => Detail.Jobs;
        internal set => Detail.Jobs = value;
    }

    // A batch that was weighed out has a mass: only the others need to be looked at more closely.
    public bool IsInProcess => Kind == LotKind.Dried && Made == Mass.Zero && Record is DryingRecord { LastWeighOut: null };

    internal LotDetail Detail
    {
        get
        {
            if (content is LotDetail open) return open;
            var detail = shelf.Unpack(this, (byte[])content);
            content = detail;
            return detail;
        }
    }

    /// <summary>The detail as bytes, whether it is open or not.</summary>
    internal byte[] Packed => content as byte[] ?? shelf.Pack(this, (LotDetail)content);

    internal static Lot FromPacked(
        LotShelf shelf, int index, string code, LotKind kind, long madeBySeq, DateTimeOffset madeAt, byte[] packed, Mass onHand, Mass made,
        Mass used) => new(shelf, index, code, kind, madeBySeq, madeAt, (object)packed)
        {
            Made = made,
            Used = used,
            left = made - used - onHand,
        };

    internal void Pack() => content = Packed;
}

public sealed record CoolingReading(
    long Seq, DateTimeOffset At, double CoreCelsius, double RoomCelsius, double? RelativeHumidityPercent, string? Instrument);

/// <summary>A judgement with an instrument or method. Values as text keep what a laboratory wrote, such as <c>&lt;10</c>.</summary>
/// <param name="Unit">Of the values, as the laboratory wrote it; null: the unit of the plan that awaits them.</param>
public sealed record LotCheck(
    long Seq, DateTimeOffset At, string Kind, IReadOnlyList<string> Values, string? Instrument, double? TemperatureCelsius,
    string? Laboratory, string? Reference, string? Unit = null);

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

/// <summary>One print run of labels. <paramref name="Number"/> 1 is the lot's first print of its kind, higher ones came later.</summary>
/// <param name="BestBefore">The date that these labels say.</param>
/// <param name="For">What the label is stuck on.</param>
/// <param name="Unit">Which case or shipping unit; null for packs and containers.</param>
/// <param name="SerialSeed">From which each label's own number is made; null: all its labels are the same.</param>
/// <param name="FirstSerial">How many numbers of the lot were issued before this print's first.</param>
public sealed record LabelPrint(string Id, int Number, int Copies, string Template, string? Reason, DateTimeOffset At, string Person,
    long Seq, DateOnly? BestBefore, string? PublicCode = null, TemplateKind For = TemplateKind.Pack, LabelledUnit? Unit = null,
    [property: JsonIgnore] string? SerialSeed = null, int FirstSerial = 0)
{
    /// <summary>The kind of label that the packs or the container of such a lot bear.</summary>
    public static TemplateKind Own(LotKind kind) => kind == LotKind.Packed ? TemplateKind.Pack : TemplateKind.Container;

    /// <summary>Whether labels of this kind are of the lot itself: only these count in its label account.</summary>
    public static bool IsOwn(TemplateKind kind) => kind is TemplateKind.Pack or TemplateKind.Container;

    public bool IsOwn() => IsOwn(For);
}
