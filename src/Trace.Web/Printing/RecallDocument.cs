using System.Globalization;
using System.Text;
using Trace.Core.Recall;

namespace Trace.Web.Printing;

/// <summary>The recall report on paper and as a table.</summary>
public static class RecallDocument
{
    public static byte[] Draw(RecallReport report) => ReportPdf.Draw(new ReportDocument(
        $"{(Core.Lots.SiteDescription.IsTrainingCode(report.Site) ? "TRAINING, made up. " : "")}{KindOf(report)} {report.Recall}", report.Reason,
        $"Site {report.Site}, journal entry {report.JournalHead}. Trace 0.1.", report.MadeAt,
        [
            Overview(report), Scope(report), Consignees(report), Deliveries(report), Timeline(report),
        ]));

    /// <summary>One line a place where product of the scope is: a delivery, or what a lot still has. RFC 4180, UTF-8, point as decimal
    /// sign.</summary>
    public static string Csv(RecallReport report)
    {
        var text = new StringBuilder("place,lot,kind,because,customer,shipment,reference,date,packs,mass_grams,address,country,phone,email\r\n");
        foreach (var lot in report.Scope)
        {
            foreach (var (place, grams) in new[]
            {
                ("on hand", lot.OnHandGrams), ("returned", lot.ReturnedGrams), ("sampled", lot.SampledGrams),
                    ("disposed", lot.DisposedGrams), ("unaccounted", lot.UnaccountedGrams + lot.PackingLossGrams),
            })
            {
                if (grams != 0)
                    Line(text, place, lot.Lot, lot.Kind.ToString(), lot.Because, "", "", "", "", "", Number(grams), "", "", "", "");
            }
        }

        foreach (var consignee in report.Consignees)
        {
            foreach (var delivery in consignee.Deliveries)
            {
                Line(
                    text, "shipped", delivery.Lot, "Packed", "", consignee.Customer, delivery.Shipment, delivery.Reference,
                    delivery.ShippedAt.ToString("yyyy-MM-dd'T'HH:mm:sszzz", CultureInfo.InvariantCulture),
                    delivery.Packs.ToString(CultureInfo.InvariantCulture), Number(delivery.MassGrams), consignee.Address ?? "",
                    consignee.Country ?? "",
                    consignee.Phone ?? "", consignee.Email ?? "");
            }
        }

        return text.ToString();
    }

    private static string KindOf(RecallReport report) => report.Kind switch
    {
        Core.Lots.RecallKind.Drill => "DRILL (exercise, not a recall)",
        Core.Lots.RecallKind.Withdrawal => "Withdrawal",
        _ => "Recall",
    };

    private static ReportSection Overview(RecallReport report)
    {
        var balance = report.Balance;
        return new ReportSection("Overview")
        {
            Paragraphs =
            [
                "The scope is every lot that the named lots went into, however small the amount. Expected shares assume perfect mixing; they rank and leave nothing out. A report of this program is not proof of safety: decide with your authority.",
            ],
            KeyValues =
            [
                new("Named lots", string.Join(", ", report.Named)),
                new("Opened", $"{Time(report.OpenedAt)} by {report.OpenedBy}"),
                new(report.ClosedAt is null ? "Running for" : "Took", Elapsed(report.ElapsedMinutes)),
                new("Closed", report.ClosedAt is { } closed ? $"{Time(closed)}: {report.Conclusion}" : "not yet"),
                new("Product in scope", $"{Number(balance.MadeGrams)} g"),
                new("On hand", $"{Number(balance.OnHandGrams)} g"),
                new("Shipped", $"{Number(balance.ShippedGrams)} g to {report.Consignees.Count} consignee(s)"),
                new("Samples", $"{Number(balance.SampledGrams)} g"),
                new("Disposed of", $"{Number(balance.DisposedGrams)} g"),
                new("Unaccounted", $"{Number(balance.UnaccountedGrams)} g ({Number((decimal)balance.UnaccountedPercent)} %)"),
            ],
        };
    }

    private static ReportSection Scope(RecallReport report) => new("Lots in the scope")
    {
        Table = new ReportTable(
            [
                new("Lot", 2.2), new("Kind", 1.3), new("Why it is in", 3), new("Share %", 1, true), new("Made g", 1.2, true), new("On hand g", 1.2, true),
                new("Shipped g", 1.2, true), new("Where", 2),
            ],
            [.. report.Scope.Select(lot => (IReadOnlyList<string>)
            [
                lot.Lot, lot.Kind.ToString().ToLowerInvariant(), lot.Because, Number(Math.Round((decimal)lot.ExpectedShare * 100, 2)),
                Number(lot.MadeGrams),
                Number(lot.OnHandGrams), Number(lot.ShippedGrams), lot.Place,
            ])]),
    };

    private static ReportSection Consignees(RecallReport report) => new("Consignees")
    {
        Paragraphs = report.Consignees.Count == 0 ? ["Nothing of the scope has been shipped."] : [],
        Table = report.Consignees.Count == 0
            ? null
            : new ReportTable(
                [new("Customer", 2), new("Address", 3), new("Phone", 1.6), new("E-mail", 2.2), new("Packs", 0.8, true), new("Mass g", 1, true)],
                [.. report.Consignees.Select(one => (IReadOnlyList<string>)
                [
                    one.Customer, string.Join(", ", new[] { one.Address, one.Country }.OfType<string>()), one.Phone ?? "not recorded", one.Email ?? "not recorded",
                    one.Packs.ToString(CultureInfo.InvariantCulture), Number(one.MassGrams),
                ])]),
    };

    private static ReportSection Deliveries(RecallReport report) => new("Deliveries")
    {
        Table = report.Consignees.Count == 0
            ? null
            : new ReportTable(
                [new("Shipped", 1.8), new("Customer", 2), new("Shipment", 1), new("Reference", 1.4), new("Lot", 1.8), new("Packs", 0.8, true), new("Mass g", 1, true)],
                [.. report.Consignees.SelectMany(one => one.Deliveries).OrderBy(one => one.ShippedAt).Select(one => (IReadOnlyList<string>)
                [
                    Time(one.ShippedAt), one.Customer, one.Shipment, one.Reference, one.Lot,
                    one.Packs.ToString(CultureInfo.InvariantCulture), Number(one.MassGrams),
                ])]),
    };

    private static ReportSection Timeline(RecallReport report) => new("Timeline")
    {
        Table = new ReportTable(
            [new("When", 1.5), new("What", 5), new("Who", 1.5)],
            [.. report.Timeline.Select(one => (IReadOnlyList<string>)[Time(one.At), one.What, one.Person])]),
    };

    private static string Time(DateTimeOffset time) => time.ToString("yyyy-MM-dd HH:mm zzz", CultureInfo.InvariantCulture);

    private static string Elapsed(double minutes) => minutes < 1
        ? $"{Math.Max(0, minutes * 60):0} s"
        : minutes < 120 ? $"{minutes:0} min" : $"{minutes / 60:0.0} h";

    private static string Number(decimal value) => value.ToString("0.###", CultureInfo.InvariantCulture);

    private static void Line(StringBuilder text, params string[] cells) =>
        text.AppendJoin(',', cells.Select(Cell)).Append("\r\n");

    /// <summary>Quotes what needs it, and takes the sting out of texts that a spreadsheet would run as a formula.</summary>
    private static string Cell(string value)
    {
        var safe = value.Length > 0 && value[0] is '=' or '+' or '-' or '@'
            && !decimal.TryParse(value, NumberStyles.Number, CultureInfo.InvariantCulture, out _)
            ? "'" + value
            : value;
        return safe.AsSpan().ContainsAny(",\"\r\n") ? "\"" + safe.Replace("\"", "\"\"", StringComparison.Ordinal) + "\"" : safe;
    }
}
