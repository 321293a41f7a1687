using System.Globalization;
using System.Text;
using Trace.Core.Recall;
using Trace.Web.Pages.Cases;
using Trace.Web.Reports;
using static Trace.Web.Printing.ReportFigures;

namespace Trace.Web.Printing;

/// <summary>The recall report on paper and as a table.</summary>
public static class RecallDocument
{
    public static byte[] Draw(RecallReport report) => ReportPdf.Draw(Report(report));

    public static ReportDocument Report(RecallReport report) => new(
        $"{TrainingMark(report.Site)}{KindOf(report)} {report.Recall}", report.Reason,
        $"Site {report.Site}, journal entry {report.JournalHead}, written {Time(report.MadeAt)}. Trace 0.1.", report.MadeAt,
        [
            Overview(report), .. ScoreOf(report), Scope(report), Origins(report), Consignees(report), Standings(report), Deliveries(report),
            .. Told(report), Timeline(report),
        ]);

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
                new("Complaint", report.Complaint ?? "none"),
                new("Harm", CaseWords.Of(report.Health)),
                new("Opened", $"{Time(report.OpenedAt)} by {report.OpenedBy}"),
                new(report.ClosedAt is null ? "Running for" : "Took", Elapsed(report.ElapsedMinutes)),
                new("Closed", report.ClosedAt is { } closed ? $"{Time(closed)}: {report.Conclusion}" : "not yet"),
                new("Root cause", report.RootCause ?? "not said yet"),
                new("Left to do", report.Left.Count == 0 ? "nothing on record" : string.Join("; ", report.Left)),
                new("Closed although", report.Despite ?? "nothing was left"),
                new("Product in scope", $"{Number(balance.MadeGrams)} g"),
                new("On hand", $"{Number(balance.OnHandGrams)} g"),
                new("With customers", $"{Number(balance.ShippedGrams)} g; {report.Consignees.Count} consignee(s) got some"),
                new("Back and apart", $"{Number(balance.ReturnedGrams)} g"),
                new("Samples", $"{Number(balance.SampledGrams)} g"),
                new("Disposed of", $"{Number(balance.DisposedGrams)} g"),
                new("Unaccounted", FormattableString.Invariant($"{balance.UnaccountedGrams:0.###} g ({balance.UnaccountedPercent:0.###} %, standard uncertainty {balance.UnaccountedUncertaintyPercent:0.###} %)")),
                new("Consignees told", $"{report.Totals.Told} of {report.Totals.Consignees}; {report.Totals.Answered} answered"),
                new("Effectiveness checks", $"{CaseWords.Of(report.Level)}: {report.Totals.ChecksWanted} wanted, {report.Totals.ChecksDone} done, {report.Totals.ChecksEffective} effective"),
            ],
        };
    }

    private static ReportSection[] ScoreOf(RecallReport report) => report.Score is not { } score ? [] :
    [
        new ReportSection("Score of the drill")
        {
            Paragraphs = ["Goals of time and of what is accounted for: common practice of private audit schemes, no source."],
            KeyValues =
            [
                new("Lot picked", report.Picked ? "by chance" : "by a person"),
                new("Time", FormattableString.Invariant($"{score.Hours:0.00} h ({(score.WithinTwoHours ? "within two hours" : score.WithinFourHours ? "within four hours" : "longer than four hours")})")),
                new("Accounted for", FormattableString.Invariant($"{score.AccountedPercent:0.###} %")),
                new("Contacts reached", score.ReachedPercent is { } reached ? FormattableString.Invariant($"{reached:0.#} % of {score.Called} called") : "none called"),
                new("Result", score.Passed ? "passed" : "not passed"),
            ],
        },
    ];

    private static ReportSection Origins(RecallReport report) => new("One step back")
    {
        Table = new ReportTable(
            [new("Lot", 2), new("Supplier", 3), new("Received", 2), new("Mass g", 1, true)],
            [.. report.Origins.Select(one => (IReadOnlyList<string>)[one.Lot, one.Supplier, Time(one.ReceivedAt), Number(one.MassGrams)])]),
    };

    private static ReportSection Standings(RecallReport report) => new("Where consignees stand")
    {
        Table = new ReportTable(
            [
                new("Customer", 2), new("Delivered", 1, true), new("Told", 2), new("Received", 1, true), new("There", 1, true), new("Sold on", 1, true),
                new("Sent back", 1, true), new("Destroyed there", 1.2, true), new("Came", 1, true), new("Open", 1, true), new("Check", 1.5),
            ],
            [.. report.Standings.Select(one => (IReadOnlyList<string>)
            [
                one.Customer, Whole(one.DeliveredPacks), one.Notice is { } notice
                    ? $"{Time(notice.At)}, {notice.By.ToString().ToLowerInvariant()}{(one.IsTold ? "" : notice.IsTold ? ", not of all" : $", {notice.State.ToString().ToLowerInvariant()}")}" : "not yet",
                Whole(one.Answer?.ReceivedPacks), Whole(one.Answer?.HeldPacks), Whole(one.Answer?.SoldPacks),
                    Whole(one.Answer?.ReturnedPacks),
                Whole(one.Answer?.DestroyedPacks), Whole(one.BackPacks), Whole(one.OpenPacks),
                one.Check is { } check ? check.Reached ? check.Acted ? "had acted" : "had not acted" : "not reached" : "",
            ])]),
    };

    private static ReportSection[] Told(RecallReport report) => report.Texts.Count == 0 ? [] :
    [
        new ReportSection("What everybody is told")
        {
            KeyValues = [.. report.Texts.Select(text => new ReportValue($"In {text.Language}, {Time(text.At)}", $"{text.Risk} {text.Action}"))],
        },
    ];

    private static ReportSection Scope(RecallReport report) => new("Lots in the scope")
    {
        Table = new ReportTable(
            [
                new("Lot", 2.2), new("Kind", 1.3), new("Why it is in", 3), new("Share %", 1, true), new("Made g", 1.2, true), new("On hand g", 1.4, true),
                new("Customers g", 1.6, true), new("Where", 2),
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

    private static string Elapsed(double minutes) => minutes < 1
        ? $"{Math.Max(0, minutes * 60):0} s"
        : minutes < 120 ? $"{minutes:0} min" : $"{minutes / 60:0.0} h";

    private static void Line(StringBuilder text, params string[] cells) =>
        text.AppendJoin(',', cells.Select(CsvText.Cell)).Append("\r\n");
}
