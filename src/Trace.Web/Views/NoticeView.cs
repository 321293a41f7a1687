using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Core.Recall;

namespace Trace.Web.Views;

/// <summary>One delivery in a notice.</summary>
public sealed record NoticeDelivery(
    DateOnly On, string Reference, string Lot, string Product, int Packs, decimal MassGrams, DateOnly? BestBefore);

/// <summary>What one consignee is told: exactly its own deliveries, in its own language.</summary>
/// <param name="Language">Of the frame; the risk and what to do may be in another when nobody wrote them in it.</param>
/// <param name="Address">Where the consignee answers.</param>
/// <param name="Contact">How to reach the producer.</param>
public sealed record NoticeView(
    string Notice, string Recall, RecallKind Kind, RecallHealth? Health, string Language, string Customer, string? CustomerAddress,
    string Producer, string ProducerAddress, string Contact, bool IsTraining, DateOnly On, IReadOnlyList<NoticeDelivery> Deliveries,
    string Risk, string Action, string Address)
{
    /// <summary>Class I and II notices, and all that nobody has judged, are urgent (21 CFR 7.49(b), from memory of the text).</summary>
    public bool IsUrgent => Health is not RecallHealth.Unlikely;

    /// <param name="publicUrl">Address under which consignees reach the program.</param>
    public static NoticeView Of(SiteState state, RecallCase recall, ConsigneeNotice notice, string publicUrl)
    {
        var consignee = state.Consignees.GetValueOrDefault(notice.Customer);
        var language = Wording.PageWords.Find(consignee?.Language)?.Language ?? "en";
        var text = recall.TextIn(language);
        var lots = notice.Lines.Select(line => state.Find(line.Lot)).OfType<Lot>().Distinct().ToList();
        return new NoticeView(
            notice.Id, recall.Id, recall.Kind, recall.Health, language, notice.Customer,
            consignee is null ? null : string.Join(", ", new[] { consignee.Address, consignee.Country }.OfType<string>()),
            state.Site.Name, state.Site.Address,
            string.Join("; ", lots.Select(lot => state.SpecificationOf(lot).Label.Contact).Where(one => one.Length > 0).Distinct()),
            state.Site.IsTraining, state.Zone.DateOf(notice.At),
                [.. notice.Lines.Select(line => Delivery(state, notice.Customer, line)).OrderBy(one => one.On)],
            text?.Risk ?? "", text?.Action ?? "", $"{publicUrl}/recall/{state.Site.Code}/{notice.Link}");
    }

    private static NoticeDelivery Delivery(SiteState state, string customer, NoticeLine line)
    {
        var lot = state.Find(line.Lot);
        var shipped = lot?.Shipments.FirstOrDefault(one => one.Shipment == line.Shipment && one.Customer == customer);
        return new(
            state.Zone.DateOf(shipped?.At ?? DateTimeOffset.UnixEpoch), shipped?.Reference ?? "", line.Lot,
            lot is null ? "" : FormattableString.Invariant($"{state.SpecificationOf(lot).Name}, {(lot.Record as PackedRecord)?.NetMass.Grams:0.###} g"), line.Packs,
            lot?.Record is PackedRecord packed ? (packed.NetMass * line.Packs).Grams : 0, lot is null ? null : BestBefore.Of(state, lot));
    }
}

/// <summary>What a consignee sees at its own address.</summary>
/// <param name="Answer">The last one; null before the first.</param>
public sealed record AnswerView(NoticeView Notice, ConsigneeAnswer? Answer, bool IsClosed, Core.Time.SiteZone Zone);
