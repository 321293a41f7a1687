using Microsoft.AspNetCore.Http.HttpResults;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Tracing;
using Trace.Web.Access;
using Trace.Web.Endpoints;
using Trace.Web.Hosting;
using Trace.Web.Pages.Cases;
using Trace.Web.Pages.Charts;
using Trace.Web.Pages.Days;
using Trace.Web.Pages.Forms;
using Trace.Web.Pages.Inspections;
using Trace.Web.Pages.Labels;
using Trace.Web.Pages.Owner;
using Trace.Web.Pages.Products;
using Trace.Web.Pages.Templates;
using Trace.Web.Pages.Traces;
using Trace.Web.Scans;
using Trace.Web.Training;

namespace Trace.Web.Pages;

/// <summary>The pages for people.</summary>
public static class PageRoutes
{
    public static void MapPages(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/", () => TypedResults.Redirect("/bench")).AllowAnonymous().ExcludeFromDescription();
        routes.MapSigning();
        routes.MapGet("/bench", Bench).For(Roles.All).ExcludeFromDescription();
        routes.MapGet("/sites/{site}/lots/{lot}", OneLot).For(Roles.All).ExcludeFromDescription();
        routes.MapGet("/sites/{site}/lots", FindLot).For(Roles.All).ExcludeFromDescription();
        routes.MapGet("/sites/{site}/record", Forms).For(Roles.All).ExcludeFromDescription();
        routes.MapForms();
        routes.MapCorrect();
        routes.MapTraces();
        routes.MapDays();
        routes.MapOwner();
        routes.MapQuality();
        routes.MapCasePages();
        routes.MapInspections();
        routes.MapTraining();
        routes.MapKeeping();
        routes.MapExposure();
        routes.MapCharts();
        routes.MapProducts();
        routes.MapTemplates();
        routes.MapLogos();
        routes.MapLabelDesk();
        routes.MapPrinters();
        routes.MapPeople();
        routes.MapTablets();
        routes.MapSessions();
        routes.MapPasskeys();
    }

    private static async Task<IResult> Bench(HttpContext context, TraceApp app, string? site, string? done, string? id)
    {
        if (SiteOr(app, site) is not { } ledger) return UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        var view = await ledger.ReadAsync(state => BenchView.Of(state, frame.Now));
        return Page.Show<BenchPage>(new { Frame = frame, View = view, Done = Done.Of(done, id) });
    }

    private static async Task<IResult> OneLot(
        HttpContext context, TraceApp app, ScanBook scans, string site, string lot, string? done, string? id)
    {
        if (app.Site(site) is not { } ledger) return UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        if (!LotCode.IsValid(lot) || await ReadEndpoints.LotOf(app, ledger, lot) is not { } view) return Page.Refuse("lot.unknown", $"Site {ledger.Code} has no such lot.");
        var seen = await ledger.ReadAsync(state =>
            state.Find(lot) is { } found && TraceView.Of(state, found, TraceDirection.Both) is var trace
            ? new LotSight(
                trace, TracePicture.Of(state, trace, frame.Now), Core.Holds.HoldRules.EvidenceOf(state, [found], frame.Now),
                NextStep.Of(found, view.Summary.Holds), [.. NextStep.Possible(found)], PublicEndpoints.PathOf(state, found))
            : null);
        return seen is null
            ? Page.Refuse("lot.unknown")
            : Page.Show<LotPage>(new
            {
                Frame = frame,
                Lot = view,
                Sight = seen with { Scans = await ScansOf(frame, ledger, scans, lot) },
                Done = Done.Of(done, id),
            });
    }

    private static async Task<ScanView?> ScansOf(SiteFrame frame, SiteLedger ledger, ScanBook scans, string lot) =>
        (frame.Caller.Role & QualityRoutes.Readers) == 0 ? null : await ScanView.Of(ledger, lot, scans.Of(ledger.Code, lot));

    /// <summary>From the search field: a code leads to its page.</summary>
    private static IResult FindLot(TraceApp app, string site, string? code)
    {
        if (app.Site(site) is null) return UnknownSite(app);
        var wanted = (code ?? "").Trim().ToUpperInvariant();
        if (wanted.StartsWith("L ", StringComparison.Ordinal)) wanted = wanted[2..].Trim();
        return LotCode.IsValid(wanted)
            ? new SeeOther($"/sites/{site}/lots/{Uri.EscapeDataString(wanted)}")
            : Page.Refuse("lot.unknown", $"A code has {LotCode.Rule}.");
    }

    private static async Task<IResult> Forms(HttpContext context, TraceApp app, string site)
    {
        if (app.Site(site) is not { } ledger) return UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        return Page.Show<FormsPage>(new { Frame = frame, Forms = BenchForms.All.Where(form => frame.May(form.Operation)).ToList() });
    }

    /// <summary>The site asked for; the first one when none is.</summary>
    internal static SiteLedger? SiteOr(TraceApp app, string? site) => (site ?? app.UsualSite) is { } wanted
        ? app.Site(wanted) : null;

    internal static RazorComponentResult UnknownSite(TraceApp app) =>
        Page.Refuse("site.unknown", $"Sites: {string.Join(", ", app.Sites)}.");
}

/// <summary>What has just been recorded. Only a form that exists and an identity of our own form are shown; never text from an
/// address.</summary>
/// <param name="IsCorrection">Not the step itself was recorded but a correction of it.</param>
public sealed record Done(BenchForm Form, string? Id, bool IsCorrection = false)
{
    /// <summary>What stands before the operation's name when an entry of it was corrected.</summary>
    internal const string Correction = "correct:";

    public static Done? Of(string? operation, string? id)
    {
        var isCorrection = operation?.StartsWith(Correction, StringComparison.Ordinal) == true;
        return BenchForms.Find((isCorrection ? operation![Correction.Length..] : operation) ?? "") is { } form
            ? new Done(form, id is { Length: <= 12 } && id.All(char.IsAsciiLetterOrDigit) ? id : null, isCorrection)
            : null;
    }
}
