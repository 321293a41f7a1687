using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Web.Hosting;
using Trace.Web.Pages;
using Trace.Web.Problems;
using Trace.Web.Views;

namespace Trace.Web.Endpoints;

/// <summary>What answers without sign-in: the lot page behind the label's QR code, health, and what the problem codes mean.</summary>
public static class PublicEndpoints
{
    public static void MapPublic(this IEndpointRouteBuilder routes)
    {
        var open = routes.MapGroup("").AllowAnonymous().WithTags("public");
        open.MapGet("/01/{gtin}/10/{lot}", ByGtin).RequireRateLimiting(RateLimits.Public).WithSummary("A pack lot by GS1 Digital Link: HTML, or JSON by 'Accept'.");
        open.MapGet("/lot/{site}/{lot}", ByCode).RequireRateLimiting(RateLimits.Public).WithSummary("A lot by the site's plain address: HTML, or JSON by 'Accept'.");
        open.MapPacks();
        open.MapComplaints();
        open.MapAnswers();
        open.MapGet("/health/live", () => TypedResults.Json(new HealthView("live", null), ViewJson.Default.HealthView))
            .WithSummary("The program runs.");
        open.MapGet("/health/ready", Ready).WithSummary("The journal takes entries; 503 and the reason when it does not.");
        open.MapGet("/problems/{code}", (string code) => RefusalCodes.All.TryGetValue(code, out var found)
                ? Page.Show<ProblemPage>(new { Code = found })
                : Problem.Result("not-found", "There is no such code."))
            .WithSummary("What a problem code means and the way out.").ExcludeFromDescription();
    }

    private static Microsoft.AspNetCore.Http.HttpResults.JsonHttpResult<HealthView> Ready(TraceApp app) => app.Journal.Stopped is { } stop
        ? TypedResults.Json(new HealthView("stopped", stop.Reason), ViewJson.Default.HealthView,
            statusCode: StatusCodes.Status503ServiceUnavailable)
        : TypedResults.Json(new HealthView("ready", null), ViewJson.Default.HealthView);

    private static async Task<IResult> ByGtin(HttpContext context, string gtin, string lot, TraceApp app)
    {
        if (Fits(gtin, out var wrong) is not { } fits) return wrong!;
        foreach (var site in app.Sites.Where(code => !SiteDescription.IsTrainingCode(code)))
        {
            if (await Find(context, app, site, lot, fits) is { } view) return await Show(context, view);
        }

        return Unknown(context);
    }

    /// <summary>Asks whether a product's GTIN is the one in the address; null when that is none, with the answer that says so.</summary>
    internal static Func<string, bool>? Fits(string gtin, out IResult? wrong)
    {
        wrong = null;
        if (Gtin.TryParse(gtin, out var wanted, out var problem) && gtin.Length == 14)
            return gtinOf => Gtin.TryParse(gtinOf, out var own, out _) && own.Equals(wanted);
        wrong = Problem.Result("request.invalid", problem is { Length: > 0 } ? problem : "A GTIN in an address has 14 digits.", "gtin");
        return null;
    }

    private static async Task<IResult> ByCode(HttpContext context, string site, string lot, TraceApp app) =>
        await Find(context, app, site, lot, _ => true) is { } view ? await Show(context, view) : Unknown(context);

    private static Task<PublicLotView?> Find(HttpContext context, TraceApp app, string site, string code, Func<string, bool> fits)
    {
        var given = context.Request.Query[PublicCode.Query] is [{ Length: <= 100 } one] ? one : null;
        return Find<PublicLotView>(app, site, code, fits, (state, lot, now) => PublicCode.Opens(state, lot, given)
            ? RecentPublicLots.Of(state, lot, now)
            : null);
    }

    /// <summary>Shows a lot that buyers may know of, if there is one and it fits.</summary>
    internal static async Task<T?> Find<T>(
        TraceApp app, string site, string code, Func<string, bool> fits, Func<SiteState, Lot, DateTimeOffset, T?> show)
        where T : class
    {
        if (!LotCode.IsValid(code) || app.Site(site) is not { } ledger) return null;
        var now = app.Clock.GetUtcNow();
        return await ledger.ReadAsync(state =>
            state.Find(code) is { } lot && lot.Kind >= Core.Specifications.LotKind.Dried
                && fits(state.SpecificationOf(lot).Label.Gtin ?? "")
                ? show(state, lot, now)
                : null);
    }

    /// <summary>Path of a lot's page for buyers; null for a lot that has none, or none yet.</summary>
    internal static string? PathOf(SiteState state, Lot lot)
    {
        var code = state.Site.PublicCodes == PublicCode.Unguessable ? PublicCode.Of(lot) : null;
        return lot.Kind >= Core.Specifications.LotKind.Dried && PublicCode.Opens(state, lot, code)
            ? PublicCode.AddTo($"/lot/{state.Site.Code}/{lot.Code}", code)
            : null;
    }

    private static async Task<IResult> Show(HttpContext context, PublicLotView view)
    {
        context.Response.Headers.Vary = "Accept, Accept-Language";
        context.Response.Headers.CacheControl = "no-cache";
        if (WantsLinkedData(context)) return LinkedData(context, view);
        return WantsJson(context) ? TypedResults.Json(view, ViewJson.Default.PublicLotView) : await DrawnPages.Of(context, view);
    }

    /// <summary>The same for a lot that is not there and one that does not open: nobody learns which codes are taken.</summary>
    private static IResult Unknown(HttpContext context)
    {
        context.Response.Headers.Vary = "Accept, Accept-Language";
        return WantsJson(context)
            ? Problem.Result("lot.unknown", RefusalCodes.All["lot.unknown"].WayOut, "lot")
            : Page.Show<UnknownLotPage>(new { }, StatusCodes.Status404NotFound);
    }

    internal static bool WantsLinkedData(HttpContext context) =>
        context.Request.Headers.Accept.ToString().Contains(PublicLinkedData.MediaType, StringComparison.OrdinalIgnoreCase);

    /// <summary>Under the address that labels lead to, whatever host the caller named.</summary>
    internal static IResult LinkedData(HttpContext context, PublicLotView view)
    {
        var site = context.RequestServices.GetRequiredService<TraceApp>().Settings.PublicUrl;
        return TypedResults.Bytes(PublicLinkedData.Of(view, site.TrimEnd('/') + context.Request.Path), PublicLinkedData.MediaType);
    }

    internal static bool WantsJson(HttpContext context)
    {
        var accept = context.Request.Headers.Accept.ToString();
        return accept.Contains("json", StringComparison.OrdinalIgnoreCase) && !accept.Contains("text/html", StringComparison.OrdinalIgnoreCase);
    }
}
