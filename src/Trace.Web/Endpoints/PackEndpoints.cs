using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Web.Hosting;
using Trace.Web.Pages;
using Trace.Web.Problems;
using Trace.Web.Scans;
using Trace.Web.Views;

namespace Trace.Web.Endpoints;

/// <summary>
/// The page of one pack, behind the code on a label with a number of its own. The number opens it, no other code is asked for.
/// </summary>
internal static class PackEndpoints
{
    internal static void MapPacks(this IEndpointRouteBuilder open)
    {
        open.MapGet($"/01/{{gtin}}/10/{{lot}}/{DigitalLink.Serial}/{{serial}}", ByGtin).RequireRateLimiting(RateLimits.Public)
            .WithSummary("A pack by GS1 Digital Link: HTML, or JSON by 'Accept'; 404 for a number that was never issued.").Produces<PublicLotView>();
        open.MapGet($"/lot/{{site}}/{{lot}}/{DigitalLink.Serial}/{{serial}}", ByCode).RequireRateLimiting(RateLimits.Public)
            .WithSummary("A pack by the site's plain address: HTML, or JSON by 'Accept'; 404 for a number that was never issued.").Produces<PublicLotView>();
    }

    private static async Task<IResult> ByGtin(HttpContext context, string gtin, string lot, string serial, TraceApp app, ScanBook scans)
    {
        if (PublicEndpoints.Fits(gtin, out var wrong) is not { } fits) return wrong!;
        foreach (var site in app.Sites.Where(code => !SiteDescription.IsTrainingCode(code)))
        {
            if (await Find(app, site, lot, fits) is { } found) return await Show(context, site, lot, serial, found, scans);
        }

        return Unknown(context, serial);
    }

    private static async Task<IResult> ByCode(HttpContext context, string site, string lot, string serial, TraceApp app, ScanBook scans) =>
        await Find(app, site, lot, _ => true) is { } found
            ? await Show(context, site, lot, serial, found, scans)
            : Unknown(context, serial);

    /// <summary>Only a lot whose packs have numbers.</summary>
    private static Task<NumberedLot?> Find(TraceApp app, string site, string code, Func<string, bool> fits) =>
        PublicEndpoints.Find<NumberedLot>(app, site, code, fits, (state, lot, now) =>
            PackSerials.Of(lot) is { } issued ? new(RecentPublicLots.Of(state, lot, now), issued) : null);

    private static async Task<IResult> Show(HttpContext context, string site, string lot, string serial, NumberedLot found, ScanBook scans)
    {
        // A number is worked out outside the site's lock: strangers may ask as often as they like.
        var number = Written(serial);
        if (PackSerials.PlaceOf(found.Issued, number) is not { } place)
        {
            scans.SawUnknown(site, lot, !PackSerials.IsWellFormed(number));
            return Unknown(context, serial);
        }

        scans.Saw(site, lot, place);
        context.Response.Headers.Vary = "Accept, Accept-Language";
        context.Response.Headers.CacheControl = "no-cache";
        if (PublicEndpoints.WantsLinkedData(context)) return PublicEndpoints.LinkedData(context, found.View with { Pack = number });
        return PublicEndpoints.WantsJson(context)
            ? TypedResults.Json(found.View with { Pack = number }, ViewJson.Default.PublicLotView)
            : await DrawnPages.OfPack(context, found.View, number);
    }

    /// <summary>The same for a number, a lot and a site that are not there: nobody learns which lots there are.</summary>
    private static IResult Unknown(HttpContext context, string serial)
    {
        context.Response.Headers.Vary = "Accept, Accept-Language";
        return PublicEndpoints.WantsJson(context)
            ? Problem.Result("pack.unknown", RefusalCodes.All["pack.unknown"].WayOut, "serial")
            : Page.Show<UnknownPackPage>(new { IsMistyped = !PackSerials.IsWellFormed(Written(serial)) }, StatusCodes.Status404NotFound);
    }

    /// <summary>Small letters are forgiven to whoever types.</summary>
    private static string Written(string serial) => serial.Length == PackSerials.Length ? serial.ToUpperInvariant() : serial;

    private sealed record NumberedLot(PublicLotView View, IssuedSerials Issued);
}
