using System.Text.Json.Serialization;
using Trace.Core.Specifications;

namespace Trace.Core.Lots;

/// <summary>How a complaint reached the plant.</summary>
[JsonConverter(typeof(WordConverter<ComplaintChannel>))]
public enum ComplaintChannel
{
    /// <summary>Sent by whoever read the lot's page; nobody of the plant has spoken to them yet.</summary>
    BuyersPage,
    Phone,
    Email,
    Letter,
    Visit,
    Authority,
    Other,
}

/// <summary>What somebody says the product did.</summary>
[JsonConverter(typeof(WordConverter<ComplaintHarm>))]
public enum ComplaintHarm
{
    Illness,
    Allergy,
    Injury,
    Animal,
}

/// <summary>What kind of fault is complained of: the trend counts by it.</summary>
[JsonConverter(typeof(WordConverter<ComplaintFault>))]
public enum ComplaintFault
{
    ForeignBody,
    Mould,
    Smell,
    Wet,
    Pests,
    Label,
    ShortWeight,
    Packaging,

    /// <summary>Somebody or an animal fell ill, and no fault was seen.</summary>
    Harm,
    Other,
}

/// <summary>How far the fault reaches, as the quality officer judges.</summary>
[JsonConverter(typeof(WordConverter<ComplaintReach>))]
public enum ComplaintReach
{
    /// <summary>No fault of ours was found.</summary>
    NoFault,

    /// <summary>This pack alone.</summary>
    Isolated,

    /// <summary>The whole lot.</summary>
    Lot,

    /// <summary>More than the lot: see the scopes before you decide.</summary>
    Wider,
}

/// <summary>
/// One complaint: what was told, and what was made of it. Immutable; each event puts a new one in its place.
/// </summary>
/// <param name="Id">Reference, such as <c>K0001</c>.</param>
/// <param name="Harm">Empty when nobody was hurt.</param>
/// <param name="Lot">The lot, as told or as found since; null while it is not known.</param>
public sealed record ComplaintCase(
    string Id, ComplaintChannel Channel, string What, IReadOnlyList<ComplaintHarm> Harm, string? Lot, DateTimeOffset HappenedAt,
    DateTimeOffset RecordedAt, string Person, long Seq, string? LabelText, string? From, string? Contact, string? Customer = null,
    int? Packs = null, string? Storage = null, string? Pack = null)
{
    /// <summary>In the order made; the last counts.</summary>
    public IReadOnlyList<ComplaintAssessment> Assessments { get; init; } = [];

    public ComplaintAnswer? Answer { get; init; }

    public ComplaintClosure? Closed { get; init; }

    [JsonIgnore]
    public ComplaintAssessment? Assessed => Assessments.Count == 0 ? null : Assessments[^1];
}

/// <param name="Lot">The lot that was found to be concerned; null while it is not known.</param>
public sealed record ComplaintAssessment(
    ComplaintReach Reach, ComplaintFault Fault, string Note, string? Lot, bool Holds, DateTimeOffset At, string Person, long Seq);

/// <summary>What whoever complained was told.</summary>
public sealed record ComplaintAnswer(string Text, DateTimeOffset At, string Person, long Seq);

public sealed record ComplaintClosure(string Conclusion, DateTimeOffset At, string Person, long Seq);
