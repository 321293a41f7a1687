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
using Trace.Web.Views;

namespace Trace.Web.Endpoints;

/// <summary>A recall as JSON, and its documents: report, letters, drafts, status reports.</summary>
internal static class RecallEndpoints
{
    private const string PdfType = "application/pdf";

    internal static void MapRecalls(this IEndpointRouteBuilder routes)
    {
        var all = routes.MapGroup("/api/sites/{site}/recalls/{id}").WithTags("documents").For(Roles.All);
        all.MapGet("", (string site, string id, TraceApp app) =>
            With(site, id, app, report => TypedResults.Json(report, ViewJson.Default.RecallReport)))
            .WithSummary("The recall report: scope with reasons, consignees and where they stand, mass balance, timeline.").Produces<RecallReport>();
        all.MapGet("/report.pdf", (string site, string id, TraceApp app) => With(site, id, app, report => Pdf(RecallDocument.Report(report), id)))
            .WithSummary("The recall report as PDF.").Produces(StatusCodes.Status200OK, contentType: PdfType);
        all.MapGet("/report.csv", (string site, string id, TraceApp app) => With(
                site, id, app, report => TypedResults.File(Encoding.UTF8.GetBytes(RecallDocument.Csv(report)), "text/csv; charset=utf-8", $"{id}.csv")))
            .WithSummary("The recall's deliveries and stock as CSV, one line each.").Produces(StatusCodes.Status200OK, contentType: "text/csv");

        // Letters carry the address where a consignee answers.
        var office = routes.MapGroup("/api/sites/{site}/recalls/{id}").WithTags("documents").For(Roles.Office, "A notice");
        office.MapGet("/notices.pdf", Notices).WithSummary("All letters to consignees in one PDF, each in its own language.").Produces(StatusCodes.Status200OK, contentType: PdfType);
        office.MapGet("/notices/{notice}.pdf", OneLetter).WithSummary("One letter.").Produces(StatusCodes.Status200OK, contentType: PdfType);
        office.MapGet("/notices/{notice}.txt", OneText).WithSummary("The same as text, for a message.").Produces(StatusCodes.Status200OK, contentType: "text/plain");
        var drafts = routes.MapGroup("/api/sites/{site}/recalls/{id}").WithTags("documents").For(QualityRoutes.Readers, "A draft of a notice");
        drafts.MapGet("/authority.pdf", Authority).WithSummary("Draft of the notification to the authority.").Produces(StatusCodes.Status200OK, contentType: PdfType);
        drafts.MapGet("/public.pdf", Public).WithSummary("Draft of the notice to the public.").Produces(StatusCodes.Status200OK, contentType: PdfType);
        drafts.MapGet("/status/{number}.pdf", Status).WithSummary("A status report, as it was given out.").Produces(StatusCodes.Status200OK, contentType: PdfType);
    }

    private static Microsoft.AspNetCore.Http.HttpResults.FileContentHttpResult Pdf(ReportDocument document, string name) =>
        TypedResults.File(ReportPdf.Draw(document), PdfType, $"{name}.pdf");

    private static async Task<IResult> Notices(string site, string id, TraceApp app)
    {
        var found = await Find(site, id, app, (state, recall) =>
            recall.Notices.Select(notice => NoticeView.Of(state, recall, notice, app.Settings.PublicUrl)).ToList());
        if (found.Refused is { } refused) return refused;
        if (found.Value!.Count == 0) return Problem.Result("recall.not-consignee", $"Nobody has been told of {id} yet: record recalls/notify first.", "id");
        var now = app.Clock.GetUtcNow();
        return TypedResults.File(
            TemporaryFile.Of(file => ReportPdf.Draw(file, found.Value.Select(notice => NoticeDocument.Letter(notice, now)), $"{id}: letters", now)),
            PdfType, $"{id}-letters.pdf");
    }

    private static async Task<IResult> OneLetter(string site, string id, string notice, TraceApp app)
    {
        var found = await FindNotice(site, id, notice, app);
        return found.Refused ?? Pdf(NoticeDocument.Letter(found.Value!, app.Clock.GetUtcNow()), notice);
    }

    private static async Task<IResult> OneText(string site, string id, string notice, TraceApp app)
    {
        var found = await FindNotice(site, id, notice, app);
        return found.Refused ?? TypedResults.Text(NoticeDocument.Text(found.Value!), "text/plain; charset=utf-8");
    }

    private static async Task<(NoticeView? Value, IResult? Refused)> FindNotice(string site, string id, string notice, TraceApp app)
    {
        var (value, refused) = await Find(site, id, app, (state, recall) =>
            new
            {
                View = recall.Notices.FirstOrDefault(one => one.Id == notice) is { } found
                ? NoticeView.Of(state, recall, found, app.Settings.PublicUrl) : null
            });
        if (refused is not null) return (null, refused);
        return value!.View is { } view
            ? (view, null)
            : (null, Problem.Result("recall.not-consignee", $"Recall {id} has no such notice.", "notice"));
    }

    private static async Task<IResult> Authority(string site, string id, TraceApp app)
    {
        var now = app.Clock.GetUtcNow();
        var found = await Find(site, id, app, (state, recall) =>
            RecallReport.Of(state, recall, now) is var report
                ? RecallNotices.Authority(report, state.Site, RecalledProduct.Of(state, report)) : null);
        return found.Refused ?? Pdf(found.Value!, $"{id}-authority");
    }

    private static async Task<IResult> Public(string site, string id, TraceApp app)
    {
        var now = app.Clock.GetUtcNow();
        var found = await Find(site, id, app, (state, recall) =>
        {
            var report = RecallReport.Of(state, recall, now);
            var contacts = report.Scope.Where(line => line.Packs is not null)
                .Select(line => state.SpecificationOf(state.Find(line.Lot)!).Label.Contact)
                .Where(contact => contact.Length > 0).Distinct();
            return RecallNotices.Public(report, state.Site, RecalledProduct.Of(state, report), string.Join("; ", contacts));
        });
        return found.Refused ?? Pdf(found.Value!, $"{id}-public");
    }

    private static async Task<IResult> Status(string site, string id, string number, TraceApp app)
    {
        var now = app.Clock.GetUtcNow();
        var found = await Find(site, id, app, (state, recall) => new
        {
            Document = recall.Reports.FirstOrDefault(one => one.Number.ToString(CultureInfo.InvariantCulture) == number) is { } status
                ? RecallNotices.Status(RecallReport.Of(state, recall, now), status with { At = state.Zone.Local(status.At) })
                : null,
        });
        if (found.Refused is not null) return found.Refused;
        return found.Value!.Document is { } document
            ? Pdf(document, $"{id}-status-{number}")
            : Problem.Result("recall.unknown", $"Recall {id} has no such status report.", "number");
    }

    private static async Task<IResult> With(string site, string id, TraceApp app, Func<RecallReport, IResult> show)
    {
        var now = app.Clock.GetUtcNow();
        var found = await Find(site, id, app, (state, recall) => RecallReport.Of(state, recall, now));
        return found.Refused ?? show(found.Value!);
    }

    private static async Task<(T? Value, IResult? Refused)> Find<T>(string site, string id, TraceApp app, Func<SiteState, RecallCase,
        T> look)
        where T : class?
    {
        if (app.Site(site) is not { } ledger) return (null, OperationEndpoints.UnknownSite(app, site));
        var found = await ledger.ReadAsync(state => state.Recalls.TryGetValue(id, out var recall) ? look(state, recall) : null);
        return found is null ? (null, Problem.Result("recall.unknown", $"Site {site} has no such recall.", "id")) : (found, null);
    }
}
