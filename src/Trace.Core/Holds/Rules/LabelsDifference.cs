using Trace.Core.Lots;

namespace Trace.Core.Holds.Rules;

/// <summary>
/// A label that came out and is not accounted for may be on a pack of something else. What is judged is the account as of the last count;
/// labels printed since are judged when they are counted. A lot whose labels were never counted is held only where the specification
/// wants the count.
/// </summary>
internal sealed class LabelsDifference : HoldRule
{
    public override string Code => "labels.difference";

    public override string Title => "The labels do not add up";

    public override string Source => "Labels of a run are accounted for before the lot is released: common practice, no source. The largest difference is the specification's.";

    public override string Clears => "The labels found and counted, a corrected count, or a difference that the quality officer accepts with a reason.";

    /// <summary>Printing comes before the count: packs that lost their labels get new ones, and the lot waits for the next count.</summary>
    public override Passages CuredBy => Passages.Labelling;

    public override bool MayBeAccepted => true;

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        var lot = context.Lot;
        if (lot.Record is not PackedRecord packed) yield break;
        var counted = packed.LabelsCountedSeq;
        if (counted > 0 && Difference(lot, packed, context.Specification.Handling.LargestLabelDifference) is { } found) yield return found;
        if (!context.Specification.Handling.ReconcileLabels || !Wanting(lot, counted)) yield break;
        yield return new Verdict(
            Outcome.Undetermined,
            counted == 0
                ? $"The labels of lot {lot.Code} were never counted, and the specification wants it."
                : $"Labels of lot {lot.Code} were printed or came out after the last count, and the specification wants them counted.")
        {
            Clears = "The labels counted.",
            WeakestInput = "count of labels",
            EvidenceSeq = lot.Prints.Count == 0 ? lot.MadeBySeq : lot.Prints[^1].Seq,
        };
    }

    private static Verdict? Difference(Lot lot, PackedRecord packed, int limit)
    {
        if (LabelAccount.Of(lot, upToSeq: packed.LabelsCountedSeq) is not { } account) return Unknown("Labels were counted of which no print stands in the record.");
        // Labels under way are nobody's riddle yet: the job's end says how many came out.
        if (account.Open.Count > 0) return null;
        if (account.Missing is not { } missing) return Unknown(account.Words);
        return new Verdict(Math.Abs((long)missing) > limit ? Outcome.Hold : Outcome.Pass, account.Words)
        {
            Value = missing,
            Limit = limit,
            Unit = "labels",

            // An acceptance is bound to the figures: any other count needs a new decision.
            EvidenceSeq = long.MinValue + ((long)account.Issued << 31) + account.Accounted,
        };

        Verdict Unknown(string words) => new(Outcome.Undetermined, words)
        {
            WeakestInput = "how many labels came out",
            EvidenceSeq = packed.LabelsCountedSeq,
        };
    }

    private static bool Wanting(Lot lot, long counted)
    {
        var own = lot.Prints.Where(print => print.IsOwn()).ToList();
        return counted == 0 || own.Exists(print => print.Seq > counted)
            || lot.Jobs.Any(job => job.Printed != 0 && (job.IsOpen || job.Seq > counted) && own.Exists(print => print.Id == job.Print));
    }
}
