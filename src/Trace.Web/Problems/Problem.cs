using System.Diagnostics;
using System.Text.Json;
using System.Text.Json.Serialization;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Time;

namespace Trace.Web.Problems;

/// <summary>The body of every refusal (RFC 9457, media type <c>application/problem+json</c>).</summary>
/// <param name="Type">Address of the page that explains the code.</param>
/// <param name="Code">Stable code of the first refusal.</param>
/// <param name="Refusals">All refusals, in a fixed order.</param>
/// <param name="Holds">The holds, when the gate refused.</param>
public sealed record ProblemDocument(
    string Type, string Title, int Status, string Detail, string Code, string? Field, IReadOnlyList<RefusalLine> Refusals,
    IReadOnlyList<Hold>? Holds, string TraceId);

public sealed record RefusalLine(string Code, string Detail, string? Field);

public static class Problem
{
    public const string MediaType = "application/problem+json";

    public static ProblemDocument Of(string traceId, params IReadOnlyList<Refusal> refusals)
    {
        var first = refusals[0];
        var code = RefusalCodes.All[first.Code];
        return new ProblemDocument(
            "/problems/" + first.Code, code.Title, code.Status, first.Detail, first.Code, first.Field,
            [.. refusals.Select(refusal => new RefusalLine(refusal.Code, refusal.Detail, refusal.Field))], first.Holds, traceId);
    }

    public static async Task Write(HttpContext context, params IReadOnlyList<Refusal> refusals)
    {
        var problem = Of(Activity.Current?.TraceId.ToString() ?? context.TraceIdentifier, refusals);
        context.Response.StatusCode = problem.Status;
        context.Response.Headers.CacheControl = "no-store";
        context.Response.ContentType = MediaType;
        await JsonSerializer.SerializeAsync(context.Response.Body, problem, ProblemJson.Default.ProblemDocument, context.RequestAborted);
    }

    public static IResult Result(params IReadOnlyList<Refusal> refusals) => new Written(refusals);

    public static IResult Result(string code, string detail, string? field = null) => new Written([new Refusal(code, detail, field)]);

    private sealed class Written(IReadOnlyList<Refusal> refusals) : IResult
    {
        public Task ExecuteAsync(HttpContext httpContext) => Write(httpContext, refusals);
    }
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(ProblemDocument))]
public sealed partial class ProblemJson : JsonSerializerContext;
