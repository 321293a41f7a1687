using Trace.Core.Lots;

namespace Trace.Web.Pages;

/// <summary>What is usually done next with a lot. A suggestion: every form asks the same gate as ever.</summary>
public static class NextStep
{
    /// <summary>The operation's name, or null when nothing is to be done with it here.</summary>
    public static string? Of(Lot lot, IReadOnlyList<Hold> holds)
    {
        bool HeldBy(string start) => holds.Any(hold => hold.Rule.StartsWith(start, StringComparison.Ordinal));
        if (holds.Any(hold => hold.HoldId is not null)) return null;
        return lot.Record switch
        {
            DryingRecord { NeedsWeighOut: true } => "drying/weigh-out",
            BulkRecord { IsClosedOff: false } when lot.OnHand.Milligrams <= 0 => "filling/clean-break",
            _ when lot.OnHand.Milligrams <= 0 => null,
            HarvestRecord => "sanitising/run",
            SanitisingRecord => HeldBy("sanitising.lethality") ? "sanitising/run" : "drying/start",
            DryingRecord when HeldBy("drying.measured") => null,
            DryingRecord when HeldBy("drying.indicators") || HeldBy("drying.yield-high") => "drying/cycle",
            DryingRecord when HeldBy("drying.") => null,
            DryingRecord when HeldBy("cooling.temperature") => "cooling/reading",
            DryingRecord => HeldBy("cooling.rest") ? null : "filling/fill",
            BulkRecord { IsClosedOff: false } => holds.Count == 0 ? "packing/pack" : null,
            PackedRecord when HeldBy("packing.net-quantity") => "packing/weigh",
            PackedRecord when holds.Count > 0 && holds.All(hold => hold.Rule == "labels.difference") =>
                lot.Prints.Count == 0 ? "labels/print" : LabelAccount.IsNothingPrinted(lot) ? "labels/send" : "labels/reconcile",
            PackedRecord when holds.Count > 0 => null,
            PackedRecord when !lot.Prints.Any(print => print.IsOwn()) => "labels/print",
            PackedRecord => LabelAccount.IsNothingPrinted(lot) ? "labels/send" : "shipping/ship",
            _ => null,
        };
    }

    /// <summary>What may come before the next step, as often as needed: a batch in the dryer has several cycles, then a
    /// weigh-out.</summary>
    public static string? Before(string? next) => next == "drying/weigh-out" ? "drying/cycle" : null;

    /// <summary>All forms that make sense for a lot of this kind, in the order of the work.</summary>
    public static IEnumerable<string> Possible(Lot lot)
    {
        var there = lot.OnHand.Milligrams > 0;
        if (lot.Record is HarvestRecord or SanitisingRecord && there) yield return "sanitising/run";
        if (lot.Record is SanitisingRecord && there) yield return "drying/start";
        if (lot.Record is DryingRecord batch)
        {
            if (there || lot.IsInProcess) yield return "drying/cycle";
            if (batch.NeedsWeighOut) yield return "drying/weigh-out";
        }

        if (lot.Record is DryingRecord { NeedsWeighOut: false } or BulkRecord && there)
        {
            yield return "cooling/reading";
            if (lot.Record is DryingRecord) yield return "filling/fill";
            yield return "packing/pack";
        }

        if (lot.Record is BulkRecord or PackedRecord or DryingRecord { NeedsWeighOut: false } && there) yield return "labels/print";
        if (lot.Record is PackedRecord)
        {
            if (there) yield return "packing/weigh";
            if (lot.Prints.Count > 0 && there) yield return "labels/send";
            yield return "labels/reconcile";
            if (there) yield return "shipping/ship";
        }

        if (there)
        {
            yield return "stock/sample";
            yield return "stock/dispose";
            yield return "stock/count";
        }

        yield return "holds/place";
        yield return "recalls/open";
    }
}
