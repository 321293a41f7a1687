using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Core.Tracing;
using Trace.Core.Units;

namespace Trace.Core.Recall;

/// <summary>A lot in the scope, and why it is in.</summary>
/// <param name="Because"><c>named</c>, or through which lot it got the product.</param>
/// <param name="ExpectedShare">Share of the lot expected to come from the named lots; ranks only.</param>
/// <param name="PackingLossGrams">Taken for packing and not in the packs.</param>
public sealed record ScopeLot(
    string Lot, LotKind Kind, string Because, double ExpectedShare, decimal MadeGrams, decimal UsedGrams, decimal OnHandGrams,
    decimal ShippedGrams,
    decimal SampledGrams, decimal DisposedGrams, decimal UnaccountedGrams, decimal PackingLossGrams, int? Packs, int? PacksShipped,
    string Place);

public sealed record ScopeConsignee(
    string Customer, string? Address, string? Country, string? Phone, string? Email, int Packs, decimal MassGrams,
    IReadOnlyList<TraceConsignee> Deliveries);

/// <summary>
/// Where all the product in the scope is, grams. <c>Made</c> counts each gram once: it is what the lots of the scope had, less what went on
/// into other lots of the scope. Made = on hand + shipped + samples + disposed + unaccounted, to the milligram.
/// </summary>
public sealed record ScopeBalance(
    decimal MadeGrams, decimal OnHandGrams, decimal ShippedGrams, decimal SampledGrams, decimal DisposedGrams, decimal UnaccountedGrams,
    double UnaccountedPercent);

public sealed record RecallEvent(DateTimeOffset At, string What, string Person);

public sealed record RecallReport(
    string Recall, RecallKind Kind, string Reason, IReadOnlyList<string> Named, DateTimeOffset OpenedAt, string OpenedBy,
    DateTimeOffset? ClosedAt,
    string? Conclusion, double ElapsedMinutes, IReadOnlyList<ScopeLot> Scope, IReadOnlyList<ScopeConsignee> Consignees,
    ScopeBalance Balance,
    IReadOnlyList<RecallEvent> Timeline, string Site, DateTimeOffset MadeAt, long JournalHead)
{
    /// <summary>The scope is all that the named lots went into, as known now; the clock runs until the recall is closed.</summary>
    public static RecallReport Of(SiteState state, RecallCase recall, DateTimeOffset now)
    {
        var named = recall.Lots.Select(code => state.Find(code)).OfType<Lot>().ToList();
        var reached = state.Graph.Reach(named.Select(lot => lot.Index), back: false);
        var shares = Shares.Forward(state, [.. named.Select(lot => lot.Index)], reached);
        var inScope = reached.ToHashSet();
        var scope = reached.Select(index => state.Lots[index]).ToList();
        var lines = scope
            .Select(lot => Line(lot, Because(state, lot, recall, inScope), shares.GetValueOrDefault(lot.Index)))
            .OrderBy(line => line.Because == "named" ? 0 : 1).ThenBy(line => line.Kind).ThenByDescending(line => line.ExpectedShare).ToList();
        return new RecallReport(
            recall.Id, recall.Kind, recall.Reason, recall.Lots, state.Zone.Local(recall.OpenedAt), recall.OpenedBy,
            recall.Closed is { } closed ? state.Zone.Local(closed.At) : null, recall.Closed?.Conclusion,
            ((recall.Closed?.At ?? now) - recall.RecordedAt).TotalMinutes, lines, ConsigneesOf(state, scope),
            BalanceOf(state, scope, inScope),
            TimelineOf(state, recall, scope), state.Site.Code, state.Zone.Local(now), state.Head);
    }

    private static ScopeLot Line(Lot lot, string because, double share)
    {
        var packed = lot.Record as PackedRecord;
        var loss = packed is null ? Mass.Zero : packed.MassIn - lot.Made;
        return new ScopeLot(
            lot.Code, lot.Kind, because, Math.Round(share, 6), lot.Made.Grams, lot.Used.Grams, lot.OnHand.Grams, lot.Shipped.Grams,
            lot.Sampled.Grams,
            lot.Disposed.Grams, lot.Unaccounted.Grams, loss.Grams, packed?.Packs, packed?.PacksShipped, LotSummary.PlaceOf(lot));
    }

    private static string Because(SiteState state, Lot lot, RecallCase recall, HashSet<int> inScope)
    {
        if (recall.Lots.Contains(lot.Code)) return "named";
        var from = state.Graph.Inputs(lot.Index).Where(edge => inScope.Contains(edge.From)).ToList();
        return "got " + string.Join(", ", from
            .GroupBy(edge => edge.From)
            .Select(group => $"{Mass.Sum(group.Select(edge => edge.Mass))} of {state.Lots[group.Key].Code}"));
    }

    private static List<ScopeConsignee> ConsigneesOf(SiteState state, IReadOnlyList<Lot> scope) =>
        [.. scope.SelectMany(TraceView.ConsigneesOf)
            .GroupBy(delivery => delivery.Customer)
            .Select(group =>
            {
                var contact = state.Consignees.GetValueOrDefault(group.Key);
                return new ScopeConsignee(
                    group.Key, contact?.Address, contact?.Country, contact?.Phone, contact?.Email, group.Sum(delivery => delivery.Packs),
                    group.Sum(delivery => delivery.MassGrams), [.. group.OrderBy(delivery => delivery.ShippedAt)]);
            })
            .OrderByDescending(consignee => consignee.MassGrams)];

    private static ScopeBalance BalanceOf(SiteState state, IReadOnlyList<Lot> scope, HashSet<int> inScope)
    {
        // A step changes the mass (water, cleaning, packing loss), so grams are counted where they rest: in lots, not in passages.
        var rest = new Mass[5];
        foreach (var lot in scope)
        {
            rest[0] += lot.OnHand;
            rest[1] += lot.Shipped;
            rest[2] += lot.Sampled;
            rest[3] += lot.Disposed;
            rest[4] += lot.Unaccounted;
            if (lot.Record is PackedRecord packed && state.Graph.Inputs(lot.Index).All(edge => inScope.Contains(edge.From)))
                rest[4] += packed.MassIn - lot.Made;
        }

        var made = Mass.Sum(rest);
        return new ScopeBalance(
            made.Grams, rest[0].Grams, rest[1].Grams, rest[2].Grams, rest[3].Grams, rest[4].Grams,
            made == Mass.Zero ? 0 : Math.Round(rest[4].GramsApprox / made.GramsApprox * 100, 3));
    }

    private static List<RecallEvent> TimelineOf(SiteState state, RecallCase recall, IReadOnlyList<Lot> scope)
    {
        var events = new List<RecallEvent> { new(state.Zone.Local(recall.OpenedAt), $"{recall.Kind} opened: {recall.Reason}", recall.OpenedBy) };
        foreach (var lot in scope)
        {
            events.AddRange(lot.PlacedHolds.Select(hold => new RecallEvent(state.Zone.Local(hold.At), $"Hold {hold.Id} placed on {lot.Code}", hold.Person)));
            events.AddRange(lot.PlacedHolds.Where(hold => hold.Released is not null)
                .Select(hold => new RecallEvent(state.Zone.Local(hold.Released!.At), $"Hold {hold.Id} on {lot.Code} released: {hold.Released.Reason}", hold.Released.Person)));
        }

        if (recall.Closed is { } closed) events.Add(new(state.Zone.Local(closed.At), $"Closed: {closed.Conclusion}", closed.Person));
        return [.. events.OrderBy(happened => happened.At)];
    }
}
