using Trace.Core.Science;
using Trace.Core.Specifications;

namespace Trace.Core.Lots;

/// <summary>
/// Dates of a lot at its site. Best before is the earliest of: pack date + keeping time or ceiling; earliest drying date of any input
/// + ceiling; earliest best-before of any input. Months are calendar months, clamped to the month's last day (31 August + 6 months is
/// 28 or 29 February). A date that is printed without its day is the end of a month. Shelf life starts at drying, never anew at packing
/// or rework (common practice, no source).
/// </summary>
public static class BestBefore
{
    /// <summary>Null for lots that have not been dried.</summary>
    public static DateOnly? Of(SiteState state, Lot lot) => Earliest(state, lot, ancestor => Own(state, ancestor)) is { } date
        ? Shown(date, state.SpecificationOf(lot).Label)
        : null;

    /// <summary>The latest date that packs of a day can have: dried and packed on it.</summary>
    public static DateOnly Latest(DateOnly day, LabelFacts label) => Shown(PackLimit(day, label), label);

    /// <summary>The day on which the oldest batch in the lot was weighed out dry; null when nothing in it is dried.</summary>
    public static DateOnly? ProductionDate(SiteState state, Lot lot) => Earliest(
        state, lot, ancestor => ancestor.Record is DryingRecord { LastWeighOut: { } weighOut } ? state.Zone.DateOf(weighOut.At) : null);

    /// <summary>
    /// The earliest date among the lot and all that was in it. What was poured into a container after the lot had left it does not count,
    /// if it was also recorded later: a time told too early must not make a date later.
    /// </summary>
    private static DateOnly? Earliest(SiteState state, Lot lot, Func<Lot, DateOnly?> date)
    {
        DateOnly? earliest = null;
        var waiting = new Stack<(int Lot, DateTimeOffset Until, int Number)>([(lot.Index, DateTimeOffset.MaxValue, int.MaxValue)]);
        var seen = new Dictionary<int, (DateTimeOffset Until, int Number)>();
        while (waiting.TryPop(out var next))
        {
            var (until, number) = (next.Until, next.Number);
            if (seen.TryGetValue(next.Lot, out var known))
            {
                if (known.Until >= until && known.Number >= number) continue;
                (until, number) = (known.Until > until ? known.Until : until, Math.Max(known.Number, number));
            }

            seen[next.Lot] = (until, number);
            if (date(state.Lots[next.Lot]) is { } found && (earliest is null || found < earliest)) earliest = found;
            foreach (var edge in state.Graph.Inputs(next.Lot))
            {
                if (edge.PassedAt <= until || edge.Number < number) waiting.Push((edge.From, edge.PassedAt, edge.Number));
            }
        }

        return earliest;
    }

    private static DateOnly? Own(SiteState state, Lot lot)
    {
        var label = state.SpecificationOf(lot).Label;
        return lot.Record switch
        {
            DryingRecord => CalendarMonths.Add(state.Zone.DateOf(lot.MadeAt), label.ShelfLifeMonths),
            PackedRecord => PackLimit(state.Zone.DateOf(lot.MadeAt), label),
            _ => null,
        };
    }

    private static DateOnly Shown(DateOnly date, LabelFacts label) => label.MonthOnly ? CalendarMonths.LastEndUpTo(date) : date;

    private static DateOnly PackLimit(DateOnly packed, LabelFacts label)
    {
        var ceiling = CalendarMonths.Add(packed, label.ShelfLifeMonths);
        if (label.KeepingDays is not { } days) return ceiling;
        var model = packed.AddDays(days);
        return model < ceiling ? model : ceiling;
    }
}
