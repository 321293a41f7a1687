using System.Net;

namespace Trace.Web.Printers;

/// <summary>A request and the document behind it, sent without being put together in memory.</summary>
/// <param name="document">Can tell its length; read from the beginning, and left open.</param>
internal sealed class IppContent(byte[] head, Stream? document) : HttpContent
{
    protected override Task SerializeToStreamAsync(Stream stream, TransportContext? context) =>
        SerializeToStreamAsync(stream, context, CancellationToken.None);

    protected override async Task SerializeToStreamAsync(Stream stream, TransportContext? context, CancellationToken cancellationToken)
    {
        await stream.WriteAsync(head, cancellationToken);
        if (document is null) return;
        document.Position = 0;
        await document.CopyToAsync(stream, cancellationToken);
    }

    /// <summary>Told beforehand: a printer may take nothing that comes in chunks.</summary>
    protected override bool TryComputeLength(out long length)
    {
        length = head.Length + (document?.Length ?? 0);
        return true;
    }
}
