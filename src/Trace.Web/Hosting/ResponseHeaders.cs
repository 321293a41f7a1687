namespace Trace.Web.Hosting;

/// <summary>
/// The one place of the headers that tell a browser what it may do with an answer. They are set when the answer starts, so that no error
/// handling in between can lose them.
/// </summary>
internal static class ResponseHeaders
{
    /// <summary>Nothing but our own files; no script and no style inside a page.</summary>
    public const string Policy =
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; connect-src 'self'; "
        + "manifest-src 'self'; worker-src 'self'; object-src 'none'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'";

    /// <summary>The screen with the scanner alone may run the decoder, which is WebAssembly (W3C CSP3, 'wasm-unsafe-eval').</summary>
    public static readonly string ScannerPolicy = Policy.Replace("script-src 'self'", "script-src 'self' 'wasm-unsafe-eval'", StringComparison.Ordinal)
        .Replace("img-src 'self' data:", "img-src 'self' data: blob:", StringComparison.Ordinal);

    /// <summary>A year, after which a browser that never came back forgets that this host speaks TLS.</summary>
    public const string Transport = "max-age=31536000; includeSubDomains";

    /// <summary>The camera is for scanning labels.</summary>
    public const string Permissions =
        "camera=(self), microphone=(), geolocation=(), payment=(), usb=(), serial=(), midi=(), display-capture=()";

    public static void UseResponseHeaders(this IApplicationBuilder app) => app.Use((context, next) =>
    {
        context.Response.OnStarting(Set, context);
        return next(context);
    });

    private static Task Set(object state)
    {
        var context = (HttpContext)state;
        var headers = context.Response.Headers;

        // The middleware of default files has turned /now/ into the file's own path by now.
        headers.ContentSecurityPolicy = context.Request.Path.Value is "/now/" or "/now/index.html" ? ScannerPolicy : Policy;
        headers.XContentTypeOptions = "nosniff";
        headers.XFrameOptions = "DENY";
        headers["Referrer-Policy"] = "no-referrer";
        headers["Permissions-Policy"] = Permissions;
        headers["Cross-Origin-Opener-Policy"] = "same-origin";
        headers["Cross-Origin-Resource-Policy"] = "same-origin";
        if (context.Request.IsHttps) headers.StrictTransportSecurity = Transport;

        // Whatever was shown to somebody who is signed in stays in no cache; neither does anything else that did not ask to be kept.
        // Files of ours carry a tag and say nothing themselves.
        var isFile = headers.ETag.Count > 0;
        if (context.User.Identity is { IsAuthenticated: true } && !isFile) headers.CacheControl = "no-store";
        else if (headers.CacheControl.Count == 0) headers.CacheControl = isFile ? "no-cache" : "no-store";
        return Task.CompletedTask;
    }
}
