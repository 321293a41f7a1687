using Trace.Core.Figures;
using Trace.Core.Operations;
using Trace.Web.Access;
using Trace.Web.Endpoints;
using Trace.Web.Hosting;
using Trace.Web.Views;

namespace Trace.Web.Pages.Owner;

/// <summary>The business at a glance, for a phone; the same as JSON.</summary>
internal static class OwnerRoutes
{
    private const int UsualDays = 30;

    private static readonly RecentView<OwnerFigures> Views = new();

    internal static void MapOwner(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/sites/{site}/business", Show).For(KeepingRoutes.Readers, "This page").ExcludeFromDescription();
        routes.MapGet("/api/sites/{site}/business", Read).For(KeepingRoutes.Readers, "Business figures").WithTags("reads")
            .WithSummary("The last 30 days at a glance: made, held, sellable, yields, give-away, cost, and what a recall of each open container would take back.")
            .Produces<OwnerFigures>();
    }

    private static async Task<IResult> Show(HttpContext context, TraceApp app, string site)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        return Page.Show<OwnerPage>(new { Frame = frame, View = await Figures(ledger, frame.Now) });
    }

    private static async Task<IResult> Read(TraceApp app, string site)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var now = app.Clock.GetUtcNow();
        return TypedResults.Json(await Figures(ledger, now), ViewJson.Default.OwnerFigures);
    }

    private static Task<OwnerFigures> Figures(SiteLedger ledger, DateTimeOffset now) =>
        Views.Of(ledger, now, () => ledger.ReadAsync(state => OwnerFigures.Of(state, UsualDays, now)));
}
