using Trace.Core.Holds.Rules;
using Trace.Core.Lots;
using Trace.Core.Specifications;

namespace Trace.Core.Tracing;

/// <summary>An instrument, how it stands, and when its next check is due.</summary>
/// <param name="Status"><c>good</c>, <c>overdue</c>, <c>failed</c>, or <c>unchecked</c> when it has no check on record.</param>
/// <param name="Due">End of what the last check holds for, by the default product's specification; null while that one is not good.</param>
public sealed record InstrumentSummary(
    string Instrument, string Status, InstrumentCheckView? LastCheck, DateTimeOffset? LastGoodAt, DateTimeOffset? Due)
{
    public const string Good = "good", Overdue = "overdue", Failed = "failed", Unchecked = "unchecked";

    public static InstrumentSummary Of(SiteState state, string instrument, DateTimeOffset now)
    {
        var checks = state.ChecksOf(instrument);
        if (checks.Count == 0) return new InstrumentSummary(instrument, Unchecked, null, null, null);
        var (last, lastGood) = (checks[^1], checks.LastOrDefault(check => check.IsGood));
        DateTimeOffset? due = last.IsGood ? last.At.AddDays(state.Specifications.Default.Handling.InstrumentCheckDays) : null;
        return new InstrumentSummary(
            instrument, due is null ? Failed : now > due ? Overdue : Good, InstrumentCheckView.Of(last), lastGood?.At, due);
    }
}

/// <param name="Limit">Largest difference that is good.</param>
public sealed record InstrumentCheckView(
    long Seq, DateTimeOffset At, string Method, double Expected, double Found, double Limit, string? Unit, bool Good, string Person)
{
    public static InstrumentCheckView Of(InstrumentCheck check) => new(
        check.Seq, check.At, check.Method, check.Expected, check.Found, check.Tolerance, check.Unit, check.IsGood, check.Person);
}

/// <summary>A lot for which a rule decides on a reading of the instrument.</summary>
/// <param name="Reading">Which reading.</param>
/// <param name="Doubt">Why the reading does not count; null when it does.</param>
/// <param name="Place">Where the lot stands.</param>
/// <param name="PackedLots">Packed lots with product of it.</param>
public sealed record InstrumentUse(
    string Lot, LotKind Kind, string Reading, DateTimeOffset At, string? Doubt, string Place, decimal OnHandGrams,
    IReadOnlyList<string> PackedLots, IReadOnlyList<InstrumentShipment> Shipped);

/// <summary>Packs that left with product of the lot in them.</summary>
public sealed record InstrumentShipment(string Customer, string Lot, int Packs, DateTimeOffset At);

/// <summary>What was read with an instrument since its last good check, and every reading of it that is in doubt.</summary>
public static class InstrumentUses
{
    /// <summary>
    /// Of the lots from one index up to another, newest first. A failed check is often followed by a good one at once: so the readings
    /// that the failure put in doubt are told too, not only those since the last good check.
    /// </summary>
    public static List<InstrumentUse> Among(SiteState state, string instrument, int from, int to, DateTimeOffset now)
    {
        var checks = state.ChecksOf(instrument);
        var lastGood = checks.LastOrDefault(check => check.IsGood);
        var uses = new List<InstrumentUse>();
        for (var index = Math.Min(to, state.Lots.Count) - 1; index >= from; index--)
        {
            var lot = state.Lots[index];
            foreach (var reading in Readings(state, lot, now).Where(reading => reading.Instrument == instrument))
            {
                var doubt = Doubt(state, lot, reading);
                if (doubt is null && lastGood is not null && reading.At < lastGood.At) continue;
                uses.Add(Use(state, lot, reading, doubt));
            }
        }

        return uses;
    }

    /// <summary>Every instrument that gave a deciding reading of these lots, with each lot for which it is in doubt.</summary>
    public static List<(string Instrument, string Lot, bool InDoubt)> Named(SiteState state, int from, int to, DateTimeOffset now)
    {
        var named = new List<(string Instrument, string Lot, bool InDoubt)>();
        for (var index = from; index < Math.Min(to, state.Lots.Count); index++)
        {
            var lot = state.Lots[index];
            foreach (var reading in Readings(state, lot, now).Where(reading => reading.Instrument is not null))
                named.Add((reading.Instrument!, lot.Code, Doubt(state, lot, reading) is not null));
        }

        return named;
    }

    /// <summary>Judged as each passage was: what decided when product went on, and what decides now.</summary>
    private static IEnumerable<DecidingReading> Readings(SiteState state, Lot lot, DateTimeOffset now) =>
        state.Graph.Outputs(lot.Index).Select(edge => edge.PassedAt).Append(now).Distinct()
            .SelectMany(asOf => DecidingReadings.Of(lot, asOf)).Distinct().OrderByDescending(reading => reading.At);

    private static string? Doubt(SiteState state, Lot lot, DecidingReading reading) => DecidingReadings.Problem(
        state, reading.Instrument!, reading.At, reading.Seq, state.SpecificationOf(lot).Handling.InstrumentCheckDays);

    private static InstrumentUse Use(SiteState state, Lot lot, DecidingReading reading, string? doubt)
    {
        var packed = state.Graph.Reach([lot.Index], back: false).Select(index => state.Lots[index])
            .Where(one => one.Kind == LotKind.Packed).ToList();
        return new InstrumentUse(
            lot.Code, lot.Kind, reading.What, reading.At, doubt, LotSummary.PlaceOf(lot), lot.OnHand.Grams,
            [.. packed.Where(one => one != lot).Select(one => one.Code)],
            [.. packed.SelectMany(one => one.Shipments
                .Select(line => new InstrumentShipment(line.Customer, one.Code, line.Packs, line.At)))]);
    }
}
