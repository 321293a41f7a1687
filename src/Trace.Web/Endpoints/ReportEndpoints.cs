using System.Globalization;
using System.Text;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Recall;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Pages;
using Trace.Web.Printing;
using Trace.Web.Problems;
using Trace.Web.Reports;
using Trace.Web.Views;

namespace Trace.Web.Endpoints;

/// <summary>Reports for auditors and authorities: batch record, trace, tracking events, mass balance, signed bundles.</summary>
internal static class ReportEndpoints
{
    private const string PdfType = "application/pdf", ZipType = "application/zip";

    /// <summary>A stretch is read page by page, but its rows are held: a year at a time is enough for any question.</summary>
    private const int LongestDays = 366;

    internal static void MapReports(this IEndpointRouteBuilder routes)
    {
        var site = routes.MapGroup("/api/sites/{site}").WithTags("documents").For(QualityRoutes.Readers, "A report");
        site.MapGet("/lots/{lot}/record.pdf", Record).WithSummary("All that is on record of one lot, as PDF.").Produces(StatusCodes.Status200OK, contentType: PdfType);
        site.MapGet("/lots/{lot}/trace.pdf", TracePdf).WithSummary("The trace of a lot both ways, as PDF.").Produces(StatusCodes.Status200OK, contentType: PdfType);
        site.MapGet("/lots/{lot}/balance", Balance).WithSummary("Where every gram of a lot is, with the entries behind each figure.").Produces<LotBalanceView>();
        site.MapGet("/lots/{lot}/bundle.zip", LotBundle).WithSummary("Record, trace, table and journal of a lot, with checksums and signature.").Produces(StatusCodes.Status200OK, contentType: ZipType);
        site.MapGet("/recalls/{id}/bundle.zip", RecallBundle).WithSummary("Report, deliveries and journal of a recall, with checksums and signature.").Produces(StatusCodes.Status200OK, contentType: ZipType);
        site.MapGet("/tracking.csv", TrackingCsv).WithSummary("Critical tracking events from one day to another (from, to: yyyy-MM-dd), sortable.").Produces(StatusCodes.Status200OK, contentType: "text/csv");
        site.MapGet("/tracking.xlsx", TrackingXlsx).WithSummary("The same as a workbook with its glossary.").Produces(StatusCodes.Status200OK, contentType: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet");
        site.MapGet("/balance", PeriodJson).WithSummary("Mass balance of a day or of days (from, to: yyyy-MM-dd), by kind of lot.").Produces<PeriodBalance>();
        site.MapGet("/balance.pdf", PeriodPdf).WithSummary("The same as PDF.").Produces(StatusCodes.Status200OK, contentType: PdfType);
        site.MapGet("/signing-key", Key).WithSummary("The public key that bundles are signed with, and its fingerprint.").Produces<SigningKeyView>();
    }

    private static async Task<IResult> Record(string site, string lot, TraceApp app)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        return await BatchRecord.Of(app, ledger, lot) is { } document
            ? TypedResults.File(ReportPdf.Draw(document), PdfType, $"{lot}-record.pdf")
            : ReadEndpoints.UnknownLot(site, lot);
    }

    private static async Task<IResult> TracePdf(string site, string lot, TraceApp app)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var now = app.Clock.GetUtcNow();
        var document = await ledger.ReadAsync(state => state.Find(lot) is { } found
            ? TraceDocument.Of(state, found, state.Zone.Local(now)) : null);
        return document is null ? ReadEndpoints.UnknownLot(site, lot) : TypedResults.File(ReportPdf.Draw(document), PdfType, $"{lot}-trace.pdf");
    }

    private static async Task<IResult> Balance(string site, string lot, TraceApp app)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        return await LotBalanceView.Of(app, ledger, lot) is { } view
            ? TypedResults.Json(view, ViewJson.Default.LotBalanceView)
            : ReadEndpoints.UnknownLot(site, lot);
    }

    private static async Task<IResult> LotBundle(string site, string lot, TraceApp app)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var now = app.Clock.GetUtcNow();
        return await LotBundles.OfLot(app, ledger, lot, now) is { } bundle
            ? TypedResults.File(bundle, ZipType, $"{lot}-bundle.zip")
            : ReadEndpoints.UnknownLot(site, lot);
    }

    private static async Task<IResult> RecallBundle(string site, string id, TraceApp app)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var now = app.Clock.GetUtcNow();
        return await LotBundles.OfRecall(app, ledger, id, now) is { } bundle
            ? TypedResults.File(bundle, ZipType, $"{id}-bundle.zip")
            : Problem.Result("recall.unknown", $"Site {site} has no such recall.", "id");
    }

    private static Task<IResult> TrackingCsv(string site, TraceApp app, string? from = null, string? to = null) => Tracking(
        site, app, from, to, (rows, name) => TypedResults.File(Encoding.UTF8.GetBytes(TrackingTable.Csv(rows)), "text/csv; charset=utf-8", name + ".csv"));

    private static Task<IResult> TrackingXlsx(string site, TraceApp app, string? from = null, string? to = null) => Tracking(
        site, app, from, to, (rows, name) => TypedResults.File(
            TemporaryFile.Of(file => TrackingWorkbook.Write(file, rows)), "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", name + ".xlsx"));

    private static async Task<IResult> Tracking(string site, TraceApp app, string? from, string? to, Func<IReadOnlyList<TrackingRow>,
        string, IResult> show)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var (first, last, wrong) = await Days(app, ledger, from, to);
        if (wrong is not null) return wrong;
        var (start, end) = await ledger.ReadAsync(state =>
            (PeriodBalance.StartOf(state.Zone, first), PeriodBalance.StartOf(state.Zone, last.AddDays(1))));
        var entries = await CountedEntries.OfTime(app, ledger, start, end);
        return show(await ledger.ReadAsync(state => TrackingTable.Of(state, entries)), FormattableString.Invariant($"{site}-tracking-{first:yyyyMMdd}-{last:yyyyMMdd}"));
    }

    private static async Task<IResult> PeriodJson(string site, TraceApp app, string? from = null, string? to = null)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var (first, last, wrong) = await Days(app, ledger, from, to);
        return wrong ?? TypedResults.Json(await PeriodBalance.Of(app, ledger, first, last), ViewJson.Default.PeriodBalance);
    }

    private static async Task<IResult> PeriodPdf(string site, TraceApp app, string? from = null, string? to = null)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var (first, last, wrong) = await Days(app, ledger, from, to);
        if (wrong is not null) return wrong;
        var balance = await PeriodBalance.Of(app, ledger, first, last);
        var now = app.Clock.GetUtcNow();
        var document = await ledger.ReadAsync(state => balance.Document(site, state.Site.Name, state.Head, state.Zone.Local(now)));
        return TypedResults.File(ReportPdf.Draw(document), PdfType, FormattableString.Invariant($"{site}-balance-{first:yyyyMMdd}-{last:yyyyMMdd}.pdf"));
    }

    /// <summary>The days asked for; left out: today, and from that day on.</summary>
    private static async Task<(DateOnly From, DateOnly To, IResult? Wrong)> Days(TraceApp app, SiteLedger ledger, string? from, string? to)
    {
        var now = app.Clock.GetUtcNow();
        var today = await ledger.ReadAsync(state => state.Zone.DateOf(now));
        var (last, first) = (today, today);
        if (to is not null && !TryDay(to, out last)) return (first, last, Wrong("to"));
        first = last;
        if (from is not null && !TryDay(from, out first)) return (first, last, Wrong("from"));
        if (to is null && from is not null && first > last) last = first;
        return first > last || last.DayNumber - first.DayNumber >= LongestDays
            ? (first, last, Problem.Result("request.invalid", $"from, to: at most {LongestDays} days in their order are wanted.", "from"))
            : (first, last, null);
    }

    private static bool TryDay(string text, out DateOnly day) =>
        DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out day) && day.Year is >= 2000 and <= 2200;

    private static IResult Wrong(string field) => Problem.Result("request.invalid", $"{field}: a date such as 2026-11-16 is wanted.", field);

    private static IResult Key(string site, TraceApp app)
    {
        if (app.Site(site) is null) return OperationEndpoints.UnknownSite(app, site);
        var signer = BundleSigner.Of(app.Settings.DataFolder);
        return TypedResults.Json(new SigningKeyView(signer.PublicKey, signer.Fingerprint), ViewJson.Default.SigningKeyView);
    }
}
