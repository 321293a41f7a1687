using System.Globalization;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Recall;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Pages;
using Trace.Web.Problems;
using Trace.Web.Views;

namespace Trace.Web.Endpoints;

/// <summary>Complaints, what they may be about, and how far a recall would reach, as JSON.</summary>
internal static class CaseEndpoints
{
    internal const int LongestClue = 500;

    internal static void MapCases(this IEndpointRouteBuilder routes)
    {
        var site = routes.MapGroup("/api/sites/{site}").WithTags("reads").For(QualityRoutes.Readers, "Complaints and recalls");
        site.MapGet("/complaints", Complaints).WithSummary("Complaints, newest first. open=true: those that are not closed.").Produces<ComplaintsView>();
        site.MapGet("/complaints/trend", Trend).WithSummary("Complaints per 10,000 packs by month, with control limits. months: 1 to 60.").Produces<ComplaintTrend>();
        site.MapGet("/complaints/{id}", OneComplaint).WithSummary("A complaint with what was done, lots that may be meant, and sister lots.").Produces<ComplaintView>();
        site.MapGet("/actions", Actions).WithSummary("Corrective and preventive actions.").Produces<ActionsView>();
        site.MapGet("/search/lots", Search).WithSummary("Lots that may be meant, ranked with reasons. text: what can be read; date: yyyy-MM-dd; customer: a part of the name.").Produces<LotMatchesView>();
        site.MapGet("/lots/{lot}/sisters", Sisters).WithSummary("Lots made under like conditions, ranked by what they share.").Produces<SisterLotsView>();
        site.MapGet("/lots/{lot}/scopes", Scopes).WithSummary("Up to three recall scopes side by side. cause: the lot taken as the shared cause.").Produces<RecallScopes>();
        site.MapGet("/recalls", Recalls).WithSummary("All recalls, withdrawals and drills, newest first.").Produces<RecallsView>();
    }

    private static async Task<IResult> Complaints(string site, TraceApp app, bool open = false)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var view = await ledger.ReadAsync(state =>
            new ComplaintsView([.. state.Complaints.Where(one => !open || one.Closed is null).Reverse()]));
        return TypedResults.Json(view, ViewJson.Default.ComplaintsView);
    }

    private static async Task<IResult> Trend(string site, TraceApp app, int months = 12)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        if (months is < 1 or > 60) return Problem.Result("request.invalid", "months: 1 to 60 is wanted.", "months");
        var now = app.Clock.GetUtcNow();
        return TypedResults.Json(await ledger.ReadAsync(state => ComplaintTrend.Of(state, months, now)), ViewJson.Default.ComplaintTrend);
    }

    private static async Task<IResult> OneComplaint(string site, string id, TraceApp app)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var view = await ledger.ReadAsync(state => ComplaintView.Of(state, id, null));
        return view is null
            ? Problem.Result("complaint.unknown", $"Site {site} has no such complaint.", "id")
            : TypedResults.Json(view, ViewJson.Default.ComplaintView);
    }

    private static async Task<IResult> Actions(string site, TraceApp app)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        return TypedResults.Json(new ActionsView(await ledger.ReadAsync(state => state.Actions.ToList())), ViewJson.Default.ActionsView);
    }

    private static async Task<IResult> Search(string site, TraceApp app, string? text = null, string? date = null, string? customer = null)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        if (ClueOf(text, date, customer, out var refusal) is not { } clue) return Problem.Result(refusal!);
        var found = await ledger.ReadAsync(state => LotSearch.Find(state, clue));
        return TypedResults.Json(new LotMatchesView(found), ViewJson.Default.LotMatchesView);
    }

    /// <summary>Reads what somebody knows of a lot; null, with the reason, when it cannot be read.</summary>
    internal static LotClue? ClueOf(string? text, string? date, string? customer, out Refusal? refusal)
    {
        refusal = null;
        if ((text?.Length ?? 0) > LongestClue || (customer?.Length ?? 0) > LongestClue)
            refusal = new("request.invalid", $"text, customer: at most {LongestClue} characters are wanted.", "text");
        DateOnly? day = null;
        if (!string.IsNullOrWhiteSpace(date))
        {
            if (DateOnly.TryParseExact(date, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var read)
                && read.Year is >= 2000 and <= 2200)
                day = read;
            else refusal = new("request.invalid", "date: a date such as 2026-11-16 is wanted.", "date");
        }

        return refusal is null ? new LotClue(text, day, string.IsNullOrWhiteSpace(customer) ? null : customer.Trim()) : null;
    }

    private static async Task<IResult> Sisters(string site, string lot, TraceApp app)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var sisters = await ledger.ReadAsync(state => state.Find(lot) is { } found ? SisterLots.Of(state, found) : null);
        return sisters is null
            ? ReadEndpoints.UnknownLot(site, lot)
            : TypedResults.Json(new SisterLotsView(lot, sisters), ViewJson.Default.SisterLotsView);
    }

    private static async Task<IResult> Scopes(string site, string lot, TraceApp app, string? cause = null)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var now = app.Clock.GetUtcNow();
        var (scopes, isCause) = await ledger.ReadAsync(state => state.Find(lot) is not { } found
            ? (null, false)
            : cause is not null && state.Find(cause) is null ? (null, true)
            : (RecallScopes.Of(state, found, cause is null ? null : state.Find(cause), now), false));
        if (isCause) return Problem.Result("lot.unknown", $"cause: site {site} has no such lot.", "cause");
        return scopes is null ? ReadEndpoints.UnknownLot(site, lot) : TypedResults.Json(scopes, ViewJson.Default.RecallScopes);
    }

    private static async Task<IResult> Recalls(string site, TraceApp app)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var lines = await ledger.ReadAsync(state => state.Recalls.Values.OrderByDescending(one => one.Seq)
            .Select(one => new RecallLine(one.Id, one.Kind, one.Reason, one.Lots, one.OpenedAt, one.OpenedBy, one.Closed?.At)).ToList());
        return TypedResults.Json(new RecallsView(lines), ViewJson.Default.RecallsView);
    }
}
