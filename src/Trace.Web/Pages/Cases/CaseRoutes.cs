using Trace.Core.Lots;
using Trace.Core.Recall;
using Trace.Web.Access;
using Trace.Web.Endpoints;
using Trace.Web.Hosting;
using Trace.Web.Views;

namespace Trace.Web.Pages.Cases;

/// <summary>Pages of complaints, of what follows from them, and of the scopes before a recall is decided.</summary>
internal static class CaseRoutes
{
    private const int Months = 12;

    internal static void MapCasePages(this IEndpointRouteBuilder routes)
    {
        var site = routes.MapGroup("/sites/{site}").For(QualityRoutes.Readers, "This page").ExcludeFromDescription();
        site.MapGet("/complaints", All);
        site.MapGet("/complaints/{id}", One);
        site.MapGet("/lots/{lot}/scopes", Scopes);
        site.MapGet("/lots/{lot}/balance", Balance);
        site.MapGet("/actions", Actions);
    }

    private static async Task<IResult> All(HttpContext context, TraceApp app, string site)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        var (complaints, trend) = await ledger.ReadAsync(state =>
            (state.Complaints.Reverse().ToList(), ComplaintTrend.Of(state, Months, frame.Now)));
        return Page.Show<ComplaintsPage>(new { Frame = frame, Complaints = complaints, Trend = trend });
    }

    private static async Task<IResult> One(
        HttpContext context, TraceApp app, string site, string id, string? text, string? date, string? customer, string? done)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        var isAsked = text is not null || date is not null || customer is not null;
        var clue = CaseEndpoints.ClueOf(text, date, customer, out var refusal);
        var view = await ledger.ReadAsync(state => ComplaintView.Of(state, id, isAsked ? clue : null));
        return view is null
            ? Page.Refuse("complaint.unknown", $"Site {ledger.Code} has no such complaint.")
            : Page.Show<ComplaintCasePage>(
                new
                {
                    Frame = frame,
                    View = view,
                    Text = text,
                    Date = date,
                    Customer = customer,
                    Problem = refusal?.Detail,
                    Done = Done.Of(done, id)
                });
    }

    private static async Task<IResult> Scopes(HttpContext context, TraceApp app, string site, string lot, string? cause, string? complaint)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        var (scopes, told) = await ledger.ReadAsync(state => state.Find(lot) is { } found
            ? (RecallScopes.Of(state, found, cause is null ? null : state.Find(cause), frame.Now), complaint is null ? null
                : state.FindComplaint(complaint))
            : (null, null));
        return scopes is null
            ? Page.Refuse("lot.unknown", $"Site {ledger.Code} has no such lot.")
            : Page.Show<ScopesPage>(new { Frame = frame, Scopes = scopes, Complaint = told });
    }

    private static async Task<IResult> Balance(HttpContext context, TraceApp app, string site, string lot)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        return await LotBalanceView.Of(app, ledger, lot) is { } view
            ? Page.Show<BalancePage>(new { Frame = frame, View = view })
            : Page.Refuse("lot.unknown", $"Site {ledger.Code} has no such lot.");
    }

    private static async Task<IResult> Actions(HttpContext context, TraceApp app, string site, string? done, string? id)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        var actions = await ledger.ReadAsync(state => state.Actions.ToList());
        return Page.Show<ActionsPage>(new { Frame = frame, Actions = actions, Done = Done.Of(done, id) });
    }
}
