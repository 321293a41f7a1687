using Trace.Core.Lots;

namespace Trace.Core.Holds.Rules;

/// <summary>
/// A deciding reading counts only with an instrument known to be good: the check before it is good and not overdue, and the check
/// after it did not fail. A failed check puts every reading since the last good one in doubt.
/// </summary>
internal sealed class InstrumentUnchecked : HoldRule
{
    public override string Code => "instrument.unchecked";

    public override string Title => "Instrument not known to be good";

    public override string Source => "Common practice, no source: after a failed check all readings since the last good one are in doubt.";

    public override string Clears => "A good check of the instrument, then a new reading.";

    // A new run with a good thermometer is the new reading: the old run no longer decides. Nothing else takes a doubt away later.
    public override Passages CuredBy => Passages.Sanitising;

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        foreach (var (instrument, at, what, seq) in Deciding(context))
        {
            if (instrument is null)
            {
                if (!context.Specification.Handling.InstrumentsMustBeNamed) continue;
                yield return new Verdict(Outcome.Undetermined, $"The {what} names no instrument.") { EvidenceSeq = seq, WeakestInput = "instrument" };
                continue;
            }

            var problem = Problem(context, instrument, at);
            yield return new Verdict(
                problem is null ? Outcome.Pass : Outcome.Undetermined,
                problem is null ? $"{instrument} was checked before the {what}." : $"The {what} was taken with {instrument}, {problem}.")
            {
                EvidenceSeq = seq,
                WeakestInput = instrument,
            };
        }
    }

    private static string? Problem(RuleContext context, string instrument, DateTimeOffset at)
    {
        var checks = context.State.ChecksOf(instrument);
        var before = checks.LastOrDefault(check => check.At <= at);
        var days = context.Specification.Handling.InstrumentCheckDays;
        if (before is null) return "which has no check on record before it";
        if (!before.IsGood) return FormattableString.Invariant($"whose check before it failed ({before.Found:0.###} instead of {before.Expected:0.###})");
        if (at - before.At > TimeSpan.FromDays(days)) return $"whose check was overdue (older than {days} days)";
        var after = checks.FirstOrDefault(check => check.At > at);
        return after is { IsGood: false }
            ? FormattableString.Invariant($"whose next check failed ({after.Found:0.###} instead of {after.Expected:0.###})")
            : null;
    }

    private static IEnumerable<(string? Instrument, DateTimeOffset At, string What, long Seq)> Deciding(RuleContext context)
    {
        var lot = context.Lot;
        switch (lot.Record)
        {
            case SanitisingRecord run:
                yield return (run.Instrument, lot.MadeAt, "sanitising temperature", run.Seq);
                break;
            case DryingRecord { LastWeighOut: { } weighOut }:
                yield return (weighOut.Balance, weighOut.At, "weighing", weighOut.Seq);
                if (lot.Readings.LastOrDefault(reading => reading.At <= context.AsOf) is { } last)
                    yield return (last.Instrument, last.At, "core reading", last.Seq);
                break;
        }

        foreach (var kind in new[] { "moisture", "water-activity" })
        {
            if (lot.Checks.LastOrDefault(check => check.Kind == kind && check.At <= context.AsOf) is { } check)
                yield return (check.Instrument, check.At, kind == "moisture" ? "moisture" : "water activity", check.Seq);
        }
    }
}
