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

/// <summary>One complaint, as far as the desk needs it; the whole of it stands in the journal.</summary>
/// <param name="Id">Reference, such as <c>K0001</c>.</param>
/// <param name="Harm">Empty when nobody was hurt.</param>
public sealed record ComplaintCase(
    string Id, ComplaintChannel Channel, string What, IReadOnlyList<ComplaintHarm> Harm, string? Lot, DateTimeOffset HappenedAt,
    DateTimeOffset RecordedAt, string Person, long Seq, string? LabelText, string? From, string? Contact);
