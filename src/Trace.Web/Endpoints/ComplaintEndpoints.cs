using System.Security.Cryptography;
using Trace.Core;
using Trace.Core.Complaints;
using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Web.Hosting;
using Trace.Web.Pages;
using Trace.Web.Pages.Forms;
using Trace.Web.Validation;
using Trace.Web.Views;
using Trace.Web.Wording;

namespace Trace.Web.Endpoints;

/// <summary>
/// Whoever reads a lot's page may tell the producer what is wrong with it. Nobody is signed in; what protects the journal are the limits on
/// how many are taken.
/// </summary>
internal static class ComplaintEndpoints
{
    /// <summary>Who recorded it, as the journal says; the role of nobody.</summary>
    private static readonly Caller Stranger = new("somebody on the buyers' page", "buyers' page", Roles.None);

    internal static void MapComplaints(this IEndpointRouteBuilder open)
    {
        const string address = "/lot/{site}/{lot}/complaint";
        open.MapGet(address, Show).RequireRateLimiting(RateLimits.Public).ExcludeFromDescription();
        open.MapPost(address, Take).RequireRateLimiting(RateLimits.Public).WithToken().ExcludeFromDescription();
    }

    private static async Task<IResult> Show(HttpContext context, string site, string lot, TraceApp app) =>
        await Find(context, app, site, lot) is { } view ? Page(context, view, [], []) : Unknown(context);

    private static async Task<IResult> Take(HttpContext context, string site, string lot, TraceApp app)
    {
        if (await Find(context, app, site, lot) is not { } view || app.Site(site) is not { } ledger) return Unknown(context);
        var sent = await context.Request.ReadFormAsync(context.RequestAborted);
        var texts = ComplaintPage.Fields.ToDictionary(field => field, field => sent[field].ToString().Trim());
        var words = context.Words();
        if (FormRoutes.KeyOf(sent) is not { } key) return Page(context, view, texts, [words["complaint.again"]]);
        var problems = new List<string>();
        if (texts["what"].Length == 0) problems.Add(words["complaint.what.missing"]);
        int? packs = null;
        if (texts["packs"].Length > 0)
        {
            if (QuantityText.TryParseWhole(texts["packs"], out var counted, out _) && counted is > 0 and <= 1_000_000) packs = counted;
            else problems.Add(words["complaint.packs.wrong"]);
        }

        if (problems.Count > 0) return Page(context, view, texts, problems);
        var now = app.Clock.GetUtcNow();
        var request = new OpenComplaint(
            ComplaintChannel.BuyersPage, texts["what"],
            await ledger.ReadAsync(state => state.Zone.Local(now)),
            [.. Enum.GetValues<ComplaintHarm>().Where(harm => sent[ComplaintPage.FieldOf(harm)].Count > 0)],
            view.Lot, null, view.Pack, packs, OrNull(texts["storage"]), OrNull(texts["customer"]), null, OrNull(texts["contact"]));
        if (RequestRules.Check(request) is { Count: > 0 }) return Page(context, view, texts, [words["complaint.too-long"]]);
        var outcome = await app.Path.Run(ledger, Complaining.Opening, request, Stranger, app.Surroundings, "stranger-" + key);
        return outcome.Answer?.Id is { } id
            ? Pages.Page.Show<ComplaintPage>(new { Lot = view, Key = "", Reference = id, HasHarm = request.Harm!.Count > 0 })
            : Page(context, view, texts, [words["complaint.refused"]]);
    }

    private static string? OrNull(string text) => text.Length == 0 ? null : text;

    private static Microsoft.AspNetCore.Http.HttpResults.RazorComponentResult Page(
        HttpContext context, PublicLotView view, Dictionary<string, string> texts, List<string> problems) =>
        Pages.Page.Show<ComplaintPage>(
            new
            {
                Lot = view,
                Key = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(16)),
                Texts = texts,
                Harm = context.Request.HasFormContentType
                    ? Enum.GetValues<ComplaintHarm>().Where(harm => context.Request.Form[ComplaintPage.FieldOf(harm)].Count > 0).ToList()
                    : [],
                Problems = problems,
            },
            problems.Count == 0 ? StatusCodes.Status200OK : StatusCodes.Status422UnprocessableEntity);

    /// <summary>The lot, for whoever could open its page: by code, or by the number of one of its packs.</summary>
    private static Task<PublicLotView?> Find(HttpContext context, TraceApp app, string site, string code)
    {
        var given = context.Request.Query[PublicCode.Query] is [{ Length: <= 100 } one] ? one : null;
        var pack = context.Request.Query["pack"] is [{ Length: <= 20 } number] ? number : null;
        return PublicEndpoints.Find<PublicLotView>(app, site, code, _ => true, (state, lot, now) =>
        {
            var view = RecentPublicLots.Of(state, lot, now);
            if (pack is not null && PackSerials.Of(lot) is { } issued && PackSerials.PlaceOf(issued, pack) is not null)
                return view with { Pack = pack };
            return PublicCode.Opens(state, lot, given) ? view : null;
        });
    }

    private static Microsoft.AspNetCore.Http.HttpResults.RazorComponentResult Unknown(HttpContext context)
    {
        context.Response.Headers.Vary = "Accept-Language";
        return Pages.Page.Show<UnknownLotPage>(new { }, StatusCodes.Status404NotFound);
    }
}
