using System.Text.Json.Serialization;
using Trace.Core.Specifications;

namespace Trace.Core.Lots;

[JsonConverter(typeof(WordConverter<RecallKind>))]
public enum RecallKind
{
    /// <summary>Get it back from whoever has it.</summary>
    Recall,

    /// <summary>Stop it before it reaches them.</summary>
    Withdrawal,

    /// <summary>An exercise: it holds no lot.</summary>
    Drill,
}

/// <summary>How bad the harm may be: the three classes of 21 CFR 7.3(m), from memory.</summary>
[JsonConverter(typeof(WordConverter<RecallHealth>))]
public enum RecallHealth
{
    /// <summary>Class I: serious harm or death is reasonably likely.</summary>
    Serious,

    /// <summary>Class II: harm that passes, or serious harm that is remote.</summary>
    Passing,

    /// <summary>Class III: harm is not likely.</summary>
    Unlikely,
}

/// <summary>Which share of the consignees is asked whether the notice arrived and was acted on: 21 CFR 7.42(b)(3).</summary>
[JsonConverter(typeof(WordConverter<CheckLevel>))]
public enum CheckLevel
{
    /// <summary>All of them.</summary>
    A,

    /// <summary>A share between A and C, set case by case.</summary>
    B,

    /// <summary>One in ten.</summary>
    C,

    /// <summary>One in fifty.</summary>
    D,

    /// <summary>None.</summary>
    E,
}

/// <summary>How a notice goes to a consignee.</summary>
[JsonConverter(typeof(WordConverter<NoticeChannel>))]
public enum NoticeChannel
{
    Letter,

    /// <summary>Sent by the program, if a mail server is configured; otherwise by whoever prints it.</summary>
    Email,
    Phone,
    Visit,
}

[JsonConverter(typeof(WordConverter<NoticeState>))]
public enum NoticeState
{
    /// <summary>Told, by a person who says so; or taken by the mail server.</summary>
    Told,

    /// <summary>Waits for the mail server.</summary>
    Queued,

    /// <summary>The mail server was asked to take it, and has not answered.</summary>
    Sending,

    /// <summary>It was not taken.</summary>
    Failed,

    /// <summary>Whether it was taken is unknown; it is not sent again by itself.</summary>
    Unknown,
}

/// <summary>
/// A recall, withdrawal or drill: what was decided and done. Its scope is never stored: it is all that the named lots went into, as known
/// now. Immutable; each event puts a new one in its place.
/// </summary>
/// <param name="Lots">All named lots: those it began with and those it was widened by.</param>
/// <param name="Complaint">The complaint that it answers, such as <c>K0001</c>.</param>
/// <param name="CheckShare">Share of the consignees to check, 0 to 1.</param>
/// <param name="Picked">For a drill: chance picked the lot.</param>
public sealed record RecallCase(
    string Id, RecallKind Kind, IReadOnlyList<string> Lots, string Reason, DateTimeOffset OpenedAt, DateTimeOffset RecordedAt,
    string OpenedBy, long Seq, string? Complaint = null, RecallHealth? Health = null, CheckLevel Level = CheckLevel.A,
    double CheckShare = 1, bool Picked = false)
{
    public IReadOnlyList<RecallWidening> Widenings { get; init; } = [];

    /// <summary>What is told to the public and to consignees; the newest of each language.</summary>
    public IReadOnlyList<RecallText> Texts { get; init; } = [];

    public IReadOnlyList<ConsigneeNotice> Notices { get; init; } = [];

    /// <summary>In the order told; the last of a consignee counts.</summary>
    public IReadOnlyList<ConsigneeAnswer> Answers { get; init; } = [];

    public IReadOnlyList<ConsigneeCheck> Checks { get; init; } = [];

    public IReadOnlyList<StatusReport> Reports { get; init; } = [];

    public RecallClosure? Closed { get; init; }

    public ConsigneeAnswer? AnswerOf(string customer) => Answers.LastOrDefault(one => one.Customer == customer);

    /// <summary>The text in a language; else in English; else the first that there is.</summary>
    public RecallText? TextIn(string language) =>
        Texts.FirstOrDefault(one => one.Language == language) ?? Texts.FirstOrDefault(one => one.Language == "en")
            ?? (Texts.Count > 0 ? Texts[0] : null);
}

/// <summary>More lots were found suspect.</summary>
public sealed record RecallWidening(IReadOnlyList<string> Lots, string Reason, DateTimeOffset At, string Person, long Seq);

/// <param name="Risk">What may happen to whom, in plain words.</param>
/// <param name="Action">What whoever has the product shall do.</param>
public sealed record RecallText(string Language, string Risk, string Action, DateTimeOffset At, string Person, long Seq);

/// <summary>One delivery that a notice told of.</summary>
public sealed record NoticeLine(string Shipment, string Lot, int Packs);

/// <param name="Id">Such as <c>R01-003</c>.</param>
/// <param name="Link">Secret part of the consignee's own address, where they answer.</param>
/// <param name="Address">E-mail address it went to; null for other ways.</param>
public sealed record ConsigneeNotice(
    string Id, string Customer, NoticeChannel By, string Link, string? Address, IReadOnlyList<NoticeLine> Lines, DateTimeOffset At,
    string Person, long Seq, NoticeState State, string? Detail = null, DateTimeOffset? EndedAt = null)
{
    /// <summary>Whether the consignee has been told, as far as is known.</summary>
    [JsonIgnore]
    public bool IsTold => State == NoticeState.Told;
}

/// <summary>What a consignee says became of the packs. Held + sold + returned + destroyed is never above what was received.</summary>
/// <param name="ByLink">Through the consignee's own address, without a person of the plant.</param>
public sealed record ConsigneeAnswer(
    string Customer, int ReceivedPacks, int HeldPacks, int SoldPacks, int ReturnedPacks, int DestroyedPacks, string? Name, string? Note,
    DateTimeOffset At, string Person, long Seq, bool ByLink);

/// <summary>Somebody asked a consignee whether the notice came and was acted on.</summary>
public sealed record ConsigneeCheck(
    string Customer, NoticeChannel By, bool Reached, bool Acted, string? Note, DateTimeOffset At, string Person, long Seq);

/// <summary>A status report as it was given out: its figures stay as they were.</summary>
public sealed record StatusReport(int Number, string? Note, RecallTotals Totals, DateTimeOffset At, string Person, long Seq);

/// <summary>Where a recall stands, in figures. Packs and grams of the whole scope.</summary>
/// <param name="Consignees">Who got something of the scope.</param>
/// <param name="Told">Of them, told of all that they got.</param>
/// <param name="Answered">Of them, have answered.</param>
/// <param name="ChecksWanted">Consignees to check by the level chosen.</param>
/// <param name="ChecksEffective">Checked, reached, and found to have acted.</param>
/// <param name="DeliveredPacks">What left the site.</param>
/// <param name="ConfirmedPacks">Of the delivered packs, those that consignees account for: held, sold on, returned or destroyed.</param>
/// <param name="BackPacks">Came back here, on our own record.</param>
/// <param name="DestroyedPacks">Destroyed with proof, here after coming back or at a consignee's.</param>
public sealed record RecallTotals(
    int Lots, int Consignees, int Told, int Answered, int ChecksWanted, int ChecksDone, int ChecksEffective, int DeliveredPacks,
    int ReceivedPacks, int HeldPacks, int SoldPacks, int SentBackPacks, int ConfirmedPacks, int BackPacks, int DestroyedPacks,
    decimal MadeGrams, decimal OnHandGrams, decimal ShippedGrams, decimal ReturnedGrams, decimal SampledGrams, decimal DisposedGrams,
    decimal UnaccountedGrams, double UnaccountedPercent, double UnaccountedUncertaintyPercent);

/// <param name="RootCause">Why it happened; null for a drill.</param>
/// <param name="Despite">What was not done, and why it was closed all the same; null when all was done.</param>
public sealed record RecallClosure(
    string Conclusion, DateTimeOffset At, string Person, long Seq, string? RootCause = null, string? Despite = null);
