using Trace.Core.Lots;
using Trace.Core.Operations;

namespace Trace.Core.Recall;

/// <summary>Opens a recall, a withdrawal, or a drill.</summary>
/// <param name="Lots">The lots that are suspect, of any kind; all that they went into is in the scope.</param>
/// <param name="Complaint">The complaint that it answers.</param>
/// <param name="Health">How bad the harm may be.</param>
/// <param name="Level">Which share of the consignees is checked; all by default.</param>
/// <param name="CheckShare">For level B: the share, 0.1 to 1.</param>
public sealed record OpenRecall(
    IReadOnlyList<string> Lots, RecallKind Kind, string Reason, string? Complaint = null, RecallHealth? Health = null,
    CheckLevel? Level = null, double? CheckShare = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => Lots.Select((lot, place) => new LotMention(lot, $"lots[{place}]"));
}

/// <summary>Opens a drill on a lot that chance picks.</summary>
/// <param name="Start">A packed lot that was shipped, or a supplier's lot.</param>
public sealed record StartDrill(DrillStart Start, string? Note = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

[System.Text.Json.Serialization.JsonConverter(typeof(Specifications.WordConverter<DrillStart>))]
public enum DrillStart
{
    Pack,
    SupplierLot,
}

/// <summary>More lots are suspect.</summary>
public sealed record WidenRecall(string Recall, IReadOnlyList<string> Lots, string Reason) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => Lots.Select((lot, place) => new LotMention(lot, $"lots[{place}]"));
}

/// <summary>Says in one language what the risk is and what to do: on the buyers' pages and in notices.</summary>
public sealed record PublishRecall(string Recall, string Language, string Risk, string Action) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

/// <summary>Tells consignees.</summary>
/// <param name="Customers">Left out: all who were not told of everything that they got.</param>
public sealed record NotifyConsignees(
    string Recall, NoticeChannel By, DateTimeOffset HappenedAt, IReadOnlyList<string>? Customers = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

/// <summary>What a consignee says became of the packs that it got.</summary>
/// <param name="Name">Who answers there.</param>
public sealed record AnswerRecall(
    string Recall, string Customer, int ReceivedPacks, int HeldPacks, int SoldPacks, int ReturnedPacks, int DestroyedPacks,
    DateTimeOffset HappenedAt, string? Name = null, string? Note = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

/// <summary>Asks a consignee whether the notice came and was acted on; in a drill, whether anybody can be reached.</summary>
public sealed record CheckConsignee(
    string Recall, string Customer, NoticeChannel By, bool Reached, bool Acted, DateTimeOffset HappenedAt, string? Note = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

/// <summary>Freezes the figures of now as a numbered status report.</summary>
public sealed record ReportRecall(string Recall, string? Note = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

/// <summary>Closes it.</summary>
/// <param name="Recall">Identity, such as <c>R01</c>.</param>
/// <param name="Conclusion">What was found and done.</param>
/// <param name="RootCause">Why it happened; needed unless it is a drill.</param>
/// <param name="Despite">Why it is closed although something is left to do.</param>
public sealed record CloseRecall(string Recall, string Conclusion, string? RootCause = null, string? Despite = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

/// <summary>The program is about to hand a notice to the mail server.</summary>
public sealed record BeginNotice(string Recall, string Notice) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

/// <summary>What became of it.</summary>
public sealed record EndNotice(string Recall, string Notice, NoticeState End, string? Detail) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}
