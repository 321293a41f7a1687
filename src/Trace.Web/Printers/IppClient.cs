using System.Net;
using System.Net.Http.Headers;
using Trace.Web.Printers.Ipp;

namespace Trace.Web.Printers;

/// <summary>Sends one request to a printer and reads its answer, within limits of time and size.</summary>
internal sealed class IppClient(PrinterLimits limits)
{
    private const string MediaType = "application/ipp";

    /// <param name="document">What stands behind the request; null for none.</param>
    /// <returns>Any answer in the protocol, refusals too.</returns>
    /// <exception cref="PrinterCallException">There was no such answer.</exception>
    public async Task<IppMessage> Ask(
        PrinterAddress address, string? certificateSha256, IppMessage request, Stream? document, CancellationToken stop)
    {
        var connection = new PrinterConnection(limits, certificateSha256);
        using var http = new HttpClient(connection.Handler()) { Timeout = Timeout.InfiniteTimeSpan };
        using var timeout = CancellationTokenSource.CreateLinkedTokenSource(stop);
        var longest = document is null ? limits.Asking : limits.Sending;
        timeout.CancelAfter(longest);
        try
        {
            return await Ask(http, address, request, document, timeout.Token);
        }
        catch (OperationCanceledException late) when (!stop.IsCancellationRequested)
        {
            throw new PrinterCallException(CallFailure.NobodyKnows, $"it did not answer within {longest.TotalSeconds:0.#} s", late);
        }
        catch (HttpRequestException broken) when (Cause<PrinterCallException>(broken) is { } known)
        {
            throw new PrinterCallException(known.Failure, known.Message, broken);
        }
        catch (HttpRequestException broken) when (connection.Refused is { } sum)
        {
            throw new PrinterCallException(
                CallFailure.NotTaken, $"its certificate is not trusted. Its SHA-256 is {sum}: if the printer itself shows the same, enter it with the printer", broken);
        }
        catch (HttpRequestException broken)
        {
            var isEarly = broken.HttpRequestError is HttpRequestError.ConnectionError or HttpRequestError.NameResolutionError
                or HttpRequestError.SecureConnectionError;
            throw new PrinterCallException(
                isEarly ? CallFailure.NotTaken : CallFailure.NobodyKnows,
                isEarly ? "it cannot be reached, or does not speak TLS as asked" : "the connection broke, or what came was no HTTP", broken);
        }
        catch (IOException broken)
        {
            throw new PrinterCallException(CallFailure.NobodyKnows, "the connection broke", broken);
        }
    }

    private async Task<IppMessage> Ask(
        HttpClient http, PrinterAddress address, IppMessage request, Stream? document, CancellationToken stop)
    {
        using var body = new IppContent(IppWriter.Write(request), document);
        body.Headers.ContentType = new MediaTypeHeaderValue(MediaType);
        using var post = new HttpRequestMessage(HttpMethod.Post, address.Http) { Content = body };
        using var answer = await http.SendAsync(post, HttpCompletionOption.ResponseHeadersRead, stop);
        if (answer.StatusCode != HttpStatusCode.OK) throw Refusal(answer.StatusCode);
        if (answer.Content.Headers.ContentType?.MediaType != MediaType)
            throw new PrinterCallException(CallFailure.NobodyKnows, $"its answer is not of the type {MediaType}: no printer listens there");
        var bytes = await ReadAll(answer.Content, stop);
        try
        {
            var message = IppReader.Read(bytes, out var length);
            if (length != bytes.Length) throw new IppFormatException($"something stands behind its end (byte {length})");
            if (message.RequestId != request.RequestId) throw new IppFormatException($"it answers request {message.RequestId}, not {request.RequestId}");
            return message;
        }
        catch (IppFormatException broken)
        {
            throw new PrinterCallException(CallFailure.NobodyKnows, $"its answer is no IPP: {broken.Message}", broken);
        }
    }

    private async Task<byte[]> ReadAll(HttpContent content, CancellationToken stop)
    {
        await using var from = await content.ReadAsStreamAsync(stop);
        using var all = new MemoryStream();
        var piece = new byte[16 * 1024];
        for (int read; (read = await from.ReadAsync(piece, stop)) > 0;)
        {
            if (all.Length + read > limits.LargestAnswer)
                throw new PrinterCallException(CallFailure.NobodyKnows, $"its answer is larger than {limits.LargestAnswer / 1024} KiB");
            all.Write(piece, 0, read);
        }

        return all.ToArray();
    }

    /// <summary>A redirect or a refusal comes in place of the work; an error of the server may come in its midst.</summary>
    private static PrinterCallException Refusal(HttpStatusCode status)
    {
        var code = (int)status;
        return code switch
        {
            >= 300 and < 400 => new(CallFailure.NotTaken, $"it sends on to another address (HTTP {code}), which is not followed: enter the right address"),
            401 or 403 => new(CallFailure.NotTaken, $"it wants a sign-in (HTTP {code}), which is not supported"),
            >= 400 and < 500 => new(CallFailure.NotTaken, $"it turned the request away (HTTP {code}): is the path of the address right?"),
            _ => new(CallFailure.NobodyKnows, $"it answered with HTTP {code}"),
        };
    }

    private static T? Cause<T>(Exception? broken)
        where T : Exception
    {
        for (; broken is not null; broken = broken.InnerException)
            if (broken is T found) return found;
        return null;
    }
}
