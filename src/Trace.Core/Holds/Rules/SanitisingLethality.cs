using Trace.Core.Lots;
using Trace.Core.Science;

namespace Trace.Core.Holds.Rules;

/// <summary>
/// Enough heat for long enough at the coldest place. Released on the floor integral (a lower bound); the exact one is told beside it.
/// Spores survive and toxins are not removed: a pass is no proof of safety.
/// </summary>
internal sealed class SanitisingLethality : HoldRule
{
    public override string Code => "sanitising.lethality";

    public override string Title => "Sanitising too short or too cool";

    public override string Source => "2 min at 70 °C, z 7.5 °C: benchmark quoted in New Zealand MPI Technical Paper 2016/05; z from memory; credit limits are an engineering choice.";

    public override string Clears => "A new sanitising run with more time at temperature.";

    public override Passages CuredBy => Passages.Sanitising;

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        if (context.Lot.Record is not SanitisingRecord run) yield break;
        var limits = context.Specification.Sanitising;
        var result = HeatTreatment.Of(run.Readings, limits);
        var verdict = new Verdict(Outcome.Undetermined, $"The readings do not decide: {result.Problem}")
        {
            Limit = limits.LethalityMinutes,
            Unit = FormattableString.Invariant($"min at {limits.ReferenceCelsius:0.#} °C"),
            WeakestInput = "core readings",
            EvidenceSeq = run.Seq,
        };
        if (result.FloorMinutes is not { } floor)
        {
            yield return verdict;
            yield break;
        }

        yield return verdict with
        {
            Outcome = floor >= limits.LethalityMinutes ? Outcome.Pass : Outcome.Hold,
            Finding = FormattableString.Invariant(
                $"Heat worth {floor:0.00} min at {limits.ReferenceCelsius:0.#} °C at least ({result.ExactMinutes:0.00} min between readings), {limits.LethalityMinutes:0.##} min wanted.{HeatTreatment.Reduction(floor, limits)}"),
            Value = floor,
        };
    }
}
