using System.Text.Json;
using Microsoft.AspNetCore.Http.Metadata;
using Trace.Core;
using Trace.Core.Corrections;
using Trace.Core.Operations;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Problems;
using Trace.Web.Validation;

namespace Trace.Web.Endpoints;

/// <summary>One route for each operation of the list of areas, all alike: who, body, shape, write path, answer.</summary>
public static class OperationEndpoints
{
    /// <summary>Who made the entry; refused unless that person is the one who is signed in. Left out, nothing is asked.</summary>
    internal const string RecordedBy = "Recorded-By";

    public static void MapOperations(this IEndpointRouteBuilder routes)
    {
        foreach (var operation in Areas.Operations)
        {
            Describe(
                routes.MapPost($"/api/sites/{{site}}/{operation.Name}", (HttpContext context, string site, TraceApp app) => Post(context, site, app, operation)),
                operation.Name, operation.Area, operation.Summary, operation.Roles, operation.RequestInfo.Type);
        }

        Describe(
            routes.MapPost("/api/sites/{site}/journal/correct", (HttpContext context, string site, TraceApp app) => Correct(context, site, app)),
            "journal/correct", "journal",
            "Corrects an entry: says what should have been recorded, or voids it with a null replacement. The old entry stays.",
            Roles.Office, typeof(CorrectEntry));
    }

    private static void Describe(RouteHandlerBuilder route, string name, string area, string summary, Roles roles, Type request)
    {
        route.WithName(name).WithTags(area).WithSummary($"{summary} Roles: {RolesOf(roles)}.").For(roles, name)
            .WithMetadata(new TakesJson(request))
            .Produces<Answer>(StatusCodes.Status201Created);
        foreach (var status in new[] { 400, 401, 403, 404, 409, 413, 415, 422, 503 })
            route.Produces<ProblemDocument>(status, Problem.MediaType);
    }

    private static async Task<IResult> Post(HttpContext context, string site, TraceApp app, Operation operation)
    {
        var caller = context.Caller();
        if (app.Site(site) is not { } ledger) return UnknownSite(app, site);
        if (KeyOf(context, out var key) is { } wrongKey) return Problem.Result(wrongKey);
        if (IsOfAnother(context, caller))
            return Problem.Result(new Refusal("sign-in.other-person", RefusalCodes.All["sign-in.other-person"].WayOut));
        var (body, unreadable) = await RequestBody.Read(context, operation.RequestInfo);
        if (unreadable is not null) return Problem.Result(unreadable);
        if (RequestRules.Check(body!) is { Count: > 0 } invalid) return Problem.Result(invalid);
        return Answered(await app.Path.Run(ledger, operation, (IRequest)body!, caller, app.Surroundings, key));
    }

    private static async Task<IResult> Correct(HttpContext context, string site, TraceApp app)
    {
        var caller = context.Caller();
        if (app.Site(site) is not { } ledger) return UnknownSite(app, site);
        if (KeyOf(context, out var key) is { } wrongKey) return Problem.Result(wrongKey);
        var (body, unreadable) = await RequestBody.Read(context, CorrectionsJson.Default.CorrectEntry);
        if (unreadable is not null) return Problem.Result(unreadable);
        var correction = (CorrectEntry)body!;
        if (RequestRules.Check(correction) is { Count: > 0 } invalid) return Problem.Result(invalid);
        var operation = Areas.Correcting(app.Journal.Get(site, correction.Seq)?.Entry.Type);
        IRequest? replacement = null;
        if (operation is not null && correction.Replacement is { ValueKind: not JsonValueKind.Null } element)
        {
            var (value, wrong) = RequestBody.Read(element, operation.RequestInfo, "replacement");
            if (wrong is not null) return Problem.Result(wrong);
            if (RequestRules.Check(value!) is { Count: > 0 } wrongs)
                return Problem.Result([.. wrongs.Select(refusal => refusal with { Field = "replacement." + refusal.Field })]);
            replacement = (IRequest)value!;
        }

        return Answered(await app.Path.Correct(ledger, correction, operation, replacement, caller, app.Surroundings, key));
    }

    public static IResult UnknownSite(TraceApp app, string site) =>
        Problem.Result("site.unknown", $"There is no site {(site.Length <= 20 ? site : "of that name")}. Sites: {string.Join(", ", app.Sites)}.");

    private static IResult Answered(Outcome outcome) => outcome.IsRecorded
        ? TypedResults.Text(outcome.AnswerText, "application/json", statusCode: StatusCodes.Status201Created)
        : Problem.Result(outcome.Refusals);

    public static string RolesOf(Roles roles) => string.Join(", ", Enum.GetValues<Roles>()
        .Where(role => role != Roles.None && (role & (role - 1)) == 0 && (roles & role) != 0).Select(role =>
            role.ToString().ToLowerInvariant()));

    private static Refusal? KeyOf(HttpContext context, out string? key)
    {
        key = null;
        if (!context.Request.Headers.TryGetValue("Idempotency-Key", out var values)) return null;
        key = values.ToString();
        return key.Length is > 0 and <= 100 && key.All(character => character is > ' ' and <= '~')
            ? null
            : new Refusal("request.key-invalid", RefusalCodes.All["request.key-invalid"].WayOut, "Idempotency-Key");
    }

    /// <summary>
    /// A tablet that had no network sends what it kept when there is one again, and somebody else may have signed in by then.
    /// Percent-encoded, since names are not ASCII.
    /// </summary>
    private static bool IsOfAnother(HttpContext context, Caller caller) =>
        context.Request.Headers[RecordedBy].ToString() is { Length: > 0 } name && Uri.UnescapeDataString(name) != caller.Person;

    private sealed class TakesJson(Type request) : IAcceptsMetadata
    {
        public IReadOnlyList<string> ContentTypes { get; } = ["application/json"];

        public Type? RequestType => request;

        public bool IsOptional => false;
    }
}
