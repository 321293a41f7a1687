using Trace.Core.Operations;
using Trace.Core.Trends;
using Trace.Web.Access;
using Trace.Web.Endpoints;
using Trace.Web.Hosting;
using Trace.Web.Problems;
using Trace.Web.Views;

namespace Trace.Web.Pages.Charts;

/// <summary>Control charts of the process: as JSON and as a page.</summary>
internal static class ChartRoutes
{
    /// <summary>A chart of an operator's batches is nobody's business at the bench.</summary>
    private const Roles Readers = Roles.Office | Roles.Inspector;

    internal static void MapCharts(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/api/sites/{site}/charts", Json).For(Readers, "A chart").WithTags("reads")
            .WithSummary("Control chart of drying batches: points, limits, signals. measure: yield, predicted-moisture, measured-moisture, water-activity or energy; by: dryer, supplier, operator, product or none; key: which one; dryer; chart: individuals, ewma or cusum; rules: western-electric or nelson; from, to, baseFrom, baseTo: days. Control limits are not specification limits and release nothing.")
            .Produces<ControlChartView>();
        routes.MapGet("/sites/{site}/charts", Show).For(Readers, "This page").ExcludeFromDescription();
    }

    private static async Task<IResult> Json(
        TraceApp app, string site, string? measure, string? by, string? key, string? dryer, string? chart, string? rules, string? from,
        string? to, string? baseFrom, string? baseTo)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var query = new ChartQuery(measure, by, key, null, dryer, chart, rules, from, to, baseFrom, baseTo);
        var (ask, refusal) = query.Read(await Today(app, ledger));
        if (ask is null) return Problem.Result([refusal!]);
        var data = await ChartData.Read(ledger, ask.Measure);
        return TypedResults.Json(data.Chart(ask), ViewJson.Default.ControlChartView);
    }

    private static async Task<IResult> Show(
        HttpContext context, TraceApp app, string site, string? measure, string? by, string? key, string? group, string? dryer,
        string? chart, string? rules, string? from, string? to, string? baseFrom, string? baseTo)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var query = new ChartQuery(measure, by, key, group, dryer, chart, rules, from, to, baseFrom, baseTo);
        var (ask, refusal) = query.Read(await Today(app, ledger));
        if (ask is null) return Page.Refuse(refusal!.Code, refusal.Detail);
        var frame = await SiteFrame.Of(context, app, ledger);
        var data = await ChartData.Read(ledger, ask.Measure);
        return Page.Show<ChartsPage>(new { Frame = frame, Ask = ask, View = data.Chart(ask), Data = data });
    }

    private static async Task<DateOnly> Today(TraceApp app, SiteLedger ledger)
    {
        var now = app.Clock.GetUtcNow();
        return await ledger.ReadAsync(state => state.Zone.DateOf(now));
    }
}
