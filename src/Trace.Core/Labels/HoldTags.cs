using Trace.Core.Lots;
using Trace.Core.Operations;

namespace Trace.Core.Labels;

/// <summary>Prints the tag of a held lot.</summary>
/// <param name="Lot">Of any kind; it must be held.</param>
/// <param name="Copies">1 to 2,000.</param>
/// <param name="Template">Name of a template for Hold; the usual one by default.</param>
/// <param name="Language">Language of the words; the product's own by default. The reason is in English, as holds are.</param>
public sealed record PrintHoldTag(string Lot, int Copies, string? Template = null, string? Language = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [new(Lot, "lot")];
}

/// <summary>
/// A held lot is marked so that nobody takes it by mistake: the one label that a hold does not stop, and that nothing but a hold allows.
/// </summary>
public static class HoldTags
{
    public const string Template = "hold-100x70";

    /// <summary>So many characters of reasons go on a tag; what is more stands on the lot's page.</summary>
    private const int MostReasons = 300;

    public static Operation Printing { get; } = new Operation<PrintHoldTag>(
        "labels", "hold-tag", "Prints tags that say HOLD and why; only for a lot that is held.",
        Roles.Packer | Roles.Office, Passages.None, LabelsJson.Default.PrintHoldTag, Decide);

    private static Decision Decide(PrintHoldTag request, Situation situation)
    {
        var lot = situation.Lot(request.Lot);
        var holds = situation.HoldsOn(lot);
        return holds.Count == 0
            ? Decision.Refuse("lot.not-held", $"No hold stands on lot {lot.Code}. To stop it, place one; to label it, print labels.", "lot")
            : PrintingLabels.Decide(
                new PrintLabels(request.Lot, request.Copies, request.Template, request.Language), situation, Reasons(lot, holds));
    }

    /// <summary>In words, each once; of another lot's hold with its code.</summary>
    private static string Reasons(Lot lot, IReadOnlyList<Hold> holds)
    {
        var all = holds.Select(hold => hold.Lot == lot.Code ? hold.Reason : $"{hold.Lot}: {hold.Reason}").Distinct().ToList();
        var (text, told) = (all[0], 1);
        for (; told < all.Count && text.Length + all[told].Length < MostReasons; told++) text += " " + all[told];
        return told == all.Count ? text : $"{text} And {all.Count - told} more.";
    }
}
