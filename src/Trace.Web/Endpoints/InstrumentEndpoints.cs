using Trace.Core.Operations;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Pages;
using Trace.Web.Problems;
using Trace.Web.Views;

namespace Trace.Web.Endpoints;

/// <summary>How the instruments stand, and which lots are in doubt through them: as JSON and as pages.</summary>
internal static class InstrumentEndpoints
{
    internal static void MapInstruments(this IEndpointRouteBuilder routes)
    {
        var site = routes.MapGroup("/api/sites/{site}").WithTags("reads").For(Roles.All);
        site.MapGet("/instruments", All).WithSummary("Instruments with their last check, when the next is due, and how many lots are in doubt.").Produces<InstrumentsView>();
        site.MapGet("/instruments/{name}", One).WithSummary("An instrument: its checks, and the lots read with it since its last good check or in doubt, with what became of them.").Produces<InstrumentView>();
        routes.MapGet("/sites/{site}/instruments", AllPage).For(Roles.All).ExcludeFromDescription();
        routes.MapGet("/sites/{site}/instruments/{name}", OnePage).For(Roles.All).ExcludeFromDescription();
    }

    private static async Task<IResult> All(string site, TraceApp app)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        return TypedResults.Json(await InstrumentsView.Of(ledger, app.Clock.GetUtcNow()), ViewJson.Default.InstrumentsView);
    }

    private static async Task<IResult> One(string site, string name, TraceApp app)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        return await Find(ledger, name, app) is { } view
            ? TypedResults.Json(view, ViewJson.Default.InstrumentView)
            : Problem.Result("instrument.unknown", RefusalCodes.All["instrument.unknown"].WayOut, "name");
    }

    private static async Task<IResult> AllPage(HttpContext context, string site, TraceApp app)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        return Page.Show<InstrumentsPage>(new { Frame = frame, View = await InstrumentsView.Of(ledger, frame.Now) });
    }

    private static async Task<IResult> OnePage(HttpContext context, string site, string name, TraceApp app, string? done)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        return await Find(ledger, name, app) is { } view
            ? Page.Show<InstrumentPage>(new { Frame = frame, View = view, Done = Done.Of(done, null) })
            : Page.Refuse("instrument.unknown");
    }

    /// <summary>A slash in a name stays escaped in the path, as the server leaves it.</summary>
    private static async Task<InstrumentView?> Find(SiteLedger ledger, string name, TraceApp app)
    {
        var now = app.Clock.GetUtcNow();
        return await InstrumentView.Of(ledger, name, now)
            ?? (name.Contains("%2F", StringComparison.OrdinalIgnoreCase)
                ? await InstrumentView.Of(ledger, name.Replace("%2F", "/", StringComparison.OrdinalIgnoreCase), now)
                : null);
    }
}
