using Trace.Core.Holds;
using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Specifications;

namespace Trace.Web.Views;

/// <summary>Takes out of the state what a buyer may see.</summary>
public static class PublicLot
{
    private const string Heat = "heat";

    /// <summary>Which verdicts are told with their figures, and what they are called; all others are the producer's alone.</summary>
    private static readonly Dictionary<string, string> ToldFigures = new(StringComparer.Ordinal)
    {
        ["sanitising.lethality"] = Heat,
        ["cooling.temperature"] = "core",
    };

    public static PublicLotView Of(SiteState state, Lot lot, DateTimeOffset now)
    {
        var specification = state.SpecificationOf(lot);
        var label = specification.Label;
        var holds = HoldRules.StandingOn(state, lot, now);
        var (status, text) = StatusOf(holds);
        return new PublicLotView(
            lot.Code, specification.Name, state.Site.Name, state.Site.ApprovalNumber, BestBefore.ProductionDate(state, lot),
            BestBefore.Of(state, lot),
            label.Gtin, (lot.Record as PackedRecord)?.NetMass.Grams, label.Storage, label.Cautions,
            StepsOf(state, lot, holds), status, text, label.Contact,
            [label.In(label.Language ?? "en", specification.Name)!, .. label.Translations],
            Training: state.Site.IsTraining, Recall: status == "recalled" ? RecallOf(state, holds) : null)
        {
            Address = $"/lot/{state.Site.Code}/{lot.Code}",
            Code = PublicCode.Opens(state, lot, null) ? null : PublicCode.Of(lot),
        };
    }

    /// <summary>Of the newest recall that holds the lot, with anything written.</summary>
    private static List<PublicRecallText>? RecallOf(SiteState state, IReadOnlyList<Hold> holds)
    {
        var named = holds.Where(hold => hold.Rule == "recall.placed").Select(hold => hold.Lot).ToHashSet();
        var recall = state.Recalls.Values.Where(one => one.Kind != RecallKind.Drill && one.Texts.Count > 0 && one.Lots.Any(named.Contains))
            .MaxBy(one => one.Seq);
        return recall is null ? null : [.. recall.Texts.Select(text => new PublicRecallText(text.Language, text.Risk, text.Action))];
    }

    private static (string, string) StatusOf(IReadOnlyList<Hold> holds)
    {
        if (holds.Any(hold => hold.Rule == "recall.placed"))
            return ("recalled", "This lot is being recalled. Do not use it. Keep it apart and ask the producer or your seller what to do.");
        if (holds.Any(hold => hold.Rule != "date.passed"))
            return ("held", "The producer is checking this lot. Ask the producer before you use it.");
        return holds.Count > 0
            ? ("date-passed", "Best before is over.")
            : ("released", "Every check of the producer's specification was passed when it was packed.");
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
            void Tell(string step, DateTimeOffset at, string what, string? figures = null) =>
                steps.Add(new(step, state.Zone.DateOf(at), what, figures is null ? [] : FiguresOf(state, one, figures)));
            switch (one.Record)
            {
                case SanitisingRecord when !Doubted(one, "sanitising"):
                    Tell("sanitised", one.MadeAt, "Core temperatures were recorded at the coldest place.", "sanitising");
                    break;
                case DryingRecord { LastWeighOut: { } last }:
                    if (!Doubted(one, "drying")) Tell("dried", last.At, "Judged dry by look, touch and yield.", "drying");
                    if (one.Readings.Count > 0 && !Doubted(one, "cooling"))
                        Tell("cooled", one.Readings[^1].At, "The core temperature was recorded before it was closed in.", "cooling");
                    break;
                case PackedRecord:
                    Tell("packed", one.MadeAt, "Packed; the program refuses to pack while a hold stands.");
                    break;
            }
        }

        return [.. steps.DistinctBy(step => (step.Step, step.On, step.What, string.Join(' ', step.Figures)))
            .OrderBy(step => step.On).ThenBy(step => Order(step.Step))];
    }

    private static List<PublicFigure> FiguresOf(SiteState state, Lot lot, string area)
    {
        // Judged as of when it went on, as the gate did: a core reading grows old for a lot that stays, not for one that is packed.
        var asOf = state.Graph.HasOutputs(lot.Index) ? state.Graph.Outputs(lot.Index).Max(edge => edge.PassedAt) : lot.MadeAt;
        return [.. from judged in HoldRules.Judge(state, lot, asOf)
            where judged.Rule.Code.StartsWith(area, StringComparison.Ordinal) && !judged.Verdict.Holds
            let kind = KindOf(judged.Rule.Code, judged.Verdict.Unit)
            let value = judged.Verdict.Value
            let limit = judged.Verdict.Limit
            where kind is not null && value is not null && limit is not null
            select new PublicFigure(
                kind, Rounded(kind, value.Value), Scaled(kind, limit.Value),
                kind == Heat ? (decimal)state.SpecificationOf(lot).Sanitising.ReferenceCelsius : null)];
    }

    private static string? KindOf(string rule, string? unit) => rule != "drying.measured" ? ToldFigures.GetValueOrDefault(rule)
        : unit == "water activity" ? "water-activity" : "moisture";

    /// <summary>Never to the better side: heat down, all else as it was measured.</summary>
    private static decimal Rounded(string kind, double value) => kind == Heat
        ? (decimal)(Math.Floor(value * 10) / 10)
        : Math.Round(Scaled(kind, value), kind == "water-activity" ? 3 : 1, MidpointRounding.AwayFromZero);

    /// <summary>Moisture in percent.</summary>
    private static decimal Scaled(string kind, double value) => Math.Round((decimal)(kind == "moisture" ? value * 100 : value), 3);

    private static int Order(string step) => step switch { "sanitised" => 0, "dried" => 1, "cooled" => 2, _ => 3 };
}
