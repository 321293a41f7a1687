using Trace.Core.Figures;
using Trace.Core.Operations;
using Trace.Web.Access;
using Trace.Web.Endpoints;
using Trace.Web.Hosting;
using Trace.Web.Problems;
using Trace.Web.Views;

namespace Trace.Web.Pages;

/// <summary>What a bad batch would take back, for the owner: a page and the same as JSON.</summary>
internal static class ExposureRoutes
{
    private const int UsualDays = 90;

    internal static void MapExposure(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/sites/{site}/exposure", Show).For(KeepingRoutes.Readers, "This page").ExcludeFromDescription();
        routes.MapGet("/api/sites/{site}/exposure", Read).For(KeepingRoutes.Readers, "Recall exposure").WithTags("reads")
            .WithSummary("What one bad drying batch would take back, counted over the last days (1 to 366), and what smaller lots would save.")
            .Produces<RecallExposure>();
    }

    private static async Task<IResult> Show(HttpContext context, TraceApp app, string site)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        var view = await ledger.ReadAsync(state => RecallExposure.Of(state, DaysOf(context) ?? UsualDays, frame.Now));
        return Page.Show<ExposurePage>(new { Frame = frame, View = view });
    }

    private static async Task<IResult> Read(HttpContext context, TraceApp app, string site)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        if (DaysOf(context) is not { } days) return Problem.Result("request.invalid", "days: a whole number from 1 to 366 is wanted.", "days");
        var now = app.Clock.GetUtcNow();
        return TypedResults.Json(await ledger.ReadAsync(state => RecallExposure.Of(state, days, now)), ViewJson.Default.RecallExposure);
    }

    /// <summary>Null when something else was asked for.</summary>
    private static int? DaysOf(HttpContext context) => context.Request.Query["days"].FirstOrDefault() is not { } text
        ? UsualDays
        : int.TryParse(text, System.Globalization.NumberStyles.None, System.Globalization.CultureInfo.InvariantCulture, out var days)
            && days is >= 1 and <= 366 ? days : null;
}
