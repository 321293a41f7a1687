using Microsoft.Net.Http.Headers;
using System.Security.Cryptography;
using System.Text.Json;
using Trace.Core.Access;
using Trace.Core.Operations;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Problems;
using Trace.Web.Views;
using Trace.Web.Wording;

namespace Trace.Web.Endpoints;

/// <summary>What the screen under <c>/now/</c> asks for. The screen itself is plain files, so that a tablet can keep them.</summary>
internal static class BenchEndpoints
{
    internal static void MapBenchNow(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/api/bench", Now).WithTags("reads").For(Roles.All, personsOnly: true)
            .WithSummary("What stands at the bench, what is next with it, and what is usual. 'site' left out: the first site.").Produces<BenchNow>();
        routes.MapGet("/now/words/{language}.json", Words).AllowAnonymous().ExcludeFromDescription();
    }

    private static async Task<IResult> Now(HttpContext context, TraceApp app, string? site)
    {
        if ((site ?? app.UsualSite) is not { } code || app.Site(code) is not { } ledger)
            return OperationEndpoints.UnknownSite(app, site ?? "");
        var caller = context.Caller();
        IReadOnlyList<string> people = Signing.TabletOf(context) is null
            ? []
            : [.. from person in app.Access.Persons where person.IsActive && (person.Role.ToRoles() & Roles.Bench) != 0 select person.Name];
        var now = app.Clock.GetUtcNow();
        var view = await ledger.ReadAsync(state => BenchNow.Of(state, caller, people, now));
        return TypedResults.Json(view, ViewJson.Default.BenchNow);
    }

    private static IResult Words(string language)
    {
        if (PageWords.Find(language) is not { } words) return Problem.Result("not-found", "There is no such language.");
        var text = JsonSerializer.SerializeToUtf8Bytes(words.OfTheBench, ViewJson.Default.IReadOnlyDictionaryStringString);
        var tag = new EntityTagHeaderValue($"\"{Convert.ToHexStringLower(SHA256.HashData(text)[..8])}\"");
        return TypedResults.Bytes(text, "application/json", entityTag: tag);
    }
}
