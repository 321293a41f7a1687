using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Tracing;
using Trace.Web.Access;
using Trace.Web.Hosting;

namespace Trace.Web.Pages.Traces;

/// <summary>The trace of a lot as a picture with its tables.</summary>
internal static class TraceRoutes
{
    /// <summary>Lots that a picture without folds may have.</summary>
    internal const int MostInOnePicture = 2_000;

    internal static void MapTraces(this IEndpointRouteBuilder routes) =>
        routes.MapGet("/sites/{site}/lots/{lot}/trace", Show).For(Roles.All).ExcludeFromDescription();

    private static async Task<IResult> Show(HttpContext context, TraceApp app, string site, string lot, string? open, string? all)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        var seen = await ledger.ReadAsync(state =>
        {
            if (!LotCode.IsValid(lot) || state.Find(lot) is not { } found) return default;
            var trace = TraceView.Of(state, found, TraceDirection.Both);
            var isWhole = all is not null && trace.Lots.Count <= MostInOnePicture;
            return (Trace: trace, Picture: TracePicture.Of(state, trace, frame.Now, open, isWhole), IsOpened: isWhole || open is not null);
        });
        return seen.Trace is null
            ? Page.Refuse("lot.unknown", $"Site {ledger.Code} has no such lot.")
            : Page.Show<TracePage>(new { Frame = frame, seen.Trace, seen.Picture, seen.IsOpened });
    }
}
