using Trace.Core.Journal;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Figures;
using Trace.Core.Specifications;
using Trace.Core.Tracing;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Pages;
using Trace.Web.Problems;
using Trace.Web.Views;

namespace Trace.Web.Endpoints;

/// <summary>What signed-in people and keys may read, as JSON.</summary>
public static class ReadEndpoints
{
    public static void MapReads(this IEndpointRouteBuilder routes)
    {
        var site = routes.MapGroup("/api/sites/{site}").WithTags("reads").For(Roles.All);
        site.MapGet("/lots", Lots).WithSummary("Lots, newest first. Filter by kind; go on with 'before', the code in 'next'.").Produces<LotsView>();
        site.MapGet("/lots/{lot}", OneLot).WithSummary("A lot with its masses, holds, entries and prints.").Produces<LotView>();
        site.MapGet("/lots/{lot}/holds", Holds).WithSummary("What holds the lot now, why, and what clears it.").Produces<HoldsView>();
        site.MapGet("/lots/{lot}/trace", TraceOf).WithSummary("What the lot came from and went into, with masses and consignees. direction: back, forward or both.").Produces<TraceView>();
        site.MapGet("/products", Products).WithSummary("All versions of all product specifications.").Produces<SpecificationsView>();
        site.MapGet("/keeping", Keeping).WithSummary("How long each packaging keeps a product dry, with range and weakest input. Fields as in the question of the answer.")
            .Produces<KeepingComparison>().For(KeepingRoutes.Readers, "Keeping times");
        site.MapGet("/journal", Journal).WithSummary("Journal entries after a sequence number, in order.").Produces<EntriesView>()
            .For(Roles.Office | Roles.Inspector, "The journal");
    }

    /// <summary>The entries of a lot with what corrects them; shared with the lot's page.</summary>
    public static async Task<LotView?> LotOf(TraceApp app, SiteLedger ledger, string code)
    {
        var now = app.Clock.GetUtcNow();
        var seen = await ledger.ReadAsync(state => state.Find(code) is { } lot
            ? new
            {
                Summary = LotSummary.Of(state, lot, now) with { NetQuantity = NetQuantityReport.InFull(state, lot, now) },
                Prints = lot.Prints.ToList(),
                Labels = LabelAccount.Of(lot),
                Figures = LotFigures.Of(state, lot),
                Corrections = CorrectedBy(state),
            }
            : null);
        if (seen is null) return null;
        var entries = new List<EntryView>();
        for (long? after = 0; after is not null;)
        {
            var page = app.Journal.Query(new EntryQuery(ledger.Code, Lot: code, After: after.Value, Limit: 500));
            entries.AddRange(page.Entries.Select(entry => EntryView.Of(entry, seen.Corrections.GetValueOrDefault(entry.Seq))));
            after = page.Next;
        }

        return new LotView(seen.Summary, entries, seen.Prints, seen.Figures, seen.Labels);
    }

    private static Dictionary<long, long?> CorrectedBy(SiteState state) =>
        state.Corrections.GroupBy(correction => correction.Corrects).ToDictionary(group => group.Key, group => (long?)group.Last().Seq);

    private static async Task<IResult> Lots(string site, TraceApp app, string? kind = null, string? before = null, int limit = 100)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        LotKind? wanted = null;
        if (kind is not null)
        {
            if (!Enum.TryParse<LotKind>(kind, ignoreCase: true, out var parsed) || !char.IsAsciiLetter(kind[0]))
                return Problem.Result("request.invalid", "kind: harvest, sanitised, dried, bulk or packed is wanted.", "kind");
            wanted = parsed;
        }

        if (limit is < 1 or > 500) return Problem.Result("request.invalid", "limit: 1 to 500 is wanted.", "limit");
        var now = app.Clock.GetUtcNow();
        var view = await ledger.ReadAsync(state =>
        {
            var start = before is null ? state.Lots.Count : state.Find(before)?.Index;
            if (start is null) return null;
            var page = new List<LotSummary>();
            var index = start.Value - 1;
            for (; index >= 0 && page.Count < limit; index--)
            {
                if (wanted is null || state.Lots[index].Kind == wanted) page.Add(LotSummary.Of(state, state.Lots[index], now));
            }

            return new LotsView(page, index >= 0 && page.Count > 0 ? page[^1].Lot : null);
        });
        return view is null ? UnknownLot(site, before!) : TypedResults.Json(view, ViewJson.Default.LotsView);
    }

    private static async Task<IResult> OneLot(string site, string lot, TraceApp app)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        return await LotOf(app, ledger, lot) is { } view ? TypedResults.Json(view, ViewJson.Default.LotView) : UnknownLot(site, lot);
    }

    private static async Task<IResult> Holds(string site, string lot, TraceApp app)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var now = app.Clock.GetUtcNow();
        var holds = await ledger.ReadAsync(state => state.Find(lot) is { } found ? Core.Holds.HoldRules.StandingOn(state, found, now)
            : null);
        return holds is null ? UnknownLot(site, lot) : TypedResults.Json(new HoldsView(lot, holds), ViewJson.Default.HoldsView);
    }

    private static async Task<IResult> TraceOf(string site, string lot, TraceApp app, string direction = "both")
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        if (!Enum.TryParse<TraceDirection>(direction, ignoreCase: true, out var wanted) || !char.IsAsciiLetter(direction[0]))
            return Problem.Result("request.invalid", "direction: back, forward or both is wanted.", "direction");
        var view = await ledger.ReadAsync(state => state.Find(lot) is { } found ? TraceView.Of(state, found, wanted) : null);
        return view is null ? UnknownLot(site, lot) : TypedResults.Json(view, ViewJson.Default.TraceView);
    }

    private static async Task<IResult> Products(string site, TraceApp app)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var lines = await ledger.ReadAsync(state => state.Specifications.Products
            .SelectMany(product => state.Specifications.Versions(product).Select(version => new SpecificationLine(
                product, version.Version, version.WrittenBy, version.ApprovedBy, version.ApprovedAt, version.Specification)))
            .ToList());
        return TypedResults.Json(new SpecificationsView(lines), ViewJson.Default.SpecificationsView);
    }

    private static async Task<IResult> Keeping(HttpContext context, string site, TraceApp app)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var (question, refusals) = KeepingRoutes.Asked(name => context.Request.Query[name].FirstOrDefault());
        if (refusals.Count > 0) return Problem.Result(refusals);
        var now = app.Clock.GetUtcNow();
        var view = await ledger.ReadAsync(state => KeepingComparison.Of(state, question, state.Zone.DateOf(now)));
        return TypedResults.Json(view, ViewJson.Default.KeepingComparison);
    }

    private static async Task<IResult> Journal(string site, TraceApp app, long after = 0, int limit = 100)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        if (after < 0) return Problem.Result("request.invalid", "after: a sequence number from 0 is wanted.", "after");
        if (limit is < 1 or > 500) return Problem.Result("request.invalid", "limit: 1 to 500 is wanted.", "limit");
        var corrections = await ledger.ReadAsync(CorrectedBy);
        var page = app.Journal.Query(new EntryQuery(site, After: after, Limit: limit));
        return TypedResults.Json(
            new EntriesView([.. page.Entries.Select(entry => EntryView.Of(entry, corrections.GetValueOrDefault(entry.Seq)))], page.Next),
            ViewJson.Default.EntriesView);
    }

    public static IResult UnknownLot(string site, string lot) =>
        Problem.Result("lot.unknown", $"Site {site} has no lot {(LotCode.IsValid(lot) ? lot : "of that name")}. Check the code character by character.", "lot");
}
