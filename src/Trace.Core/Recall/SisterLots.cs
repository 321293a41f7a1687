using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Core.Tracing;

namespace Trace.Core.Recall;

/// <summary>A lot that shares something with the asked one.</summary>
/// <param name="Score">Ranks only: the closer what they share stands to the product, the more it counts.</param>
/// <param name="Shared">What they share, the closest first.</param>
public sealed record SisterLot(
    string Lot, LotKind Kind, DateTimeOffset MadeAt, int Score, IReadOnlyList<string> Shared, int Complaints, decimal OnHandGrams,
    decimal ShippedGrams);

/// <summary>
/// Lots made under like conditions: of the same larvae, sanitising run, drying batch or container; in the same dryer, by the same person,
/// in the same packaging or on the same day. What a fault is looked for in first.
/// </summary>
public static class SisterLots
{
    /// <summary>Lots this many places before and after in the order of making are looked at for what no flow of product joins.</summary>
    private const int Neighbours = 4_000;

    /// <summary>No more lots than this are scored that share an input: a supplier's lot of years would be the whole site.</summary>
    private const int MostOfFlow = 20_000;

    private static readonly TimeSpan SameTime = TimeSpan.FromDays(7);

    /// <param name="most">How many to give, the closest first.</param>
    public static IReadOnlyList<SisterLot> Of(SiteState state, Lot lot, int most = 50)
    {
        var found = new Dictionary<int, Likeness>();
        Likeness Like(int index) => found.TryGetValue(index, out var one) ? one : found[index] = new Likeness();
        foreach (var index in state.Graph.Reach([lot.Index], back: true).Where(index => index != lot.Index))
        {
            var shared = state.Lots[index];
            var (score, words) = OfFlow(shared);
            var taken = 0;
            foreach (var other in state.Graph.Reach([index], back: false))
            {
                if (other == lot.Index || state.Lots[other].Kind != lot.Kind) continue;
                if (++taken > MostOfFlow) break;
                Like(other).Add(score, words);
            }
        }

        var own = TraitsOf(state, lot);
        for (var index = Math.Max(0, lot.Index - Neighbours); index < Math.Min(state.Lots.Count, lot.Index + Neighbours); index++)
        {
            var other = state.Lots[index];
            if (index == lot.Index || other.Kind != lot.Kind || (other.MadeAt - lot.MadeAt).Duration() > SameTime) continue;
            foreach (var trait in TraitsOf(state, other).Intersect(own)) Like(index).Add(trait.Score, trait.Words);
        }

        return
        [
            .. found.OrderByDescending(one => one.Value.Score).ThenBy(one => (state.Lots[one.Key].MadeAt - lot.MadeAt).Duration())
                .Take(most)
                .Select(one => (Lot: state.Lots[one.Key], Like: one.Value))
                .Select(one => new SisterLot(
                    one.Lot.Code, one.Lot.Kind, state.Zone.Local(one.Lot.MadeAt), one.Like.Score, one.Like.Words,
                    state.Complaints.Count(complaint => complaint.Lot == one.Lot.Code), one.Lot.OnHand.Grams, one.Lot.Shipped.Grams)),
        ];
    }

    private static (int Score, string Words) OfFlow(Lot shared) => shared.Record switch
    {
        BulkRecord bulk => (60, $"container {bulk.Container}, lot {shared.Code}"),
        DryingRecord => (50, $"drying batch {shared.Code}"),
        SanitisingRecord => (40, $"sanitising run {shared.Code}"),
        HarvestRecord harvest => (30, $"larvae {shared.Code} of {harvest.Supplier}"),
        _ => (20, $"lot {shared.Code}"),
    };

    /// <summary>What joins lots without any product passing between them.</summary>
    private static HashSet<Trait> TraitsOf(SiteState state, Lot lot)
    {
        var traits = new HashSet<Trait> { new(5, $"made on {state.Zone.DateOf(lot.MadeAt):yyyy-MM-dd}") };
        if (lot.Record is PackedRecord { Packaging: { Length: > 0 } packaging }) traits.Add(new(25, $"packaging {packaging}"));
        foreach (var index in NearestBatches(state, lot))
        {
            if (state.Lots[index].Record is not DryingRecord { LastWeighOut: { } last } batch) continue;
            var day = state.Zone.DateOf(last.At);
            traits.Add(new(15, FormattableString.Invariant($"dryer {batch.Dryer} on {day:yyyy-MM-dd}")));
            if (last.Person is { } person) traits.Add(new(10, FormattableString.Invariant($"weighed out by {person} on {day:yyyy-MM-dd}")));
        }

        return traits;
    }

    /// <summary>The lot itself, or the drying batches that it came from on the shortest way.</summary>
    private static IEnumerable<int> NearestBatches(SiteState state, Lot lot)
    {
        if (lot.Kind == LotKind.Dried) return [lot.Index];
        if (lot.Kind < LotKind.Dried) return [];
        return state.Graph.Inputs(lot.Index).SelectMany(edge => state.Lots[edge.From].Kind == LotKind.Dried
            ? [edge.From]
            : state.Graph.Inputs(edge.From).Select(inner => inner.From)).Distinct().Where(index => state.Lots[index].Kind == LotKind.Dried);
    }

    private readonly record struct Trait(int Score, string Words);

    private sealed class Likeness
    {
        private readonly Dictionary<string, int> words = new(StringComparer.Ordinal);

        public int Score { get; private set; }

        public IReadOnlyList<string> Words => [.. words.OrderByDescending(one => one.Value).Select(one => one.Key)];

        public void Add(int score, string what)
        {
            if (words.TryAdd(what, score)) Score += score;
        }
    }
}
