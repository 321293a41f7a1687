using System.Globalization;
using Trace.Core.Figures;
using Trace.Core.Operations;
using Trace.Web.Access;
using Trace.Web.Endpoints;
using Trace.Web.Hosting;
using Trace.Web.Printing;
using Trace.Web.Problems;
using Trace.Web.Views;

namespace Trace.Web.Pages.Days;

/// <summary>The day sheet: a page, a PDF, and the figures as JSON.</summary>
internal static class DayRoutes
{
    /// <summary>In the page's address, in place of a date.</summary>
    private const string Today = "today";

    internal static void MapDays(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/sites/{site}/days/{day}", Show).For(Roles.All).ExcludeFromDescription();
        var api = routes.MapGroup("/api/sites/{site}/days").WithTags("reads").For(Roles.All);
        api.MapGet("/{day}", Json).WithSummary("A day's sheet (yyyy-MM-dd, by the site's calendar): in, out, yield, losses, energy.").Produces<DaySheet>();
        api.MapGet("/{day}/sheet.pdf", Pdf).WithSummary("The day's sheet with its handover notes as PDF.")
            .Produces(StatusCodes.Status200OK, contentType: "application/pdf");
    }

    private static bool TryRead(string text, out DateOnly day) =>
        DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out day) && day.Year is >= 2000 and <= 2200;

    private static async Task<IResult> Show(HttpContext context, TraceApp app, string site, string day, string? done)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        var wanted = frame.Zone.DateOf(frame.Now);
        if (day != Today && !TryRead(day, out wanted)) return Page.Refuse("request.invalid", "The day is wanted as 2026-11-16, or as today.");
        return Page.Show<DayPage>(
            new { Frame = frame, View = await DayView.Of(app, ledger, wanted, frame.Now), Done = Done.Of(done, null) });
    }

    private static async Task<IResult> Json(TraceApp app, string site, string day)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        if (!TryRead(day, out var wanted)) return WrongDay();
        return TypedResults.Json((await DayView.Of(app, ledger, wanted, app.Clock.GetUtcNow())).Sheet, ViewJson.Default.DaySheet);
    }

    private static async Task<IResult> Pdf(HttpContext context, TraceApp app, string site, string day)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        if (!TryRead(day, out var wanted)) return WrongDay();
        var frame = await SiteFrame.Of(context, app, ledger);
        var view = await DayView.Of(app, ledger, wanted, frame.Now);
        var head = await ledger.ReadAsync(state => state.Head);
        return TypedResults.File(ReportPdf.Draw(DayDocument.Of(view, frame, head)), "application/pdf", $"day-{day}.pdf");
    }

    private static IResult WrongDay() => Problem.Result("request.invalid", "day: a date such as 2026-11-16 is wanted.", "day");
}
