using Microsoft.AspNetCore.Diagnostics;
using Trace.Core.Journal;
using Trace.Core.Operations;
using Trace.Web.Pages;

namespace Trace.Web.Problems;

/// <summary>What goes wrong outside a decision still ends in a problem document, without a word of an exception's text.</summary>
internal sealed partial class ProblemHandling(ILogger<ProblemHandling> log) : IExceptionHandler
{
    public async ValueTask<bool> TryHandleAsync(HttpContext httpContext, Exception exception, CancellationToken cancellationToken)
    {
        await Page.WriteProblem(httpContext, ToRefusal(exception));
        return true;
    }

    /// <summary>Framework answers without a body (404, 405, 415 …) get one.</summary>
    public static Task WriteStatus(StatusCodeContext status)
    {
        var context = status.HttpContext;
        var refusal = context.Response.StatusCode switch
        {
            400 => new Refusal("request.malformed", "The request cannot be read."),
            401 => new Refusal("sign-in.needed", RefusalCodes.All["sign-in.needed"].WayOut),
            403 => new Refusal("role.not-allowed", RefusalCodes.All["role.not-allowed"].WayOut),
            413 => new Refusal("request.too-large", RefusalCodes.All["request.too-large"].WayOut),
            415 => new Refusal("request.media-type", RefusalCodes.All["request.media-type"].WayOut),
            429 => new Refusal("request.rate", RefusalCodes.All["request.rate"].WayOut),
            404 or 405 => new Refusal("not-found", $"There is nothing for {context.Request.Method} at this address."),
            _ => null,
        };
        return refusal is null ? Task.CompletedTask : Page.WriteProblem(context, refusal);
    }

    private Refusal ToRefusal(Exception exception)
    {
        switch (exception)
        {
            case JournalStoppedException stopped:
                LogStopped(stopped.Stop.Stream, stopped.Stop.Reason);
                return new("journal.stopped", $"Journal {stopped.Stop.Stream}: {stopped.Stop.Reason}");
            case JournalDamagedException damaged:
                LogStopped(damaged.Stop.Stream, damaged.Stop.Reason);
                return new("journal.stopped", $"Journal {damaged.Stop.Stream}, entry {damaged.Stop.Seq}: {damaged.Stop.Reason}");
            case BadHttpRequestException { StatusCode: 413 }:
                return new("request.too-large", RefusalCodes.All["request.too-large"].WayOut);
            case BadHttpRequestException:
            case IOException { InnerException: OverflowException }: // The server's word for a chunk of a size beyond all bounds.
                return new("request.malformed", "The request cannot be read.");
            default:
                LogMistake(exception);
                return new("internal", RefusalCodes.All["internal"].WayOut);
        }
    }

    [LoggerMessage(Level = LogLevel.Critical, Message = "Journal {Stream} has stopped: {Reason}")]
    private partial void LogStopped(string stream, string reason);

    [LoggerMessage(Level = LogLevel.Error, Message = "Our mistake")]
    private partial void LogMistake(Exception exception);
}
