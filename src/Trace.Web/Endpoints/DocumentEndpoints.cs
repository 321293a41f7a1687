using System.Text;
using Trace.Core.Recall;
using Trace.Web.Hosting;
using Trace.Web.Printing;
using Trace.Web.Problems;
using Trace.Web.Views;

namespace Trace.Web.Endpoints;

/// <summary>Labels and recall reports as files.</summary>
public static class DocumentEndpoints
{
    public static void MapDocuments(this IEndpointRouteBuilder routes)
    {
        var site = routes.MapGroup("/api/sites/{site}").WithTags("documents");
        site.MapGet("/labels/{print}.pdf", LabelPdfOf).WithSummary("The labels of a print as PDF, one page a copy, as they were printed.")
            .Produces(StatusCodes.Status200OK, contentType: "application/pdf");
        site.MapGet("/recalls/{id}", RecallOf).WithSummary("The recall report: scope with reasons, consignees, mass balance, timeline.").Produces<RecallReport>();
        site.MapGet("/recalls/{id}/report.pdf", RecallPdf).WithSummary("The recall report as PDF.")
            .Produces(StatusCodes.Status200OK, contentType: "application/pdf");
        site.MapGet("/recalls/{id}/report.csv", RecallCsv).WithSummary("The recall's deliveries and stock as CSV, one line each.")
            .Produces(StatusCodes.Status200OK, contentType: "text/csv");
    }

    /// <summary>Draws a print again from what the journal says was on it.</summary>
    public static byte[]? Draw(TraceApp app, string site, long seq)
    {
        if (app.FindPrint(site, seq) is not { } found) return null;
        var layout = app.Templates.Lay(found.Printed.Template, found.Printed.Label.ToContent());
        return layout.Drawing is null ? null : LabelPdf.Draw([.. Enumerable.Repeat(layout.Drawing, found.Printed.Copies)]);
    }

    private static async Task<IResult> LabelPdfOf(string site, string print, TraceApp app)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var seq = await ledger.ReadAsync(state => state.FindPrint(print)?.Print.Seq);
        if (seq is null) return Problem.Result("print.unknown", $"Site {site} has no such print.", "print");
        return Draw(app, site, seq.Value) is { } pdf
            ? TypedResults.File(pdf, "application/pdf", $"{print}.pdf")
            : Problem.Result("labels.template", "The template of this print has changed so that the label no longer fits it.");
    }

    private static Task<IResult> RecallOf(string site, string id, TraceApp app) => With(site, id, app, report =>
        TypedResults.Json(report, ViewJson.Default.RecallReport));

    private static Task<IResult> RecallPdf(string site, string id, TraceApp app) => With(site, id, app, report =>
        TypedResults.File(RecallDocument.Draw(report), "application/pdf", $"{id}.pdf"));

    private static Task<IResult> RecallCsv(string site, string id, TraceApp app) => With(site, id, app, report =>
        TypedResults.File(Encoding.UTF8.GetBytes(RecallDocument.Csv(report)), "text/csv; charset=utf-8", $"{id}.csv"));

    private static async Task<IResult> With(string site, string id, TraceApp app, Func<RecallReport, IResult> show)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var now = app.Clock.GetUtcNow();
        var report = await ledger.ReadAsync(state => state.Recalls.TryGetValue(id, out var recall) ? RecallReport.Of(state, recall, now)
            : null);
        return report is null ? Problem.Result("recall.unknown", $"Site {site} has no such recall.", "id") : show(report);
    }
}
