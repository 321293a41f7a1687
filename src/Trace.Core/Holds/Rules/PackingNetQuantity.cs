using Trace.Core.Lots;

namespace Trace.Core.Holds.Rules;

/// <summary>
/// The weighed packs break one of the packer's three rules. A lot of which none was weighed is held only where the specification wants
/// weighings.
/// </summary>
internal sealed class PackingNetQuantity : HoldRule
{
    public override string Code => "packing.net-quantity";

    public override string Title => "Net quantity short or not known";

    public override string Source => "Directive 76/211/EEC, Annex I; at most 2.5 % below T1: packers' guidance, from memory. Tolerance of the balance: the specification's.";

    public override string Clears => "More packs weighed; or the short packs topped up or taken out and weighed again, with what was done.";

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        if (context.Lot.Record is not PackedRecord packed) yield break;
        if (NetQuantityReport.Of(context.State, context.Lot, context.AsOf) is not { } report)
        {
            if (!context.Specification.NetQuantity.WeighingsWanted) yield break;
            yield return new Verdict(Outcome.Undetermined, $"No pack of lot {context.Lot.Code} has been weighed, and the specification wants it.")
            {
                WeakestInput = "weighings",
                EvidenceSeq = context.Lot.MadeBySeq,
            };
            yield break;
        }

        yield return new Verdict(
            report.Outcome switch
            {
                NetQuantityReport.Met => Outcome.Pass,
                NetQuantityReport.Broken => Outcome.Hold,
                _ => Outcome.Undetermined,
            },
            report.Words)
        {
            Value = report.MeanGrams,
            Uncertainty = report.BalanceUncertaintyGrams,
            Limit = (double)report.NominalGrams,
            Unit = "g",
            WeakestInput = report.Weighed < report.Packs ? "packs not weighed" : "balance",
            EvidenceSeq = packed.Weighings[^1].Seq,
        };
    }
}
