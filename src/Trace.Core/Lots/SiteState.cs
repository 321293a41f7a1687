using System.Diagnostics.CodeAnalysis;
using System.Security.Cryptography;
using System.Text;
using Trace.Core.Lots.Packed;
using Trace.Core.Specifications;
using Trace.Core.Time;
using Trace.Core.Units;

namespace Trace.Core.Lots;

/// <summary>
/// What the program knows of one site: a fold of its journal, kept in memory and written to only by applying entries.
/// Events write to it through the methods marked internal; everybody else reads. Not thread-safe: its owner locks.
/// </summary>
public sealed partial class SiteState
{
    private readonly List<Lot> lots = [];
    private readonly CodeTable byCode;
    private readonly NameTable names = new();
    private readonly LotShelf shelf;
    private readonly HashSet<string> retired = new(StringComparer.Ordinal);
    private readonly Dictionary<string, Container> containers = new(StringComparer.Ordinal);
    private readonly Dictionary<string, List<InstrumentCheck>> instruments = new(StringComparer.Ordinal);
    private readonly Dictionary<ulong, long> requestKeys = [];
    private readonly Dictionary<string, List<MeasuredIsotherm>> isotherms = new(StringComparer.Ordinal);
    private readonly Dictionary<string, Packaging> packagings = new(StringComparer.Ordinal);
    private readonly Dictionary<string, Consignee> consignees = new(StringComparer.Ordinal);
    private readonly Dictionary<string, Lot> prints = new(StringComparer.Ordinal);
    private readonly Dictionary<string, string> printOfSscc = new(StringComparer.Ordinal);
    private readonly List<Correction> corrections = [];
    private readonly Dictionary<(LotKind Kind, DateOnly Day), int> lastNumbers = [];

    public SiteState()
    {
        byCode = new CodeTable(lots);
        shelf = new LotShelf(names);
    }

    /// <summary>The site as last described; a nameless one before the first entry.</summary>
    public SiteDescription Site { get; internal set; } = new("", "", "", "UTC", null, null);

    public SiteZone Zone { get; internal set; } = SiteZone.Utc;

    /// <summary>Sequence number of the last entry applied.</summary>
    public long Head { get; internal set; }

    public LotGraph Graph { get; } = new();

    public SpecificationBook Specifications { get; } = new();

    public IReadOnlyList<Lot> Lots => lots;

    public IReadOnlyDictionary<string, Container> Containers => containers;

    public IReadOnlyDictionary<string, Consignee> Consignees => consignees;

    public IReadOnlyList<Correction> Corrections => corrections;

    public IReadOnlyDictionary<string, List<InstrumentCheck>> Instruments => instruments;

    /// <summary>By code; the newest description of each.</summary>
    public IReadOnlyDictionary<string, Packaging> Packagings => packagings;

    /// <summary>The site's own label templates.</summary>
    public TemplateBook Templates { get; } = new();

    public LogoBook Logos { get; } = new();

    public int ShipmentCount { get; internal set; }

    public int PrintCount => prints.Count;

    public int HoldCount { get; private set; }

    public Lot? Find(string code) => byCode.Find(code);

    public bool IsTaken(string code) => byCode.Find(code) is not null || retired.Contains(code);

    public long? SeqOfRequest(string key) => requestKeys.TryGetValue(DigestOf(key), out var seq) ? seq : null;

    public (Lot Lot, LabelPrint Print)? FindPrint(string id) =>
        prints.TryGetValue(id, out var lot) ? (lot, lot.Prints.Single(print => print.Id == id)) : null;

    /// <summary>The first print with this SSCC; null while nobody used it.</summary>
    public (Lot Lot, LabelPrint Print)? FindSscc(string sscc) => printOfSscc.TryGetValue(sscc, out var print) ? FindPrint(print) : null;

    public IEnumerable<Lot> InputsOf(Lot lot) => Graph.Inputs(lot.Index).Select(edge => lots[edge.From]).Distinct();

    /// <summary>The specification that judges a lot: its own version, or the default product's newest before a product is chosen.</summary>
    public ProductSpecification SpecificationOf(Lot lot) =>
        lot.Specification is { } own ? Specifications.Get(own) : Specifications.Default;

    /// <summary>Checks of an instrument, oldest first.</summary>
    public IReadOnlyList<InstrumentCheck> ChecksOf(string instrument) => instruments.GetValueOrDefault(instrument) ?? [];

    /// <summary>Isotherms measured of a product, in the order of their records.</summary>
    public IReadOnlyList<MeasuredIsotherm> IsothermsOf(string product) => isotherms.GetValueOrDefault(product) ?? [];

    /// <summary>The product's isotherm measured last; null without one.</summary>
    public MeasuredIsotherm? IsothermOf(string product) => IsothermsOf(product).MaxBy(one => (one.Isotherm.MeasuredOn, one.Seq));

    /// <summary>Where the search for a free code of a kind and day starts: after those that were assigned before.</summary>
    public int NextNumber(LotKind kind, DateOnly day) => lastNumbers.GetValueOrDefault((kind, day)) + 1;

    internal Lot AddLot(string code, LotKind kind, EventContext at, LotRecord record)
    {
        var lot = new Lot(shelf, Graph.AddLot(), code, kind, at.Seq, at.HappenedAt, record);
        lots.Add(lot);
        if (!byCode.TryAddLast()) throw new InvalidOperationException($"Lot code {code} is used twice.");
        if (LotCode.NumberOf(code) is { } number)
        {
            var day = (kind, Zone.DateOf(at.HappenedAt));
            lastNumbers[day] = Math.Max(lastNumbers.GetValueOrDefault(day), number);
        }

        return lot;
    }

    /// <summary>A code that was given to a lot that then was voided stays taken for ever.</summary>
    internal void Retire(string code) => retired.Add(code);

    internal Lot Get(string code) => byCode.Find(code) ?? throw new KeyNotFoundException($"There is no lot {code}.");

    internal void Pass(string from, Lot to, Mass mass, DateTimeOffset at)
    {
        var source = Get(from);
        source.Used += mass;
        Graph.AddEdge(source.Index, to.Index, mass, at);
    }

    internal Container GetContainer(string code)
    {
        if (!containers.TryGetValue(code, out var container)) containers[code] = container = new Container(code);
        return container;
    }

    internal void AddInstrumentCheck(string instrument, InstrumentCheck check)
    {
        if (!instruments.TryGetValue(instrument, out var checks)) instruments[instrument] = checks = [];
        checks.Add(check);
        checks.Sort((left, right) => left.At != right.At ? left.At.CompareTo(right.At) : left.Seq.CompareTo(right.Seq));
    }

    internal string AddHold(Lot lot, PlacedBy by, string reason, EventContext at)
    {
        var hold = new PlacedHold(FormattableString.Invariant($"Q{++HoldCount:0000}"), by, reason, at.HappenedAt, at.Person, at.Seq);
        lot.PlacedHolds = lot.PlacedHolds.And(hold);
        return hold.Id;
    }

    internal void AddPrint(Lot lot, LabelPrint print)
    {
        lot.Prints = lot.Prints.And(print);
        prints.Add(print.Id, lot);
        if (print.Unit?.Sscc is { } sscc) printOfSscc.TryAdd(sscc, print.Id);
    }

    internal void SetConsignee(Consignee consignee) => consignees[consignee.Customer] = consignee;

    internal void AddIsotherm(string product, MeasuredIsotherm isotherm)
    {
        if (!isotherms.TryGetValue(product, out var measured)) isotherms[product] = measured = [];
        measured.Add(isotherm);
    }

    internal void SetPackaging(Packaging packaging) => packagings[packaging.Code] = packaging;

    internal void AddCorrection(Correction correction) => corrections.Add(correction);

    /// <summary>One copy of a name that very many facts repeat: of a dryer, an instrument, a product, a customer.</summary>
    [return: NotNullIfNotNull(nameof(name))]
    internal string? Shared(string? name) => name is null ? null : names.Shared(name);

    internal void NoteRequest(string key, long seq) => requestKeys.TryAdd(DigestOf(key), seq);

    /// <summary>Packs lots that were not asked for lately. Called between events and between looks, never within one.</summary>
    internal void Rest() => shelf.Rest();

    // Devices send keys of any length, one for each entry: only a digest is kept, and the entry itself tells whose key it was.
    private static ulong DigestOf(string key) => BitConverter.ToUInt64(SHA256.HashData(Encoding.UTF8.GetBytes(key)));
}

/// <summary>A processing place. One journal per site.</summary>
/// <param name="Code">Upper-case letters and digits.</param>
/// <param name="Zone">IANA time zone.</param>
/// <param name="ApprovalNumber">Establishment or registration number, if the authority gave one.</param>
/// <param name="Gln">GS1 Global Location Number, if there is one.</param>
/// <param name="EnergyPrice">Of a kilowatt-hour, in <paramref name="Currency"/> (ISO 4217).</param>
public sealed record SiteDescription(string Code, string Name, string Address, string Zone, string? ApprovalNumber, string? Gln,
    string? PublicCodes = null, decimal? EnergyPrice = null, string? Currency = null)
{
    /// <summary>Code of a site for practice, a number behind it. The code stands in every address and entry, so such a site can never
    /// be taken for a real one, nor become one.</summary>
    public const string TrainingCode = "TRAIN";

    [System.Text.Json.Serialization.JsonIgnore]
    public bool IsTraining => IsTrainingCode(Code);

    public static bool IsTrainingCode(string code) => code.StartsWith(TrainingCode, StringComparison.Ordinal);
}

/// <summary>Where an event stands and who told it.</summary>
public readonly record struct EventContext(long Seq, DateTimeOffset HappenedAt, DateTimeOffset RecordedAt, string Person, string Device);

/// <summary>Something that happened, as the journal keeps it. Immutable; knows how it changes what is known.</summary>
public interface ITraceEvent
{
    /// <summary>Every lot that the event touches.</summary>
    IEnumerable<string> Lots { get; }

    void Apply(SiteState state, EventContext at);

    /// <summary>What stays of it when a correction voids it: a number that was given is not given again.</summary>
    void ApplyVoid(SiteState state)
    {
    }
}

/// <summary>An event that makes a lot.</summary>
public interface IMakesLot : ITraceEvent
{
    /// <summary>Code of the lot made.</summary>
    string Lot { get; }
}

/// <summary>A container and the bulk lot that it holds now.</summary>
public sealed class Container(string code)
{
    public string Code => code;

    /// <summary>Code of the bulk lot inside; null while it is empty and clean.</summary>
    public string? Lot { get; internal set; }
}

/// <summary>A check of an instrument against something known.</summary>
/// <param name="Tolerance">Largest difference that is good, in the unit.</param>
public sealed record InstrumentCheck(long Seq, DateTimeOffset At, string Method, double Expected, double Found, double Tolerance,
    string Person, string? Unit = null)
{
    public bool IsGood => IsWithin(Expected, Found, Tolerance);

    /// <summary>Compared as decimal numbers, as people write them: 20.1 is 0.1 from 20. What is not finite is within nothing.</summary>
    public static bool IsWithin(double expected, double found, double tolerance) =>
        Math.Abs(expected) < 1e12 && Math.Abs(found) < 1e12 && tolerance is > 0 and < 1e12
        && Math.Abs((decimal)found - (decimal)expected) <= (decimal)tolerance;
}

/// <summary>Who gets product from us, and how to reach them in a recall.</summary>
/// <param name="Language">In which they are written to, such as <c>fr</c>; null: English.</param>
public sealed record Consignee(string Customer, string? Address, string? Country, string? Phone, string? Email, string? Language = null);

/// <summary>An entry that was corrected: what counts now stands in the entry <paramref name="Seq"/>.</summary>
/// <param name="Corrects">The corrected entry.</param>
/// <param name="Voided">True when the corrected entry no longer counts at all.</param>
public sealed record Correction(long Corrects, long Seq, string Reason, string Person, DateTimeOffset RecordedAt, bool Voided);
