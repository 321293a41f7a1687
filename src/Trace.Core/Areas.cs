using Trace.Core.Complaints;
using Trace.Core.Corrections;
using Trace.Core.Holds;
using Trace.Core.Labels;
using Trace.Core.Operations;
using Trace.Core.Recall;
using Trace.Core.Shifts;
using Trace.Core.Shipments;
using Trace.Core.Sites;
using Trace.Core.Steps.Checks;
using Trace.Core.Steps.Cooling;
using Trace.Core.Steps.Drying;
using Trace.Core.Steps.Filling;
using Trace.Core.Steps.Packing;
using Trace.Core.Steps.Receiving;
using Trace.Core.Steps.Sanitising;
using Trace.Core.Stock;

namespace Trace.Core;

/// <summary>
/// The one list of areas: every operation and every event. Written out by hand; a test fails when one exists that is not listed.
/// Routes, authorisation, idempotency, the gate and the descriptions follow from it.
/// </summary>
public static class Areas
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        .. Receiving.Operations,
        .. Sanitising.Operations,
        .. Drying.Operations,
        .. Cooling.Operations,
        .. Checks.Operations,
        .. Filling.Operations,
        .. Packing.Operations,
        .. WeighingPacks.Operations,
        .. PrintingLabels.Operations,
        .. WritingTemplates.Operations,
        .. WritingLogos.Operations,
        .. Shipping.Operations,
        .. Returning.Operations,
        .. Stock.Stock.Operations,
        .. PlacingHolds.Operations,
        .. Complaining.Operations,
        .. HandlingComplaints.Operations,
        .. TakingActions.Operations,
        .. HandingOver.Operations,
        .. Recalling.Operations,
        .. Notifying.Operations,
        .. ClosingRecalls.Operations,
        .. Inspections.Inspections.Operations,
        .. Products.Products.Operations,
        .. Instruments.Instruments.Operations,
        .. Printers.Printers.Operations,
        .. Sites.Sites.Operations,
    ];

    public static IReadOnlyList<EventType> Events { get; } =
    [
        EventType.For(SiteDescribed.Type, SitesJson.Default.SiteDescribed),
        EventType.For(Products.ProductSpecified.Type, Products.ProductsJson.Default.ProductSpecified),
        EventType.For(Products.ProductApproved.Type, Products.ProductsJson.Default.ProductApproved),
        EventType.For(Products.IsothermMeasured.Type, Products.ProductsJson.Default.IsothermMeasured),
        EventType.For(Products.PackagingDescribed.Type, Products.ProductsJson.Default.PackagingDescribed),
        EventType.For(LarvaeReceived.Type, ReceivingJson.Default.LarvaeReceived),
        EventType.For(LarvaeSanitised.Type, SanitisingJson.Default.LarvaeSanitised),
        EventType.For(DryingStarted.Type, DryingJson.Default.DryingStarted),
        EventType.For(CycleRecorded.Type, DryingJson.Default.CycleRecorded),
        EventType.For(BatchWeighedOut.Type, DryingJson.Default.BatchWeighedOut),
        EventType.For(CoolingRead.Type, CoolingJson.Default.CoolingRead),
        EventType.For(CheckRecorded.Type, ChecksJson.Default.CheckRecorded),
        EventType.For(ContainerFilled.Type, FillingJson.Default.ContainerFilled),
        EventType.For(ContainerOpened.Type, FillingJson.Default.ContainerOpened),
        EventType.For(ContainerClosed.Type, FillingJson.Default.ContainerClosed),
        EventType.For(ContainerCleaned.Type, FillingJson.Default.ContainerCleaned),
        EventType.For(LotPacked.Type, PackingJson.Default.LotPacked),
        EventType.For(PacksWeighed.Type, PackingJson.Default.PacksWeighed),
        EventType.For(TemplateWritten.Type, LabelsJson.Default.TemplateWritten),
        EventType.For(TemplateApproved.Type, LabelsJson.Default.TemplateApproved),
        EventType.For(LogoWritten.Type, LogosJson.Default.LogoWritten),
        EventType.For(LogoApproved.Type, LogosJson.Default.LogoApproved),
        EventType.For(LabelsPrinted.Type, LabelsJson.Default.LabelsPrinted),
        EventType.For(LabelsReconciled.Type, LabelsJson.Default.LabelsReconciled),
        EventType.For(LabelsQueued.Type, LabelsJson.Default.LabelsQueued),
        EventType.For(LabelsSending.Type, LabelsJson.Default.LabelsSending),
        EventType.For(LabelsAccepted.Type, LabelsJson.Default.LabelsAccepted),
        EventType.For(CancelAsked.Type, LabelsJson.Default.CancelAsked),
        EventType.For(LabelJobEnded.Type, LabelsJson.Default.LabelJobEnded),
        EventType.For(Printers.PrinterDescribed.Type, Printers.PrintersJson.Default.PrinterDescribed),
        EventType.For(Printers.PrinterRemoved.Type, Printers.PrintersJson.Default.PrinterRemoved),
        EventType.For(PacksShipped.Type, ShippingJson.Default.PacksShipped),
        EventType.For(CustomerDescribed.Type, ShippingJson.Default.CustomerDescribed),
        EventType.For(GoodsReturned.Type, ShippingJson.Default.GoodsReturned),
        EventType.For(GoodsDestroyed.Type, ShippingJson.Default.GoodsDestroyed),
        EventType.For(StockDisposed.Type, StockJson.Default.StockDisposed),
        EventType.For(StockSampled.Type, StockJson.Default.StockSampled),
        EventType.For(StockCounted.Type, StockJson.Default.StockCounted),
        EventType.For(HoldPlaced.Type, HoldsJson.Default.HoldPlaced),
        EventType.For(HoldReleased.Type, HoldsJson.Default.HoldReleased),
        EventType.For(HoldAccepted.Type, HoldsJson.Default.HoldAccepted),
        EventType.For(ComplaintOpened.Type, ComplaintsJson.Default.ComplaintOpened),
        EventType.For(ComplaintAssessed.Type, ComplaintsJson.Default.ComplaintAssessed),
        EventType.For(ComplaintAnswered.Type, ComplaintsJson.Default.ComplaintAnswered),
        EventType.For(ComplaintClosed.Type, ComplaintsJson.Default.ComplaintClosed),
        EventType.For(ActionPlanned.Type, ComplaintsJson.Default.ActionPlanned),
        EventType.For(ActionDone.Type, ComplaintsJson.Default.ActionDone),
        EventType.For(ActionChecked.Type, ComplaintsJson.Default.ActionChecked),
        EventType.For(RecallOpened.Type, RecallJson.Default.RecallOpened),
        EventType.For(RecallWidened.Type, RecallJson.Default.RecallWidened),
        EventType.For(RecallPublished.Type, RecallJson.Default.RecallPublished),
        EventType.For(ConsigneesNotified.Type, RecallJson.Default.ConsigneesNotified),
        EventType.For(NoticeSending.Type, RecallJson.Default.NoticeSending),
        EventType.For(NoticeEnded.Type, RecallJson.Default.NoticeEnded),
        EventType.For(RecallAnswered.Type, RecallJson.Default.RecallAnswered),
        EventType.For(ConsigneeChecked.Type, RecallJson.Default.ConsigneeChecked),
        EventType.For(RecallReported.Type, RecallJson.Default.RecallReported),
        EventType.For(RecallClosed.Type, RecallJson.Default.RecallClosed),
        EventType.For(Inspections.InspectionOpened.Type, Inspections.InspectionsJson.Default.InspectionOpened),
        EventType.For(Inspections.InspectionEnded.Type, Inspections.InspectionsJson.Default.InspectionEnded),
        EventType.For(Instruments.InstrumentChecked.Type, Instruments.InstrumentsJson.Default.InstrumentChecked),
        EventType.For(ShiftHandedOver.Type, ShiftsJson.Default.ShiftHandedOver),
        EventType.For(EntryCorrected.Type, CorrectionsJson.Default.EntryCorrected),
    ];

    public static EventCodec Codec { get; } = new(Events);

    /// <summary>The operation whose request replaces entries of a type; null when such entries are not corrected.</summary>
    public static Operation? Correcting(string? eventType) =>
        eventType is null ? null : Operations.FirstOrDefault(operation => operation.Corrects == eventType);

    public static Operation? Find(string name) => Operations.FirstOrDefault(operation => operation.Name == name);
}
