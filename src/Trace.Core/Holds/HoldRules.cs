using Trace.Core.Holds.Rules;
using Trace.Core.Lots;
using Trace.Core.Specifications;

namespace Trace.Core.Holds;

/// <summary>The list of rules, and what they say about a lot and all that it was made from.</summary>
public static class HoldRules
{
    /// <summary>Written out by hand; a test fails when a rule exists that is not here.</summary>
    public static IReadOnlyList<HoldRule> All { get; } =
    [
        new SanitisingMissing(),
        new SanitisingLethality(),
        new DryingIndicators(),
        new DryingYieldHigh(),
        new DryingYieldLow(),
        new DryingEnergy(),
        new DryingMeasured(),
        new CoolingTemperature(),
        new CoolingRest(),
        new ContainerOpen(),
        new MassBalance(),
        new PackingNetQuantity(),
        new LabelsDifference(),
        new InstrumentUnchecked(),
        new TestsAwaited(),
        new TestsFailed(),
        new DatePassed(),
        new PlacedHolds(PlacedBy.Quality),
        new PlacedHolds(PlacedBy.Complaint),
        new PlacedHolds(PlacedBy.Recall),
    ];

    public static HoldRule? Find(string code) => All.FirstOrDefault(rule => rule.Code == code);

    /// <summary>Every verdict of every rule on the lot itself, passes too.</summary>
    /// <param name="by">The specification to judge by; left out, the lot's own.</param>
    public static IEnumerable<Judgement> Judge(
        SiteState state, Lot lot, DateTimeOffset asOf, ProductSpecification? by = null)
    {
        var context = new RuleContext(state, lot, by ?? state.SpecificationOf(lot), asOf);
        foreach (var rule in All)
        {
            foreach (var verdict in rule.Judge(context))
            {
                yield return new(rule, verdict.Holds && rule.MayBeAccepted ? Accepted(state, lot, rule, verdict) : verdict);
            }
        }
    }

    /// <summary>
    /// All holds on a lot: its own, and those of every lot it was made from unless a step in between cured them.
    /// Each ancestor is judged as of the instant when its product went in, on what is known today. What came before the drying was judged
    /// by the default product; what the product itself asks of it, holds the lots of that product.
    /// </summary>
    /// <param name="curing">The step the lot is about to take: what that step cures does not stand in its way.</param>
    /// <param name="memory">Of what was judged before, for many lots at once.</param>
    public static IReadOnlyList<Hold> HoldsOn(
        SiteState state, Lot lot, DateTimeOffset asOf, Passages curing = Passages.None, HoldMemory? memory = null)
    {
        var holds = new List<Hold>();
        var waiting = new Stack<(int Lot, DateTimeOffset AsOf, Passages Cured, SpecificationRef? For)>([(lot.Index, asOf, curing, null)]);
        var seen = new HashSet<(int, DateTimeOffset, Passages, SpecificationRef?)>();
        while (waiting.TryPop(out var next))
        {
            if (!seen.Add(next)) continue;
            var judged = state.Lots[next.Lot];
            var verdicts = memory is null
                ? Holding(state, judged, next.AsOf, next.For)
                : memory.Of(state, next.Lot, next.AsOf, next.For, () => Holding(state, judged, next.AsOf, next.For));
            foreach (var (rule, verdict) in verdicts)
            {
                if ((rule.CuredBy & next.Cured) == 0) holds.Add(ToHold(rule, judged, verdict));
            }

            var cured = next.Cured | StepInto(judged);
            var wants = judged.Kind < LotKind.Dried ? next.For : judged.Specification;
            foreach (var edge in state.Graph.Inputs(next.Lot)) waiting.Push((edge.From, edge.PassedAt, cured, wants));
        }

        // The same lot may have gone in several times; one reason is told once.
        return [.. holds
            .GroupBy(hold => (hold.Rule, hold.Lot, hold.HoldId))
            .Select(group => group.First())
            .OrderBy(hold => hold.Lot == lot.Code ? 0 : 1)];
    }

    /// <summary>What of the lot itself holds, by its own specification and by that of the product that it went into.</summary>
    private static List<Judgement> Holding(SiteState state, Lot judged, DateTimeOffset asOf, SpecificationRef? wanted)
    {
        var verdicts = Judge(state, judged, asOf);
        if (judged.Kind < LotKind.Dried && wanted is { } product && product.Product != DefaultSpecification.Product)
            verdicts = verdicts.Concat(Judge(state, judged, asOf, state.Specifications.Get(product)));
        return [.. verdicts.Where(judgement => judgement.Verdict.Holds)];
    }

    /// <summary>
    /// What holds a lot as it stands. A lot that is wholly gone into others is judged as of when the last of it went: that its last
    /// core reading has grown old since is nobody's concern.
    /// </summary>
    /// <param name="curing">The step it is about to take, if one is meant.</param>
    public static IReadOnlyList<Hold> StandingOn(SiteState state, Lot lot, DateTimeOffset now, Passages curing = Passages.None)
    {
        var gone = lot.OnHand.Milligrams <= 0 && state.Graph.HasOutputs(lot.Index);
        return HoldsOn(state, lot, gone ? state.Graph.Outputs(lot.Index).Max(edge => edge.PassedAt) : now, curing);
    }

    /// <summary>What the lots' own rules found, as evidence for the passage that it allowed.</summary>
    public static IReadOnlyList<Evidence> EvidenceOf(SiteState state, IEnumerable<Lot> lots, DateTimeOffset asOf) =>
        [.. from lot in lots
            from judged in Judge(state, lot, asOf)
            where judged.Verdict.Value is not null || judged.Verdict.Holds
            select new Evidence(
                judged.Rule.Code, lot.Code, judged.Verdict.Outcome.ToString().ToLowerInvariant(), judged.Verdict.Finding,
                judged.Verdict.Value, judged.Verdict.Uncertainty, judged.Verdict.Limit, judged.Verdict.Unit)];

    private static Passages StepInto(Lot lot) => lot.Kind switch
    {
        LotKind.Sanitised => Passages.Sanitising,
        LotKind.Dried => Passages.Drying,
        LotKind.Bulk => Passages.Filling,
        LotKind.Packed => Passages.Packing,
        _ => Passages.None,
    };

    private static Hold ToHold(HoldRule rule, Lot lot, Verdict verdict) => new(
        rule.Code, lot.Code, verdict.Finding, verdict.Clears ?? rule.Clears, verdict.Value, verdict.Uncertainty, verdict.Limit,
        verdict.Unit,
        verdict.ClearsAt, verdict.WeakestInput, verdict.HoldId,
        verdict.ClearsWithin is { } within ? Math.Round(within.TotalMinutes, 1) : null);

    private static Verdict Accepted(SiteState state, Lot lot, HoldRule rule, Verdict verdict)
    {
        var acceptance = lot.Acceptances.LastOrDefault(
            given => given.Rule == rule.Code && given.EvidenceSeq == verdict.EvidenceSeq && !IsOvertaken(state, lot, given));
        return acceptance is null
            ? verdict
            : verdict with { Outcome = Outcome.Pass, Finding = $"{verdict.Finding} Accepted by {acceptance.Person}: {acceptance.Reason}" };
    }

    /// <summary>What was accepted has been corrected since: the quality officer saw other figures.</summary>
    private static bool IsOvertaken(SiteState state, Lot lot, Acceptance given) => state.Corrections.Any(
        correction => correction.Seq > given.Seq && (correction.Corrects == given.EvidenceSeq || correction.Corrects == lot.MadeBySeq));
}
