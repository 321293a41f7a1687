using Trace.Core.Operations;
using Trace.Web.Pages;

namespace Trace.Web.Hosting;

/// <summary>A form that may carry a file. All others are turned away with one, before anything of it is read.</summary>
internal sealed class MayCarryFile
{
    public static MayCarryFile Instance { get; } = new();
}

internal static class FileForms
{
    /// <summary>Behind the role gate, so that nobody without a sign-in can make the program hold a file in memory.</summary>
    public static void UseFileForms(this IApplicationBuilder app) => app.Use((context, next) =>
        context.Request.ContentType?.StartsWith("multipart/", StringComparison.OrdinalIgnoreCase) == true
        && !HttpMethods.IsGet(context.Request.Method)
        && context.GetEndpoint() is RouteEndpoint endpoint && endpoint.Metadata.GetMetadata<MayCarryFile>() is null
            ? Page.WriteProblem(context, new Refusal("request.media-type", "This takes no files."))
            : next(context));
}
