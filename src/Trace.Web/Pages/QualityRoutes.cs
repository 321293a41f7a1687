using Trace.Core.Operations;
using Trace.Core.Recall;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Scans;
using Trace.Web.Views;

namespace Trace.Web.Pages;

/// <summary>Pages of the quality officer.</summary>
internal static class QualityRoutes
{
    /// <summary>The inspector reads along.</summary>
    internal const Roles Readers = Roles.Office | Roles.Inspector;

    private const int MostSuspicious = 100;

    private static readonly RecentView<QualityView> Views = new();

    internal static void MapQuality(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/quality", Quality).For(Readers, "This page").ExcludeFromDescription();
        routes.MapGet("/sites/{site}/scans", Scans).For(Readers, "This page").ExcludeFromDescription();
        routes.MapGet("/sites/{site}/recalls/{id}", Recall).For(Readers, "This page").ExcludeFromDescription();
    }

    private static async Task<IResult> Scans(HttpContext context, TraceApp app, ScanBook scans, string site)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        return Page.Show<ScansPage>(new { Frame = frame, Views = await ScanView.Suspicious(ledger, scans, MostSuspicious) });
    }

    private static async Task<IResult> Quality(HttpContext context, TraceApp app, ScanBook scans, string? site)
    {
        if (PageRoutes.SiteOr(app, site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        var view = await Views.Of(ledger, frame.Now, () => QualityView.Of(app, ledger, frame.Now));
        return Page.Show<QualityPage>(new { Frame = frame, View = view, Suspicious = scans.Suspicious(ledger.Code).Count });
    }

    private static async Task<IResult> Recall(HttpContext context, TraceApp app, string site, string id, string? done)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        var (report, actions) = await ledger.ReadAsync(state => state.Recalls.TryGetValue(id, out var recall)
            ? (RecallReport.Of(state, recall, frame.Now), state.Actions.Where(action => action.About == id).ToList())
            : (null, []));
        return report is null
            ? Page.Refuse("recall.unknown")
            : Page.Show<RecallPage>(new { Frame = frame, Report = report, Actions = actions, Done = Done.Of(done, null) });
    }
}
