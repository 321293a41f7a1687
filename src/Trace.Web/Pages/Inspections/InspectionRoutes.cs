using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Tracing;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Printing;
using Trace.Web.Reports;

namespace Trace.Web.Pages.Inspections;

/// <summary>
/// What is opened to inspectors: the list for the office, and the pages at secret addresses, which read agreed lots and can write nothing.
/// </summary>
internal static class InspectionRoutes
{
    internal static void MapInspections(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/sites/{site}/inspections", All).For(QualityRoutes.Readers, "This page").ExcludeFromDescription();
        var open = routes.MapGroup("/inspection/{site}/{link}").AllowAnonymous().RequireRateLimiting(RateLimits.Public).ExcludeFromDescription();
        open.MapGet("", One);
        open.MapGet("/{lot}/{file}", Document);
    }

    private static async Task<IResult> All(HttpContext context, TraceApp app, string site, string? done, string? id)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        var passes = await ledger.ReadAsync(state => state.Inspections.Reverse().ToList());
        return Page.Show<InspectionsPage>(
            new
            {
                Frame = frame,
                Passes = passes,
                BaseUrl = app.Settings.PublicUrl,
                Fingerprint = BundleSigner.Of(app.Settings.DataFolder).Fingerprint,
                Done = Done.Of(done, id),
            });
    }

    private static async Task<IResult> One(HttpContext context, TraceApp app, string site, string link)
    {
        context.Response.Headers.CacheControl = "no-store";
        if (await Find(app, site, link) is not { } found) return Over();
        var now = app.Clock.GetUtcNow();
        var view = await found.Ledger.ReadAsync(state => new InspectionView(
            state.Site.Code, state.Site.Name, state.Site.IsTraining, found.Pass, state.Zone.Local(found.Pass.Until)
                .ToString("yyyy-MM-dd HH:mm zzz", System.Globalization.CultureInfo.InvariantCulture),
            [.. found.Pass.Lots.Select(state.Find).OfType<Lot>().Select(lot => LotSummary.Of(state, lot, now))],
            BundleSigner.Of(app.Settings.DataFolder).Fingerprint));
        return Page.Show<InspectionPage>(new { View = view });
    }

    private static async Task<IResult> Document(HttpContext context, TraceApp app, string site, string link, string lot, string file)
    {
        context.Response.Headers.CacheControl = "no-store";
        if (await Find(app, site, link) is not { } found || !found.Pass.Lots.Contains(lot)) return Over();
        var now = app.Clock.GetUtcNow();
        switch (file)
        {
            case "record.pdf" when await BatchRecord.Of(app, found.Ledger, lot) is { } record:
                return TypedResults.File(ReportPdf.Draw(record), "application/pdf", $"{lot}-record.pdf");
            case "trace.pdf":
                var document = await found.Ledger.ReadAsync(state => state.Find(lot) is { } one
                    ? TraceDocument.Of(state, one, state.Zone.Local(now)) : null);
                return document is null ? Over() : TypedResults.File(ReportPdf.Draw(document), "application/pdf", $"{lot}-trace.pdf");
            case "bundle.zip" when await LotBundles.OfLot(app, found.Ledger, lot, now) is { } bundle:
                return TypedResults.File(bundle, "application/zip", $"{lot}-bundle.zip");
            default:
                return Over();
        }
    }

    /// <summary>The same for an address that never was and one that is over: nobody learns which were given.</summary>
    private static Microsoft.AspNetCore.Http.HttpResults.RazorComponentResult Over() =>
        Page.Show<InspectionOverPage>(new { }, StatusCodes.Status404NotFound);

    private static async Task<(SiteLedger Ledger, InspectionPass Pass)?> Find(TraceApp app, string site, string link)
    {
        if (link.Length is 0 or > 100 || app.Site(site) is not { } ledger) return null;
        var now = app.Clock.GetUtcNow();
        var pass = await ledger.ReadAsync(state => state.Inspections.FirstOrDefault(one => one.Link == link && one.IsGood(now)));
        return pass is null ? null : (ledger, pass);
    }
}

/// <summary>What an inspector sees.</summary>
public sealed record InspectionView(
    string SiteCode, string Site, bool IsTraining, InspectionPass Pass, string Until, IReadOnlyList<LotSummary> Lots, string Fingerprint);
