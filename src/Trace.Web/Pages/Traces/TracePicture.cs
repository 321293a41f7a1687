using Trace.Core.Holds;
using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Core.Time;
using Trace.Core.Tracing;

namespace Trace.Web.Pages.Traces;

/// <summary>One box of the picture: a lot, or all lots of a kind and day.</summary>
/// <param name="Key">Lot code, or kind and day of the group.</param>
/// <param name="Lots">Codes; one or more.</param>
/// <param name="Grams">On hand for a lot; made for a group.</param>
/// <param name="IsHeld">Held, or the reason why another one is. Of groups nothing is said.</param>
public sealed record TraceBox(string Key, LotKind Kind, IReadOnlyList<string> Lots, decimal Grams, string Note, bool IsAsked, bool IsHeld)
{
    public bool IsGroup => Lots.Count > 1;
}

public sealed record TraceArrow(int From, int To, decimal Grams, int Passages);

/// <summary>
/// A trace as boxes and arrows. A long one is folded: lots of one kind that were made on one day stand in one box, which opens. So the
/// picture of a trace of 2,000 lots can still be read and printed.
/// </summary>
public sealed record TracePicture(IReadOnlyList<TraceBox> Boxes, IReadOnlyList<TraceArrow> Arrows, int Lots, bool IsFolded)
{
    /// <summary>So many boxes are shown one by one.</summary>
    public const int MostBoxes = 60;

    /// <summary>So many lots are asked whether they are held: judging one asks all rules.</summary>
    private const int MostJudged = 200;

    /// <param name="open">Key of a group whose lots are wanted one by one; null: none.</param>
    /// <param name="all">Nothing is folded.</param>
    public static TracePicture Of(SiteState state, TraceView trace, DateTimeOffset now, string? open = null, bool all = false)
    {
        var folds = !all && trace.Lots.Count > MostBoxes;
        var groups = trace.Lots.GroupBy(lot => KeyOf(lot, folds, open, state.Zone)).ToList();
        var place = new Dictionary<string, int>(StringComparer.Ordinal);
        for (var box = 0; box < groups.Count; box++)
            foreach (var lot in groups[box]) place[lot.Lot] = box;
        var held = Held(state, [.. groups.Where(group => group.Count() == 1).Select(group => group.First())], now);
        return new(
            [.. groups.Select(group => Box(state, [.. group], group.Key, held))],
            [.. trace.Links.Where(link => place.ContainsKey(link.From) && place.ContainsKey(link.To))
                .GroupBy(link => (From: place[link.From], To: place[link.To])).Where(link => link.Key.From != link.Key.To)
                .Select(link => new TraceArrow(link.Key.From, link.Key.To, link.Sum(one => one.MassGrams), link.Count()))],
            trace.Lots.Count, folds);
    }

    private static string KeyOf(TraceLot lot, bool folds, string? open, SiteZone zone)
    {
        if (!folds || lot.Direction == "self") return lot.Lot;
        var key = FormattableString.Invariant($"{lot.Kind.ToString().ToLowerInvariant()}-{zone.DateOf(lot.MadeAt):yyyy-MM-dd}");
        return key == open ? lot.Lot : key;
    }

    /// <summary>
    /// Lots that are here or with customers and held, and those that give the reason, even where they are used up long ago. Null when
    /// there are too many to ask.
    /// </summary>
    private static HashSet<string>? Held(SiteState state, List<TraceLot> lots, DateTimeOffset now)
    {
        if (lots.Count > MostJudged) return null;
        var (held, memory) = (new HashSet<string>(StringComparer.Ordinal), new HoldMemory());
        foreach (var lot in lots.Where(lot => lot.OnHandGrams > 0 || lot.ShippedGrams > 0))
        {
            foreach (var hold in HoldRules.HoldsOn(state, state.Find(lot.Lot)!, now, memory: memory))
            {
                held.Add(lot.Lot);
                held.Add(hold.Lot);
            }
        }

        return held;
    }

    private static TraceBox Box(SiteState state, List<TraceLot> lots, string key, HashSet<string>? held)
    {
        var first = lots[0];
        if (lots.Count > 1)
        {
            return new(
                key, first.Kind, [.. lots.Select(lot => lot.Lot)], lots.Sum(lot => lot.MadeGrams),
                state.Zone.DateOf(first.MadeAt).ToString("yyyy-MM-dd"), false, false);
        }

        return new(
            first.Lot, first.Kind, [first.Lot], first.OnHandGrams, first.Supplier ?? first.Dryer ?? first.Container ?? "",
            first.Direction == "self", held?.Contains(first.Lot) == true);
    }
}
