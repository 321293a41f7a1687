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
        var handling = context.Specification.Handling;
        foreach (var reading in DecidingReadings.Of(context.Lot, context.AsOf))
        {
            if (reading.Instrument is not { } instrument)
            {
                if (!handling.InstrumentsMustBeNamed || reading.MayBeNameless) continue;
                yield return new Verdict(Outcome.Undetermined, $"The {reading.What} names no instrument.")
                {
                    EvidenceSeq = reading.Seq,
                    WeakestInput = "instrument",
                };
                continue;
            }

            var problem = DecidingReadings.Problem(context.State, instrument, reading.At, reading.Seq, handling.InstrumentCheckDays);
            yield return new Verdict(
                problem is null ? Outcome.Pass : Outcome.Undetermined,
                problem is null ? $"{instrument} was checked before the {reading.What}." : $"The {reading.What} was taken with {instrument}, {problem}.")
            {
                EvidenceSeq = reading.Seq,
                WeakestInput = instrument,
            };
        }
    }
}
