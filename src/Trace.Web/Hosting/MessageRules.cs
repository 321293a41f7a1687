using Trace.Core.Operations;
using Trace.Web.Pages;

namespace Trace.Web.Hosting;

/// <summary>
/// Refuses what the server's parser lets through although another reader of the same bytes, such as a proxy before it, may read it
/// otherwise: whoever gets two readers to disagree about where a message ends hides a second one in it.
/// </summary>
internal static class MessageRules
{
    private const int HighestPort = 65535;

    /// <summary>What the server makes of a Content-Length that came beside a Transfer-Encoding.</summary>
    private const string LengthBesideChunks = "X-Content-Length";

    /// <summary>Must come before the first read of a body, and after what gives every answer its headers.</summary>
    public static void UseMessageRules(this IApplicationBuilder app) => app.Use((context, next) =>
    {
        if (!IsAmbiguous(context.Request)) return next(context);

        // What follows on this connection cannot be trusted to be a message.
        if (HttpProtocol.IsHttp11(context.Request.Protocol)) context.Response.Headers.Connection = "close";
        return Page.WriteProblem(context, new Refusal(
            "request.malformed", "The request cannot be read: its head says two things at once, or something that no request to this program says."));
    });

    /// <summary>
    /// Two lengths, a coding given twice or in a version that knows none (RFC 9112 §6.1, §6.3); a method that is none, since they tell
    /// upper case from lower (RFC 9110 §9.1), or that a proxy may take for a tunnel or a mirror; a port that cannot be.
    /// </summary>
    private static bool IsAmbiguous(HttpRequest request)
    {
        var coding = request.Headers.TransferEncoding;
        if (coding.Count > 0
            && (HttpProtocol.IsHttp10(request.Protocol) || request.Headers.ContainsKey(LengthBesideChunks)
                || !string.Equals(coding.ToString(), "chunked", StringComparison.OrdinalIgnoreCase)))
            return true;
        if (HttpMethods.IsConnect(request.Method) || HttpMethods.IsTrace(request.Method)) return true;
        return request.Method.Any(char.IsAsciiLetterLower) || request.Host.Port is > HighestPort || HasLongPort(request.Host.Value ?? "");
    }

    /// <summary>A port of so many digits that no number is made of it.</summary>
    private static bool HasLongPort(string host) =>
        host.LastIndexOf(':') is >= 0 and var colon && !host.EndsWith(']') && host.Length - colon > 6;
}
