using Trace.Core.Lots;
using Trace.Core.Science;
using Trace.Core.Units;

namespace Trace.Core.Holds.Rules;

/// <summary>More water lost than the recorded power and time can boil away: an entry is wrong.</summary>
internal sealed class DryingEnergy : HoldRule
{
    public override string Code => "drying.energy";

    public override string Title => "More water lost than the energy can evaporate";

    public override string Source => "Heat of evaporation at 100 °C, 2256.5 kJ/kg (IAPWS-IF97); heating up is left out, so the limit is generous.";

    public override string Clears => "A corrected entry: mass, time, power, or a cycle that was not recorded.";

    public override Passages CuredBy => Passages.Drying;

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        if (context.Lot.Record is not DryingRecord { LastWeighOut: { } last } drying) yield break;
        var tolerance = context.Specification.Handling.BalanceToleranceGrams;

        // No more time of power counts than passed from loading to weigh-out; times are told to the minute.
        var passed = Math.Max(0, (last.At - context.Lot.MadeAt).TotalSeconds + 120);
        var seconds = (int)Math.Min(drying.Cycles.Sum(cycle => (long)cycle.Seconds), passed);
        yield return Compare(
            "the whole batch", drying.MassIn - last.MassOut, drying.PowerWatts, seconds, tolerance, last.Seq);

        var before = drying.MassIn;
        var since = 0;
        foreach (var cycle in drying.Cycles)
        {
            since += cycle.Seconds;
            if (cycle.MassAfter is not { } after) continue;
            var verdict = Compare("one cycle", before - after, drying.PowerWatts, since, tolerance, cycle.Seq);
            if (verdict.Holds) yield return verdict;
            before = after;
            since = 0;
        }
    }

    private static Verdict Compare(string what, Mass loss, double powerWatts, int seconds, double toleranceGrams, long seq)
    {
        var verdict = new Verdict(Outcome.Undetermined, "Power and time do not give an energy.")
        {
            Value = loss.GramsApprox,
            Unit = "g",
            WeakestInput = "power",
            EvidenceSeq = seq,
        };
        if (!double.IsFinite(powerWatts) || powerWatts <= 0) return verdict with { Value = null };
        var largest = seconds == 0 ? 0 : EvaporationEnergy.LargestLossGrams(powerWatts, seconds);
        return verdict with
        {
            Outcome = loss.GramsApprox <= largest + toleranceGrams ? Outcome.Pass : Outcome.Hold,
            Finding = FormattableString.Invariant(
                $"In {what} {loss} of water went; {powerWatts:0} W for {seconds} s can evaporate {largest:0} g."),
            Limit = largest,
        };
    }
}
