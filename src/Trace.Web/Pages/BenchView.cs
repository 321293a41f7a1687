using Trace.Core.Holds;
using Trace.Core.Lots;
using Trace.Core.Figures;
using Trace.Core.Specifications;
using Trace.Core.Tracing;

namespace Trace.Web.Pages;

/// <summary>What stands where in the plant. Plain data, taken out of the state under its lock.</summary>
/// <param name="Truncated">True when older lots than were looked at may have something on hand.</param>
public sealed record BenchView(IReadOnlyList<BenchPlace> Places, bool Truncated)
{
    /// <summary>Cards of one place; the rest is counted only.</summary>
    public const int MostCards = 30;

    /// <summary>How many of the newest lots are looked through, so that the lock is held shortly.</summary>
    public const int MostLots = 25_000;

    private static readonly (string Title, string Empty)[] Titles =
    [
        ("Waiting to be sanitised", "No fresh larvae are waiting."),
        ("Waiting for the dryer", "Nothing sanitised is waiting."),
        ("In the dryer", "The dryers are empty."),
        ("Cooling, or waiting for a container", "Nothing is cooling."),
        ("Containers", "All containers are empty and clean."),
        ("Packs to label", "No packs wait for labels."),
        ("Packs in store", "No labelled packs are in store."),
    ];

    /// <summary>Places by their number in <see cref="Places"/>.</summary>
    public const int CoolingPlace = 3, LabelPlace = 5;

    /// <param name="only">Numbers of the places whose cards are wanted; the others are counted alone. Left out: all.</param>
    public static BenchView Of(SiteState state, DateTimeOffset now, params int[] only)
    {
        var (places, memory) = (Titles.Select(_ => new List<Lot>()).ToArray(), new HoldMemory());
        foreach (var (lot, place) in Standing(state)) places[place].Add(lot);
        return new BenchView([.. places.Select(PlaceOf)], state.Lots.Count > MostLots);

        BenchPlace PlaceOf(List<Lot> lots, int place) => new(
            Titles[place].Title, Titles[place].Empty,
            only.Length > 0 && !only.Contains(place) ? [] : [.. lots.Take(MostCards).Select(lot => Card(state, lot, now, memory))],
            lots.Count);
    }

    /// <summary>The lots that stand somewhere in the plant, newest first.</summary>
    internal static IEnumerable<(Lot Lot, int Place)> Standing(SiteState state)
    {
        var full = state.Containers.Values.Select(container => container.Lot).OfType<string>().ToHashSet(StringComparer.Ordinal);
        var oldest = Math.Max(0, state.Lots.Count - MostLots);

        // What stands in a container stands there however long ago it was begun.
        foreach (var code in full)
            if (state.Find(code) is { } inside && inside.Index < oldest) yield return (inside, 4);
        for (var index = state.Lots.Count - 1; index >= oldest; index--)
        {
            if (PlaceOf(state.Lots[index], full) is { } place) yield return (state.Lots[index], place);
        }
    }

    /// <summary>
    /// Where a lot stands; null for one that is gone. The details of finished lots are packed, and there are very many of them: only lots
    /// that can stand somewhere are asked for theirs.
    /// </summary>
    private static int? PlaceOf(Lot lot, HashSet<string> full)
    {
        if (lot.Kind == LotKind.Bulk) return full.Contains(lot.Code) ? 4 : null;
        if (lot.Kind == LotKind.Dried && lot.Used.Milligrams == 0 && lot.Record is DryingRecord { NeedsWeighOut: true }) return 2;
        if (lot.OnHand.Milligrams <= 0) return null;
        return lot.Kind switch
        {
            LotKind.Harvest => 0,
            LotKind.Sanitised => 1,
            LotKind.Dried => 3,
            _ => LabelAccount.IsNothingPrinted(lot) ? 5 : 6,
        };
    }

    private static BenchCard Card(SiteState state, Lot lot, DateTimeOffset now, HoldMemory memory)
    {
        var holds = HoldRules.HoldsOn(state, lot, now, memory: memory);
        var mass = lot.Record is DryingRecord { NeedsWeighOut: true } drying ? drying.MassIn : lot.OnHand;
        var packs = lot.Record is PackedRecord packed ? lot.OnHand.Milligrams / packed.NetMass.Milligrams : (long?)null;
        return new BenchCard(
            lot.Code, mass.Grams, packs, lot.MadeAt, LotSummary.PlaceOf(lot), holds, NextStep.Of(lot, holds),
            (lot.Record as BulkRecord)?.Container,
            lot.Record is DryingRecord { NeedsWeighOut: true } ? DryingFigures.Of(state, lot)?.StillToLoseGrams : null);
    }
}

/// <param name="Count">All lots of the place, also those not shown.</param>
public sealed record BenchPlace(string Title, string Empty, IReadOnlyList<BenchCard> Cards, int Count);

/// <param name="MassGrams">On hand; of a batch in the dryer, what went in.</param>
/// <param name="Next">Name of the operation usually done next.</param>
/// <param name="StillToLoseGrams">Of a batch in the dryer that was weighed: until the predicted moisture is at the limit.</param>
public sealed record BenchCard(
    string Lot, decimal MassGrams, long? Packs, DateTimeOffset Since, string Place, IReadOnlyList<Hold> Holds, string? Next,
    string? Container, double? StillToLoseGrams);
