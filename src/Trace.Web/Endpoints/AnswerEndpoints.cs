using System.Security.Cryptography;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Recall;
using Trace.Web.Hosting;
using Trace.Web.Pages;
using Trace.Web.Pages.Answers;
using Trace.Web.Pages.Forms;
using Trace.Web.Validation;
using Trace.Web.Views;
using Trace.Web.Wording;

namespace Trace.Web.Endpoints;

/// <summary>
/// Where a consignee answers a recall without an account: whoever has the address in the letter may, since it cannot be guessed. It shows
/// the consignee's own deliveries and nothing else.
/// </summary>
internal static class AnswerEndpoints
{
    internal static void MapAnswers(this IEndpointRouteBuilder open)
    {
        const string address = "/recall/{site}/{link}";
        open.MapGet(address, Show).RequireRateLimiting(RateLimits.Public).ExcludeFromDescription();
        open.MapPost(address, Take).RequireRateLimiting(RateLimits.Public).WithToken().ExcludeFromDescription();
    }

    private static async Task<IResult> Show(HttpContext context, string site, string link, TraceApp app) =>
        await Find(app, site, link) is { } found ? Page(context, found, [], []) : Unknown(context);

    private static async Task<IResult> Take(HttpContext context, string site, string link, TraceApp app)
    {
        if (await Find(app, site, link) is not { } found || app.Site(site) is not { } ledger) return Unknown(context);
        var words = WordsFor(context, found);
        var sent = await context.Request.ReadFormAsync(context.RequestAborted);
        var texts = AnswerPage.Fields.ToDictionary(field => field, field => sent[field].ToString().Trim());
        if (FormRoutes.KeyOf(sent) is not { } key) return Page(context, found, texts, [words["answer.again"]]);
        var counts = new int[AnswerPage.Counts.Length];
        for (var place = 0; place < counts.Length; place++)
        {
            var told = texts[AnswerPage.Counts[place]];
            if (told.Length > 0 && (!QuantityText.TryParseWhole(told, out counts[place], out _) || counts[place] < 0))
                return Page(context, found, texts, [words["answer.number"]]);
        }

        var now = app.Clock.GetUtcNow();
        var request = new AnswerRecall(
            found.Notice.Recall, found.Notice.Customer, counts[0], counts[1], counts[2], counts[3], counts[4],
            await ledger.ReadAsync(state => state.Zone.Local(now)), OrNull(texts["name"]), OrNull(texts["note"]));
        if (RequestRules.Check(request) is { Count: > 0 }) return Page(context, found, texts, [words["answer.again"]]);
        var caller = new Caller(found.Notice.Customer, "recall answer", Roles.None);
        var outcome = await app.Path.Run(ledger, ClosingRecalls.Answering, request, caller, app.Surroundings, "answer-" + key);
        if (outcome.IsRecorded && await Find(app, site, link) is { } recorded) return Page(context, recorded, [], [], isSent: true);
        var refusal = outcome.Refusals[0];
        return Page(
            context, found, texts,
            [
                refusal.Code == "recall.closed" ? words["answer.closed"] : refusal.Code == "complaint.too-many" ? words["complaint.refused"] : refusal.Field == "receivedPacks"
                    ? words.With("answer.more", found.Notice.Deliveries.Sum(one => one.Packs))
                    : words.With("answer.sum", (long)counts[1] + counts[2] + counts[3] + counts[4], counts[0]),
            ]);
    }

    private static string? OrNull(string text) => text.Length == 0 ? null : text;

    private static Microsoft.AspNetCore.Http.HttpResults.RazorComponentResult Page(
        HttpContext context, AnswerView view, Dictionary<string, string> texts, List<string> problems, bool isSent = false)
    {
        return Pages.Page.Show<AnswerPage>(
            new
            {
                View = view,
                Words = WordsFor(context, view),
                Key = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(16)),
                Texts = texts,
                Problems = problems,
                IsSent = isSent,
            },
            problems.Count == 0 ? StatusCodes.Status200OK : StatusCodes.Status422UnprocessableEntity);
    }

    /// <summary>The language that the reader chose; else that of the letter.</summary>
    private static PageWords WordsFor(HttpContext context, AnswerView view) =>
        PageWords.Find(context.Request.Query[AskedWords.Query].FirstOrDefault()) ?? PageWords.Find(view.Notice.Language) ?? context.Words();

    /// <summary>The consignee's deliveries of the whole scope as known now, also those that came in after the letter.</summary>
    private static async Task<AnswerView?> Find(TraceApp app, string site, string link)
    {
        if (link.Length is 0 or > 100 || app.Site(site) is not { } ledger) return null;
        return await ledger.ReadAsync(state =>
        {
            if (state.FindNoticeLink(link) is not { } found) return null;
            var standing = RecallStanding.Of(state, found.Recall).Consignees.FirstOrDefault(one => one.Customer == found.Notice.Customer);
            var notice = found.Notice with
            {
                Lines = standing is null
                    ? found.Notice.Lines
                    : [.. standing.Consignee.Deliveries.Select(one => new NoticeLine(one.Shipment, one.Lot, one.Packs))],
            };
            return new AnswerView(
                NoticeView.Of(state, found.Recall, notice, app.Settings.PublicUrl), standing?.Answer, found.Recall.Closed is not null,
                    state.Zone);
        });
    }

    private static Microsoft.AspNetCore.Http.HttpResults.RazorComponentResult Unknown(HttpContext context)
    {
        context.Response.Headers.CacheControl = "no-store";
        return Pages.Page.Show<UnknownAnswerPage>(new { Words = context.Words() }, StatusCodes.Status404NotFound);
    }
}
