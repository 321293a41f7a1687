using Trace.Core.Lots;
using Trace.Core.Operations;

namespace Trace.Core.Labels;

/// <summary>What became of the labels of a packing run since the last count. All counts of a lot add up.</summary>
/// <param name="Applied">On packs.</param>
/// <param name="Returned">Left over and given back or destroyed.</param>
/// <param name="Samples">Kept with the samples and in the batch record.</param>
/// <param name="Unreported">Labels that came out though no printer reported them: of files printed by hand, and of jobs whose end is
/// unknown. While nobody says, a file counts as printed once.</param>
/// <param name="FirstKept">The first label of the run is kept in the batch record.</param>
/// <param name="LastKept">The last label of the run is.</param>
public sealed record ReconcileLabels(
    string Lot, int Applied, int Spoiled, int Returned, int? Samples = null, int? Unreported = null, bool? FirstKept = null,
    bool? LastKept = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [new(Lot, "lot")];
}

public sealed record LabelsReconciled(
    string Lot, int Applied, int Spoiled, int Returned, int? Samples = null, int? Unreported = null, bool? FirstKept = null,
    bool? LastKept = null) : ITraceEvent
{
    public const string Type = "labels.reconciled";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at)
    {
        if (state.Get(Lot).Record is not PackedRecord packed) return;
        packed.LabelsApplied += Applied;
        packed.LabelsSpoiled += Spoiled;
        packed.LabelsReturned += Returned;
        packed.LabelsKept += Samples ?? 0;
        if (Unreported is { } said) packed.LabelsUnreported = (packed.LabelsUnreported ?? 0) + said;
        packed.FirstLabelKept |= FirstKept == true;
        packed.LastLabelKept |= LastKept == true;
        packed.LabelsCountedSeq = at.Seq;
    }
}

public static class ReconcilingLabels
{
    public static Operation Operation { get; } = new Operation<ReconcileLabels>(
        "labels", "reconcile", "Records how many printed labels were applied, spoiled, returned and kept as samples.",
        Roles.Packer | Roles.Office, Passages.None, LabelsJson.Default.ReconcileLabels, Decide)
    { Corrects = LabelsReconciled.Type };

    public static Decision Decide(ReconcileLabels request, Situation situation)
    {
        var lot = situation.Lot(request.Lot);
        if (lot.Record is not PackedRecord) return Decision.Refuse("lot.wrong-kind", $"Lot {lot.Code} is {Words.A(lot.Kind)} lot; labels are reconciled for packs.", "lot");
        if (!lot.Prints.Any(print => print.IsOwn())) return Decision.Refuse("labels.not-printed", $"No labels were printed for {lot.Code}.", "lot");
        var counted = request.Applied + request.Spoiled + request.Returned + (request.Samples ?? 0);
        return Decision.Record(
            new LabelsReconciled(
                lot.Code, request.Applied, request.Spoiled, request.Returned, request.Samples, request.Unreported, request.FirstKept,
                request.LastKept),
            lot.Code) with
        { Finding = LabelAccount.Of(lot, counted, request.Unreported)!.Words };
    }
}
