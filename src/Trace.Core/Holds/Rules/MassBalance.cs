using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Core.Units;

namespace Trace.Core.Holds.Rules;

/// <summary>Nothing comes from nowhere, and what is lost has a reason.</summary>
internal sealed class MassBalance : HoldRule
{
    public override string Code => "mass.balance";

    public override string Title => "The masses do not add up";

    public override string Source => "Conservation of mass; tolerance and largest loss are the specification's (common practice, no source).";

    public override string Clears => "A stock count, a corrected entry, a recorded disposal, or a loss that the quality officer accepts with a reason.";

    public override bool MayBeAccepted => true;

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        var lot = context.Lot;
        if (lot.IsInProcess) yield break;
        var limits = context.Specification.Handling;
        var tolerance = limits.BalanceToleranceGrams;
        if (MassIn(context) is { } massIn && lot.Made.GramsApprox > massIn.GramsApprox * (1 + Gain(context)) + tolerance)
        {
            yield return Say(lot.Made, massIn, $"{lot.Made} came out of {massIn}: more than went in.");
            yield break;
        }

        if (lot.OnHand.GramsApprox < -tolerance)
        {
            yield return Say(lot.Made - lot.OnHand, lot.Made, $"{lot.Made - lot.OnHand} went out of a lot that had {lot.Made}.");
            yield break;
        }

        if (lot.Shipped < Mass.Zero || lot.Returned < Mass.Zero)
        {
            yield return Say(Mass.Zero - lot.Shipped, Mass.Zero, "More came back from customers than was shipped to them.");
            yield break;
        }

        var lost = lot.Unaccounted + PackingLoss(lot);
        var whole = lot.Record is PackedRecord packed ? packed.MassIn : lot.Made;
        var share = whole == Mass.Zero ? 0 : Math.Abs(lost.GramsApprox) / whole.GramsApprox;
        var holds = Math.Abs(lost.GramsApprox) > tolerance && share > limits.LargestUnexplainedLossFraction;
        yield return new Verdict(
            holds ? Outcome.Hold : Outcome.Pass,
            holds
                ? FormattableString.Invariant($"{lost} of {whole} ({share * 100:0.0} %) is unexplained; {limits.LargestUnexplainedLossFraction * 100:0.#} % is allowed.")
                : $"{lost} of {whole} is unexplained.")
        {
            Value = share * 100,
            Limit = limits.LargestUnexplainedLossFraction * 100,
            Unit = "%",
            EvidenceSeq = lost.Milligrams,
        };
    }

    /// <summary>What was taken from lots for these packs and is not in them.</summary>
    private static Mass PackingLoss(Lot lot) => lot.Record is PackedRecord packed ? packed.MassIn - lot.Made : Mass.Zero;

    private static Mass? MassIn(RuleContext context) => context.Lot.Record switch
    {
        SanitisingRecord run => run.MassIn,
        DryingRecord drying => drying.MassIn,
        PackedRecord packed => packed.MassIn,
        _ => null,
    };

    private static double Gain(RuleContext context) =>
        context.Lot.Kind == LotKind.Sanitised ? context.Specification.Sanitising.LargestMassGainFraction : 0;

    // No one entry decides here, so an acceptance is bound to the amount: to so much lost, or, far below any loss, to so much too much.
    private static Verdict Say(Mass found, Mass limit, string finding) => new(Outcome.Undetermined, finding)
    {
        Value = found.GramsApprox,
        Limit = limit.GramsApprox,
        Unit = "g",
        EvidenceSeq = long.MinValue + (found - limit).Milligrams,
        WeakestInput = "weighings",
    };
}
