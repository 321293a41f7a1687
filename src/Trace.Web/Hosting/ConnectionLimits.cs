using Microsoft.AspNetCore.Http.Features;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using Trace.Web.Endpoints;

namespace Trace.Web.Hosting;

/// <summary>How much a caller may send, and how slowly. A caller past these limits is cut off; the others are served meanwhile.</summary>
internal static class ConnectionLimits
{
    public const int LongestRequestLine = 8 * 1024;
    public const int LargestHead = 16 * 1024;
    public const int MostHeaders = 60;
    public const int MostConnections = 1000;
    public const int LargestForm = 256 * 1024;

    /// <summary>A logger's file in a form: as much as the API takes.</summary>
    public const int LargestFile = RequestBody.LargestBytes;

    /// <summary>A bad telephone line carries more.</summary>
    public const int LeastBytesPerSecond = 240;

    public static void Set(KestrelServerOptions options, EdgeSettings edges)
    {
        // A line ends with CR LF. By itself the server also takes LF alone, where a proxy may see one long line.
        AppContext.SetSwitch("Microsoft.AspNetCore.Server.Kestrel.DisableHttp1LineFeedTerminators", true);
        options.AddServerHeader = false;
        var limits = options.Limits;

        // Above what a request may have: at its own limit the server breaks the connection, often before the refusal is read.
        limits.MaxRequestBodySize = 8 * RequestBody.LargestBytes;
        limits.MaxRequestLineSize = LongestRequestLine;
        limits.MaxRequestHeadersTotalSize = LargestHead;
        limits.MaxRequestHeaderCount = MostHeaders;
        limits.MaxConcurrentConnections = MostConnections;
        limits.RequestHeadersTimeout = edges.HeadTimeout;
        limits.KeepAliveTimeout = TimeSpan.FromMinutes(1);
        limits.MinRequestBodyDataRate = new MinDataRate(LeastBytesPerSecond, edges.SlowGrace);
        limits.MinResponseDataRate = new MinDataRate(LeastBytesPerSecond, edges.SlowGrace);
    }

    /// <summary>Forms are short; the longest is a run's readings.</summary>
    public static void Set(FormOptions options)
    {
        options.ValueCountLimit = 500;
        options.KeyLengthLimit = 200;
        options.ValueLengthLimit = LargestForm;
        options.BufferBodyLengthLimit = LargestForm;

        // Of one part. Held in memory whole, so that nothing that was sent ever lies on the disk; it is gone with the request.
        options.MultipartBodyLengthLimit = LargestFile;
        options.MemoryBufferThreshold = 2 * LargestFile;
    }
}
