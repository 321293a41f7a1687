using Trace.Core.Lots;
using Trace.Core.Specifications;

namespace Trace.Core.Recall;

/// <summary>One way to draw the line, with what it would cost.</summary>
/// <param name="Choice"><c>lot</c>, <c>cause</c> or <c>clean-break</c>.</param>
/// <param name="Why">In words: what is taken as suspect.</param>
/// <param name="Named">Lots that a recall with this scope names.</param>
/// <param name="Packs">Packs in it, wherever they are.</param>
/// <param name="PacksInHouse">Of them, still here.</param>
/// <param name="Kilograms">On hand, with customers, or back from them.</param>
/// <param name="Countries">Of consignees whose country is on record.</param>
/// <param name="ConsigneesWithoutCountry">Consignees whose country is not on record.</param>
/// <param name="Worth">Of all of it by the specifications' prices; null when one has none.</param>
public sealed record ScopeChoice(
    string Choice, string Why, IReadOnlyList<string> Named, Scope Scope, int PackedLots, int Packs, int PacksInHouse, double Kilograms,
    double KilogramsInHouse, IReadOnlyList<string> Countries, int ConsigneesWithoutCountry, decimal? Worth, string? Currency);

/// <summary>A lot that the asked one came from, and how much of it did: which of them is the cause is for people to say.</summary>
/// <param name="Complaints">Complaints of the last 90 days on lots that it went into.</param>
public sealed record PossibleCause(string Lot, LotKind Kind, string What, double ExpectedShare, int Complaints);

/// <summary>Before anything is decided: up to three scopes side by side.</summary>
/// <param name="Causes">What else may be taken as the cause, the likeliest first.</param>
public sealed record RecallScopes(string Lot, string? Cause, IReadOnlyList<ScopeChoice> Choices, IReadOnlyList<PossibleCause> Causes)
{
    /// <summary>Complaints of so many days count for what they have in common.</summary>
    private const int ComplaintDays = 90;

    private const int MostCauses = 50;

    /// <param name="cause">The lot taken as the shared cause; null: the one that explains most complaints, then the narrowest such.</param>
    public static RecallScopes Of(SiteState state, Lot lot, Lot? cause, DateTimeOffset now)
    {
        var causes = CausesOf(state, lot, now);
        var chosen = cause ?? (causes.Count > 0 ? state.Find(causes[0].Lot) : null);
        var choices = new List<ScopeChoice> { Choose(state, "lot", $"This lot alone: {lot.Code} and what it went into.", [lot.Code]) };
        if (chosen is not null && chosen != lot)
            Add(Choose(state, "cause", $"The shared cause: {WhatIs(chosen)} {chosen.Code} and all that it went into.", [chosen.Code]));
        var bulk = BulkOf(state, lot);
        if (bulk.Count > 0)
        {
            var containers = bulk.Select(one => ((BulkRecord)state.Find(one)!.Record).Container).Distinct();
            Add(Choose(state, "clean-break", $"All between two clean breaks of {string.Join(", ", containers)}.", bulk));
        }

        return new RecallScopes(lot.Code, chosen?.Code, choices, causes);

        // The same lots under another name are no choice.
        void Add(ScopeChoice choice)
        {
            var lots = choice.Scope.Lots.Select(line => line.Lot).ToHashSet();
            if (choices.All(one => !lots.SetEquals(one.Scope.Lots.Select(line => line.Lot)))) choices.Add(choice);
        }
    }

    /// <summary>The container fills that the lot is one of, was taken from, or went into.</summary>
    private static List<string> BulkOf(SiteState state, Lot lot)
    {
        if (lot.Kind == LotKind.Bulk) return [lot.Code];
        var isBefore = lot.Kind < LotKind.Bulk;
        var (found, seen, waiting) = (new List<string>(), new HashSet<int> { lot.Index }, new Queue<int>([lot.Index]));
        while (waiting.TryDequeue(out var next))
        {
            foreach (var other in isBefore ? state.Graph.Outputs(next).Select(edge => edge.To) : state.Graph.Inputs(next)
                .Select(edge => edge.From))
            {
                if (!seen.Add(other)) continue;
                if (state.Lots[other].Kind == LotKind.Bulk) found.Add(state.Lots[other].Code);
                else waiting.Enqueue(other);
            }
        }

        return found;
    }

    private static ScopeChoice Choose(SiteState state, string choice, string why, IReadOnlyList<string> named)
    {
        var scope = Scope.Of(state, named);
        var packed = scope.Lots.Where(line => line.Kind == LotKind.Packed).ToList();
        var (worth, currency, isKnown) = (0m, (string?)null, true);
        foreach (var line in scope.Lots)
        {
            var grams = line.OnHandGrams + line.ShippedGrams + line.ReturnedGrams;
            if (grams <= 0 || line.Kind < LotKind.Dried) continue;
            var limits = state.SpecificationOf(state.Find(line.Lot)!).NetQuantity;
            isKnown &= limits.PricePerKilogram is not null && (currency is null || currency == limits.Currency);
            currency ??= limits.Currency;
            worth += (limits.PricePerKilogram ?? 0) * grams / 1000;
        }

        double Kilograms(Func<ScopeLot, decimal> grams) => (double)scope.Lots.Sum(grams) / 1000;
        return new ScopeChoice(
            choice, why, named, scope, packed.Count, packed.Sum(line => line.Packs ?? 0),
                packed.Sum(line => InHouse(state.Find(line.Lot)!)),
            Kilograms(line => line.OnHandGrams + line.ShippedGrams + line.ReturnedGrams),
            Kilograms(line => line.OnHandGrams + line.ReturnedGrams),
            [.. scope.Consignees.Select(one => one.Country).OfType<string>().Distinct().Order(StringComparer.Ordinal)],
            scope.Consignees.Count(one => string.IsNullOrWhiteSpace(one.Country)), isKnown ? Math.Round(worth, 2) : null, currency);
    }

    private static int InHouse(Lot packs) =>
        (int)((packs.OnHand + packs.Returned).Milligrams / ((PackedRecord)packs.Record).NetMass.Milligrams);

    private static List<PossibleCause> CausesOf(SiteState state, Lot lot, DateTimeOffset now)
    {
        var back = state.Graph.Reach([lot.Index], back: true);
        var shares = Tracing.Shares.Back(state, lot.Index, back);
        var complained = state.Complaints
            .Where(one => one.Lot is not null && one.Lot != lot.Code && now - one.RecordedAt < TimeSpan.FromDays(ComplaintDays))
            .Select(one => state.Find(one.Lot!)).OfType<Lot>().ToList();
        var hits = new Dictionary<int, int>();
        foreach (var other in complained)
            foreach (var index in state.Graph.Reach([other.Index], back: true)) hits[index] = hits.GetValueOrDefault(index) + 1;

        // With no complaint to tell more, the drying batch or the supplier's lot that most of it came from goes before small parts;
        // container
        // fills come last, since they are a scope of their own.
        return
        [
            .. back.Where(index => index != lot.Index).Select(index => state.Lots[index])
                .Select(one => new PossibleCause(
                    one.Code, one.Kind, WhatIs(one), Math.Round(shares.GetValueOrDefault(one.Index), 6), hits.GetValueOrDefault(one.Index)))
                .OrderByDescending(one => one.Complaints).ThenBy(one => one.Kind == LotKind.Bulk ? 1 : 0)
                .ThenByDescending(one => one.Complaints > 0 ? one.Kind : LotKind.Harvest)
                .ThenByDescending(one => one.ExpectedShare).ThenByDescending(one => one.Kind).Take(MostCauses),
        ];
    }

    private static string WhatIs(Lot lot) => lot.Record switch
    {
        HarvestRecord harvest => $"the larvae of {harvest.Supplier}",
        SanitisingRecord => "the sanitising run",
        DryingRecord drying => $"the drying batch of {drying.Dryer}",
        BulkRecord bulk => $"the filling of container {bulk.Container}",
        _ => "the packs",
    };
}
