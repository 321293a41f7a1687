using System.Globalization;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Tracing;
using Trace.Web.Printing;
using static Trace.Web.Printing.ReportFigures;

namespace Trace.Web.Reports;

/// <summary>The trace of a lot on paper: one step back and all before, one step forward and all behind, with masses and
/// consignees.</summary>
internal static class TraceDocument
{
    public static ReportDocument Of(SiteState state, Lot lot, DateTimeOffset now)
    {
        var trace = TraceView.Of(state, lot, TraceDirection.Both);
        string Time(DateTimeOffset at) => ReportFigures.Time(state.Zone.Local(at));
        ReportSection Lots(string heading, string direction, string share) => new(heading)
        {
            Table = new ReportTable(
                [
                    new("Lot", 2), new("Kind", 1.2), new("Made", 2), new("Made g", 1.2, true), new("On hand g", 1.2, true), new("Customers g", 1.2, true), new(share, 1, true),
                    new("Supplier, dryer, container", 2.2),
                ],
                [.. trace.Lots.Where(one => one.Direction == direction).OrderBy(one => one.MadeAt).Select(one => (IReadOnlyList<string>)
                [
                    one.Lot, Words.Of(one.Kind), Time(one.MadeAt), Number(one.MadeGrams), Number(one.OnHandGrams), Number(one.ShippedGrams),
                    Number((decimal)Math.Round(one.ExpectedShare * 100, 2)), one.Supplier ?? one.Dryer ?? one.Container ?? "",
                ])]),
        };
        return new ReportDocument(
            $"{TrainingMark(state.Site.Code)}Trace of lot {lot.Code}", $"{state.Site.Name}, {state.Site.Address}",
            $"Site {state.Site.Code}, journal entry {state.Head}, written {Time(now)}. Trace 0.1.", now,
            [
                new ReportSection("Lot")
                {
                    Paragraphs = ["Every lot that product of it can be in, however small the amount. Shares assume perfect mixing; they rank and leave nothing out."],
                    KeyValues = [new("Lot", $"{lot.Code} ({Words.Of(lot.Kind)})"), new("Made", Time(lot.MadeAt)), new("Mass", $"{Number(lot.Made.Grams)} g"), new("Where", LotSummary.PlaceOf(lot))],
                },
                Lots("What it came from", "back", "Of it, %"), Lots("What it went into", "forward", "From it, %"),
                new ReportSection("Masses that passed")
                {
                    Table = new ReportTable(
                        [new("From", 2), new("Into", 2), new("Mass g", 1, true), new("When", 2)],
                        [.. trace.Links.OrderBy(link => link.PassedAt)
                            .Select(link => (IReadOnlyList<string>)[link.From, link.To, Number(link.MassGrams), Time(link.PassedAt)])]),
                },
                new ReportSection("Consignees")
                {
                    Table = new ReportTable(
                        [new("Shipped", 2), new("Customer", 2.4), new("Reference", 1.5), new("Lot", 1.8), new("Packs", 0.8, true), new("Mass g", 1, true)],
                        [.. trace.Consignees.OrderBy(one => one.ShippedAt).Select(one => (IReadOnlyList<string>)
                        [Time(one.ShippedAt), one.Customer, one.Reference, one.Lot, one.Packs.ToString(CultureInfo.InvariantCulture),
                            Number(one.MassGrams)])]),
                },
            ]);
    }
}
