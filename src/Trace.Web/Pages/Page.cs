using System.Diagnostics.CodeAnalysis;
using Microsoft.AspNetCore.Antiforgery;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http.HttpResults;
using Trace.Core.Operations;
using Trace.Web.Hosting;
using Trace.Web.Problems;

namespace Trace.Web.Pages;

/// <summary>Server-rendered pages from ordinary routes: no script needed.</summary>
public static class Page
{
    public static RazorComponentResult Show<[DynamicallyAccessedMembers(DynamicallyAccessedMemberTypes.All)] TPage>(
        object parameters, int status = StatusCodes.Status200OK)
        where TPage : IComponent => new RazorComponentResult<TPage>(parameters) { StatusCode = status };

    /// <summary>A refusal as a page, with its status.</summary>
    public static RazorComponentResult Refuse(string code, string? detail = null) =>
        Show<ProblemPage>(new { Code = RefusalCodes.All[code], Detail = detail }, RefusalCodes.All[code].Status);

    /// <summary>A page for whoever reads with a browser, a problem document for everybody else.</summary>
    public static Task WriteProblem(HttpContext context, Refusal refusal)
    {
        if (context.Request.Path.StartsWithSegments("/api", StringComparison.Ordinal) || !IsRead(context))
            return Problem.Write(context, refusal);
        context.Response.Headers.CacheControl = "no-store";
        return Refuse(refusal.Code, refusal.Detail).ExecuteAsync(context);
    }

    /// <summary>Whether somebody reads the answer with a browser, rather than a script.</summary>
    internal static bool IsRead(HttpContext context) =>
        context.Request.Headers.Accept.ToString().Contains("text/html", StringComparison.OrdinalIgnoreCase);

    /// <summary>Lets a form through only with its token. Without one nothing is read, let alone recorded.</summary>
    public static TBuilder WithToken<TBuilder>(this TBuilder builder)
        where TBuilder : IEndpointConventionBuilder
    {
        builder.WithMetadata(new RequireAntiforgeryTokenAttribute());
        return builder.AddEndpointFilter((context, next) =>
            context.HttpContext.Features.Get<IAntiforgeryValidationFeature>() is { IsValid: true }
            ? next(context)
            : ValueTask.FromResult<object?>(context.HttpContext.Request.ContentLength > ConnectionLimits.LargestFile
                ? Refuse("request.too-large", "The form or its file is larger than 1 MB. Nothing was recorded. Export the run alone.")
                : Refuse(
                "request.malformed", "The form is out of date, or it was not sent from a page of this program. Nothing was recorded. Open the form again.")));
    }

    /// <summary>The return address of a sign-in, if it leads to this program; the bench otherwise.</summary>
    public static string LocalOr(string? address, string fallback) =>
        address is { Length: > 0 and < 500 } && address[0] == '/' && (address.Length == 1 || address[1] is not ('/' or '\\'))
            && !address.Any(char.IsControl)
            ? address
            : fallback;
}
