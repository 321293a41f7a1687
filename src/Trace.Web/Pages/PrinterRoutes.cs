using System.Security.Cryptography;
using Trace.Core.Operations;
using Trace.Web.Access;
using Trace.Web.Endpoints;
using Trace.Web.Hosting;
using Trace.Web.Printers;
using Trace.Web.Problems;
using Trace.Web.Views;

namespace Trace.Web.Pages;

/// <summary>Printers, and the story of a print: as JSON and as pages.</summary>
internal static class PrinterRoutes
{
    internal const Roles Readers = DocumentEndpoints.PdfReaders;

    internal static void MapPrinting(this IEndpointRouteBuilder routes)
    {
        var site = routes.MapGroup("/api/sites/{site}").WithTags("reads").For(Readers, "What printers do");
        site.MapGet("/printers", All).WithSummary("The site's printers, each asked how it is now.").Produces<PrintersView>();
        site.MapGet("/labels/{print}", One).WithSummary("A print of labels: its ways to printers, and how many labels came out by their word.").Produces<PrintView>();
    }

    internal static void MapPrinters(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/sites/{site}/printers", AllPage).For(Readers, "This page").ExcludeFromDescription();
        routes.MapGet("/sites/{site}/labels/{print}", OnePage).For(Readers, "This page").ExcludeFromDescription();
    }

    private static async Task<IResult> All(HttpContext context, string site, TraceApp app, PrinterSights sights)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        return TypedResults.Json(await sights.Of(ledger, context.RequestAborted), ViewJson.Default.PrintersView);
    }

    private static async Task<IResult> One(string site, string print, TraceApp app, JobBoard board)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        return await PrintView.Of(ledger, print, board) is { } view
            ? TypedResults.Json(view, ViewJson.Default.PrintView)
            : Problem.Result("print.unknown", $"Site {site} has no such print.", "print");
    }

    private static async Task<IResult> AllPage(HttpContext context, string site, TraceApp app, PrinterSights sights, string? done)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        var view = await sights.Of(ledger, context.RequestAborted);
        return Page.Show<PrintersPage>(new { Frame = frame, View = view, Done = Done.Of(done, null) });
    }

    private static async Task<IResult> OnePage(
        HttpContext context, string site, string print, TraceApp app, JobBoard board, string? done, string? id)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        if (await PrintView.Of(ledger, print, board) is not { } view) return Page.Refuse("print.unknown");
        return Page.Show<PrintPage>(new
        {
            Frame = frame,
            View = view,
            Picture = await DocumentEndpoints.Picture(app, ledger, print),
            Printers = await ledger.ReadAsync(state => state.Printers.Keys.Order(StringComparer.Ordinal).ToList()),
            Done = Done.Of(done, id),
            Key = "page-" + Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(16)),
        });
    }
}
