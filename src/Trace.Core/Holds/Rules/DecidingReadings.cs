using Trace.Core.Lots;

namespace Trace.Core.Holds.Rules;

/// <summary>A value that a rule decides on, and the instrument that gave it.</summary>
/// <param name="Instrument">Null when none was named.</param>
/// <param name="MayBeNameless">A result of a test: the laboratory answers for its own instruments.</param>
internal sealed record DecidingReading(string? Instrument, DateTimeOffset At, string What, long Seq, bool MayBeNameless = false);

/// <summary>The readings that the rules decide on for a lot, and what is known of an instrument at the time of one.</summary>
internal static class DecidingReadings
{
    internal static IEnumerable<DecidingReading> Of(Lot lot, DateTimeOffset asOf)
    {
        switch (lot.Record)
        {
            case SanitisingRecord run:
                yield return new(run.Instrument, lot.MadeAt, "sanitising temperature", run.Seq);
                break;
            case DryingRecord { LastWeighOut: { } weighOut }:
                yield return new(weighOut.Balance, weighOut.At, "weighing", weighOut.Seq);
                if (lot.Readings.LastOrDefault(reading => reading.At <= asOf) is { } last)
                    yield return new(last.Instrument, last.At, "core reading", last.Seq);
                break;
            case PackedRecord packed:
                foreach (var weighing in Standing(packed, asOf)) yield return new(weighing.Balance, weighing.At, "weighing of packs", weighing.Seq);
                break;
        }

        foreach (var kind in new[] { "moisture", "water-activity" })
        {
            if (lot.Checks.LastOrDefault(check => check.Kind == kind && check.At <= asOf) is { } check)
                yield return new(check.Instrument, check.At, kind == "moisture" ? "moisture" : "water activity", check.Seq);
        }

        // All results of a test count together.
        foreach (var check in lot.Checks.Where(check => check.Kind is not ("moisture" or "water-activity") && check.At <= asOf))
            yield return new(check.Instrument, check.At, check.Kind, check.Seq, MayBeNameless: true);
    }

    /// <summary>What was weighed before all packs were weighed again no longer decides.</summary>
    private static IEnumerable<PackWeighing> Standing(PackedRecord packed, DateTimeOffset asOf)
    {
        var told = packed.Weighings.Where(weighing => weighing.At <= asOf).ToList();
        return told.Skip(Math.Max(0, told.FindLastIndex(weighing => weighing.Fixed is not null && weighing.InsteadMilligrams.Count == 0)));
    }

    /// <summary>Why an instrument was not known to be good at a reading; null when it was.</summary>
    /// <param name="days">How long a good check holds.</param>
    internal static string? Problem(SiteState state, string instrument, DateTimeOffset at, long seq, int days)
    {
        var checks = state.ChecksOf(instrument);

        // Times are told to the minute: at the same time, what was told first came first.
        var before = checks.LastOrDefault(check => check.At < at || (check.At == at && check.Seq < seq));
        if (before is null) return "which has no check on record before it";
        if (!before.IsGood) return FormattableString.Invariant($"whose check before it failed ({before.Found:0.###} instead of {before.Expected:0.###})");
        if (at - before.At > TimeSpan.FromDays(days)) return $"whose check was overdue (older than {days} days)";
        var after = checks.FirstOrDefault(check => check.At > at || (check.At == at && check.Seq > seq));
        return after is { IsGood: false }
            ? FormattableString.Invariant($"whose next check failed ({after.Found:0.###} instead of {after.Expected:0.###})")
            : null;
    }
}
