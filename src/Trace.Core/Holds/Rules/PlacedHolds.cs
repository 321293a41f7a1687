using Trace.Core.Lots;

namespace Trace.Core.Holds.Rules;

/// <summary>A person said no. It stands, whatever the facts say, until a quality officer releases it with a reason.</summary>
internal sealed class PlacedHolds(PlacedBy by) : HoldRule
{
    public override string Code => by switch
    {
        PlacedBy.Quality => "quality.placed",
        PlacedBy.Complaint => "complaint.placed",
        _ => "recall.placed",
    };

    public override string Title => by switch
    {
        PlacedBy.Quality => "Held by quality",
        PlacedBy.Complaint => "Held for a complaint",
        _ => "Held for a recall",
    };

    public override string Source => "A named person's decision.";

    public override string Clears => "A release by the quality officer, with a reason.";

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        foreach (var hold in context.Lot.PlacedHolds)
        {
            if (hold.By != by || hold.Released is not null) continue;
            yield return new Verdict(Outcome.Hold, $"Placed by {hold.Person}: {hold.Reason}") { HoldId = hold.Id, EvidenceSeq = hold.Seq };
        }
    }
}
