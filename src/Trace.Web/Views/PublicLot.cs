using Trace.Core.Holds;
using Trace.Core.Lots;

namespace Trace.Web.Views;

/// <summary>Takes out of the state what a buyer may see.</summary>
public static class PublicLot
{
    public static PublicLotView Of(SiteState state, Lot lot, DateTimeOffset now)
    {
        var specification = state.SpecificationOf(lot);
        var holds = HoldRules.StandingOn(state, lot, now);
        var (status, text) = StatusOf(holds);
        return new PublicLotView(
            lot.Code, specification.Name, state.Site.Name, state.Site.ApprovalNumber, BestBefore.ProductionDate(state, lot),
            BestBefore.Of(state, lot),
            specification.Label.Gtin, (lot.Record as PackedRecord)?.NetMass.Grams, specification.Label.Storage,
            specification.Label.Cautions,
            StepsOf(state, lot, holds), status, text);
    }

    private static (string, string) StatusOf(IReadOnlyList<Hold> holds)
    {
        if (holds.Any(hold => hold.Rule == "recall.placed"))
            return ("recalled", "This lot is being recalled. Do not use it. Keep it apart and ask the producer or your seller what to do.");
        if (holds.Any(hold => hold.Rule != "date.passed"))
            return ("held", "The producer is checking this lot. Ask the producer before you use it.");
        return holds.Count > 0 ? ("date-passed", "Best before is over.") : ("released", "Every check of the producer's specification was passed when it was packed.");
    }

    /// <summary>A step that a hold puts in doubt is not told as done.</summary>
    private static List<PublicStep> StepsOf(SiteState state, Lot lot, IReadOnlyList<Hold> holds)
    {
        bool Doubted(Lot one, string area) =>
            holds.Any(hold => hold.Lot == one.Code && hold.Rule.StartsWith(area, StringComparison.Ordinal));
        var steps = new List<PublicStep>();
        foreach (var index in state.Graph.Reach([lot.Index], back: true))
        {
            var one = state.Lots[index];
            switch (one.Record)
            {
                case SanitisingRecord when !Doubted(one, "sanitising"):
                    steps.Add(new("sanitised", state.Zone.DateOf(one.MadeAt), "Core temperatures were recorded at the coldest place."));
                    break;
                case DryingRecord { LastWeighOut: { } last }:
                    if (!Doubted(one, "drying")) steps.Add(new("dried", state.Zone.DateOf(last.At), "Judged dry by look, touch and yield."));
                    if (one.Readings.Count > 0 && !Doubted(one, "cooling")) steps.Add(new("cooled", state.Zone.DateOf(one.Readings[^1].At), "The core temperature was recorded before it was closed in."));
                    break;
                case PackedRecord:
                    steps.Add(new("packed", state.Zone.DateOf(one.MadeAt), "Packed; the program refuses to pack while a hold stands."));
                    break;
            }
        }

        return [.. steps.Distinct().OrderBy(step => step.On).ThenBy(step => Order(step.Step))];
    }

    private static int Order(string step) => step switch { "sanitised" => 0, "dried" => 1, "cooled" => 2, _ => 3 };
}
