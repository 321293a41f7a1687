using System.Globalization;
using Trace.Core.Lots;
using Trace.Core.Recall;
using Trace.Web.Pages.Cases;
using Dates = Trace.Core.Lots.BestBefore;
using static Trace.Web.Printing.ReportFigures;

namespace Trace.Web.Printing;

/// <summary>Drafts for the authority and for the public, and status reports: all from what is on record, to be read and completed by
/// people.</summary>
public static class RecallNotices
{
    /// <summary>
    /// What an authority asks for: Arts 15 and 16 of Regulation (EU) 2019/1715 and the industry guidance of 2020 on recalls (21 CFR 7.46),
    /// both from the project's own notes. Lines that nobody can know from the record are left open.
    /// </summary>
    public static ReportDocument Authority(RecallReport report, SiteDescription site, IReadOnlyList<RecalledProduct> products)
    {
        const string open = "______________________________";
        return new ReportDocument(
            $"{Marked(report)}Notification to the authority, draft", $"{report.Kind} {report.Recall}: {report.Reason}", Footer(report), report.MadeAt,
            [
                new ReportSection("Operator")
                {
                    KeyValues =
                    [
                        new("Name", site.Name), new("Address", OrOpen(site.Address)), new("Approval or registration", OrOpen(site.ApprovalNumber)), new("GLN", OrOpen(site.Gln)),
                        new("Contact person", open), new("Telephone, day and night", open),
                    ],
                },
                new ReportSection("Product and lots")
                {
                    Table = new ReportTable(
                        [new("Product", 2.4), new("Lot", 2), new("Produced", 1.4), new("Best before", 1.4), new("Pack g", 1, true), new("Packs made", 1, true), new("Left us", 1, true)],
                        [.. products.Select(one => (IReadOnlyList<string>)
                        [
                            one.Product, one.Lot, Day(one.ProducedOn), Day(one.BestBefore), Number(one.PackGrams), Whole(one.Packs),
                                Whole(one.PacksDelivered),
                        ])]),
                    Paragraphs = ["Lot codes: a letter for the kind of lot (H larvae received, T sanitised, D dried, C container, P packs), the day as yymmdd, a number, and a check character (ISO/IEC 7064, MOD 37,36). Codes of another form were given by hand."],
                },
                new ReportSection("Hazard")
                {
                    KeyValues =
                    [
                        new("Reason", report.Reason), new("Found on", Time(report.OpenedAt)),
                            new("Complaint", report.Complaint ?? "none"), new("Harm that is likely", CaseWords.Of(report.Health)),
                        new("Analysis and result", open), new("Is fraud suspected", open),
                    ],
                },
                new ReportSection("Quantities")
                {
                    KeyValues =
                    [
                        new("Made", $"{Number(report.Balance.MadeGrams)} g"), new("On hand, held", $"{Number(report.Balance.OnHandGrams)} g"),
                        new("With customers", $"{Number(report.Balance.ShippedGrams)} g"), new("Back and apart", $"{Number(report.Balance.ReturnedGrams)} g"),
                        new("Samples", $"{Number(report.Balance.SampledGrams)} g"), new("Disposed of", $"{Number(report.Balance.DisposedGrams)} g"),
                        new("Unaccounted for", $"{Number(report.Balance.UnaccountedGrams)} g"),
                    ],
                },
                new ReportSection("Distribution by country")
                {
                    Paragraphs = ["The list of deliveries goes with this as a sortable file (deliveries as CSV)."],
                    Table = new ReportTable(
                        [new("Country", 2), new("Consignees", 1, true), new("Packs", 1, true), new("Mass g", 1, true)],
                        [.. report.Consignees.GroupBy(one => string.IsNullOrWhiteSpace(one.Country) ? "not on record" : one.Country)
                            .OrderBy(group => group.Key, StringComparer.Ordinal)
                            .Select(group => (IReadOnlyList<string>)
                            [group.Key, Whole(group.Count()), Whole(group.Sum(one => one.Packs)),
                                Number(group.Sum(one => one.MassGrams))])]),
                },
                new ReportSection("Where it came from")
                {
                    Table = new ReportTable(
                        [new("Lot", 2), new("Supplier", 3), new("Received", 2), new("Mass g", 1, true)],
                        [.. report.Origins.Select(one =>
                            (IReadOnlyList<string>)[one.Lot, one.Supplier, Time(one.ReceivedAt), Number(one.MassGrams)])]),
                },
                new ReportSection("Measures taken and strategy")
                {
                    KeyValues =
                    [
                        new("Held", $"{report.Scope.Count} lots, since {Time(report.OpenedAt)}"), new("Consignees told", $"{report.Totals.Told} of {report.Totals.Consignees}"),
                        new("Effectiveness checks", $"{CaseWords.Of(report.Level)}: {report.Totals.ChecksWanted} wanted, {report.Totals.ChecksDone} done"),
                        new("The public is told", report.Texts.Count == 0 ? "not yet"
                            : string.Join(" ", report.Texts.Where(text => text.Language == "en").Select(text => $"{text.Risk} {text.Action}").DefaultIfEmpty($"in {string.Join(", ", report.Texts.Select(text => text.Language))}"))),
                        new("Further measures", open),
                    ],
                },
                new ReportSection("Signature") { Paragraphs = [$"Name, date: {open}", "Drafted by a program from its records. It is no proof of safety; the authority's own form and rules go first. Do not wait for missing details: tell them at once."] },
            ]);
    }

    /// <summary>For a point of sale or a web page. Its parts: product, size, lot and date, risk, what to do, contact.</summary>
    public static ReportDocument Public(RecallReport report, SiteDescription site, IReadOnlyList<RecalledProduct> products, string contact)
    {
        var texts = report.Texts.Count > 0 ? report.Texts : [new RecallText("en", report.Reason, "Do not use it. Keep it apart and ask where you bought it.", report.MadeAt, "", 0)];
        return new ReportDocument(
            $"{Marked(report)}{report.Kind.ToString().ToUpperInvariant()}", site.Name, Footer(report), report.MadeAt,
            [
                new ReportSection("Product")
                {
                    Table = new ReportTable(
                        [new("Product", 3), new("Pack g", 1, true), new("Lot (after the L on the label)", 2.4), new("Best before", 1.6)],
                        [.. products.Where(one => one.PacksDelivered > 0)
                            .Select(one => (IReadOnlyList<string>)[one.Product, Number(one.PackGrams), one.Lot, Day(one.BestBefore)])]),
                    Paragraphs = ["Other lots are not affected. The page behind the symbol on the label says whether a lot is recalled."],
                },
                .. texts.Select(text =>
                    new ReportSection(text.Language == "en" || texts.Count == 1 ? "Risk, and what to do" : $"({text.Language})") { Paragraphs = [text.Risk, text.Action] }),
                new ReportSection("Contact") { Paragraphs = [contact.Length > 0 ? contact : $"{site.Name}, {site.Address}", "If somebody feels ill after eating it: doctor or emergency service first. We are sorry."] },
            ]);
    }

    /// <summary>A status report as it was given out: its figures are those of then.</summary>
    public static ReportDocument Status(RecallReport report, StatusReport status)
    {
        var totals = status.Totals;
        return new ReportDocument(
            $"{Marked(report)}Status report {status.Number}", $"{report.Kind} {report.Recall}: {report.Reason}", $"Site {report.Site}, {report.Recall}, frozen in journal entry {status.Seq} at {Time(status.At)}. Trace 0.1.", status.At,
            [
                new ReportSection("Frozen")
                {
                    KeyValues = [new("When", Time(status.At)), new("By", status.Person), new("Note", status.Note ?? "none"), new("Lots in the scope", Whole(totals.Lots))],
                },
                new ReportSection("Consignees")
                {
                    KeyValues =
                    [
                        new("Told", $"{totals.Told} of {totals.Consignees}"), new("Answered", $"{totals.Answered} of {totals.Consignees}"),
                        new("Silent", Whole(totals.Consignees - totals.Answered)),
                        new("Effectiveness checks", $"{totals.ChecksDone} done, {totals.ChecksEffective} effective, {totals.ChecksWanted} wanted"),
                    ],
                },
                new ReportSection("Packs")
                {
                    KeyValues =
                    [
                        new("Delivered", Whole(totals.DeliveredPacks)), new("Received, as they say", Whole(totals.ReceivedPacks)), new("Still with them", Whole(totals.HeldPacks)),
                        new("Sold on or used", Whole(totals.SoldPacks)), new("Sent back, as they say", Whole(totals.SentBackPacks)), new("Came back here", Whole(totals.BackPacks)),
                        new("Destroyed with proof", Whole(totals.DestroyedPacks)), new("Accounted for by consignees", $"{totals.ConfirmedPacks} of {totals.DeliveredPacks}"),
                    ],
                },
                new ReportSection("Mass")
                {
                    KeyValues =
                    [
                        new("Made", $"{Number(totals.MadeGrams)} g"), new("On hand", $"{Number(totals.OnHandGrams)} g"), new("With customers", $"{Number(totals.ShippedGrams)} g"),
                        new("Back and apart", $"{Number(totals.ReturnedGrams)} g"), new("Samples", $"{Number(totals.SampledGrams)} g"), new("Disposed of", $"{Number(totals.DisposedGrams)} g"),
                        new("Unaccounted for", FormattableString.Invariant($"{totals.UnaccountedGrams:0.###} g ({totals.UnaccountedPercent:0.###} %, standard uncertainty {totals.UnaccountedUncertaintyPercent:0.###} %)")),
                    ],
                },
            ]);
    }

    private static string Marked(RecallReport report) => TrainingMark(report.Site) + (report.Kind == RecallKind.Drill ? "DRILL (exercise, not a recall). " : "");

    private static string Footer(RecallReport report) => $"Site {report.Site}, {report.Recall}, journal entry {report.JournalHead}, written {Time(report.MadeAt)}. Trace 0.1.";

    private static string OrOpen(string? text) => string.IsNullOrWhiteSpace(text) ? "______________________________" : text;
}

/// <summary>A packed lot of the scope, as notices name it.</summary>
public sealed record RecalledProduct(
    string Product, string Lot, DateOnly? ProducedOn, DateOnly? BestBefore, decimal? PackGrams, int Packs, int PacksDelivered)
{
    public static IReadOnlyList<RecalledProduct> Of(SiteState state, RecallReport report) =>
    [
        .. report.Scope.Select(line => state.Find(line.Lot)).OfType<Lot>().Where(lot => lot.Record is PackedRecord).Select(lot =>
        {
            var packed = (PackedRecord)lot.Record;
            return new RecalledProduct(
                state.SpecificationOf(lot).Name, lot.Code, Dates.ProductionDate(state, lot), Dates.Of(state, lot),
                packed.NetMass.Grams, packed.Packs, lot.Shipments.Sum(shipped => shipped.Packs));
        }),
    ];
}
