using System.Text.Json.Serialization;
using Trace.Core.Specifications;

namespace Trace.Web.Views;

/// <summary>What a buyer sees of a lot: nothing about customers, persons or other lots' masses.</summary>
/// <param name="Words">What the label says, in each language that the producer wrote it in; the specification's own first.</param>
/// <param name="Status"><c>released</c>, <c>held</c>, <c>recalled</c> or <c>date-passed</c>.</param>
/// <param name="Training">Made up for practice: there is no such product.</param>
/// <param name="Recall">What everybody is told of the recall, by language; null when it is not recalled or nobody has written it.</param>
/// <param name="Pack">The number of the pack that was asked for, which the producer issued for this lot.</param>
public sealed record PublicLotView(
    string Lot, string Product, string Producer, string? ApprovalNumber, DateOnly? ProductionDate, DateOnly? BestBefore, string? Gtin,
    decimal? NetMassGrams,
    string Storage, IReadOnlyList<string> Cautions, IReadOnlyList<PublicStep> Verified, string Status, string StatusText,
    string Contact, IReadOnlyList<LabelWords> Words,
    string? Pack = null, bool Training = false, IReadOnlyList<PublicRecallText>? Recall = null)
{
    /// <summary>The lot's own address, by site and code.</summary>
    [JsonIgnore]
    public string Address { get; init; } = "";

    /// <summary>The code that its address must carry to open, if it wants one; who sees this had it.</summary>
    [JsonIgnore]
    public string? Code { get; init; }

    /// <summary>What is told of the recall in a language; else in English; else as it was written.</summary>
    public PublicRecallText? RecallIn(string language) => Recall is null ? null
        : Recall.FirstOrDefault(one => one.Language == language) ?? Recall.FirstOrDefault(one => one.Language == "en") ?? Recall[0];

    /// <summary>The label's words in a language; in the producer's own where there are none in it.</summary>
    public LabelWords In(string language) => Words.FirstOrDefault(words => words.Language == language) ?? Words[0];
}

public sealed record PublicRecallText(string Language, string Risk, string Action);

/// <param name="Step"><c>sanitised</c>, <c>dried</c>, <c>cooled</c> or <c>packed</c>.</param>
/// <param name="What">How it was verified.</param>
/// <param name="Figures">What was found, and what was wanted.</param>
public sealed record PublicStep(string Step, DateOnly On, string What, IReadOnlyList<PublicFigure> Figures);

/// <param name="Kind"><c>heat</c> (minutes at <paramref name="AtCelsius"/>), <c>core</c> (°C), <c>moisture</c> (percent) or
/// <c>water-activity</c>.</param>
/// <param name="Limit">At least so much heat; at most so much of all else.</param>
/// <param name="AtCelsius">The temperature that minutes of heat are counted at; null for all else.</param>
public sealed record PublicFigure(string Kind, decimal Value, decimal Limit, decimal? AtCelsius = null);
