using System.Net;
using System.Net.Security;
using System.Net.Sockets;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace Trace.Web.Printers;

/// <summary>
/// The one way out of the program. It goes to the address that was entered and nowhere else: no redirect, no proxy, no cookie, and a
/// connection for each call, since one that is kept may break in a way that sends the same labels twice.
/// </summary>
internal sealed class PrinterConnection(PrinterLimits limits, string? certificateSha256)
{
    /// <summary>The certificate that was shown and not trusted, as hex.</summary>
    public string? Refused { get; private set; }

    public SocketsHttpHandler Handler() => new()
    {
        AllowAutoRedirect = false,
        UseProxy = false,
        UseCookies = false,
        AutomaticDecompression = DecompressionMethods.None,
        PooledConnectionLifetime = TimeSpan.Zero,
        MaxResponseHeadersLength = 16,
        MaxResponseDrainSize = 0,
        ConnectCallback = Connect,
        SslOptions = new SslClientAuthenticationOptions { RemoteCertificateValidationCallback = IsTrusted },
    };

    private async ValueTask<Stream> Connect(SocketsHttpConnectionContext context, CancellationToken stop)
    {
        using var timeout = CancellationTokenSource.CreateLinkedTokenSource(stop);
        timeout.CancelAfter(limits.Connecting);
        var socket = new Socket(SocketType.Stream, ProtocolType.Tcp) { NoDelay = true };
        try
        {
            await socket.ConnectAsync(context.DnsEndPoint, timeout.Token);
            return new NetworkStream(socket, ownsSocket: true);
        }
        catch (Exception broken) when (broken is SocketException or OperationCanceledException)
        {
            socket.Dispose();
            throw new PrinterCallException(CallFailure.NotTaken, broken is SocketException refused
                ? $"it cannot be reached: {Words(refused.SocketErrorCode)}"
                : $"it cannot be reached: nobody answered within {limits.Connecting.TotalSeconds:0.#} s", broken);
        }
    }

    private bool IsTrusted(object sender, X509Certificate? shown, X509Chain? chain, SslPolicyErrors errors)
    {
        if (shown is null) return false;
        var sum = Convert.ToHexStringLower(SHA256.HashData(shown.GetRawCertData()));
        if (certificateSha256 is null ? errors == SslPolicyErrors.None : sum == certificateSha256) return true;
        Refused = sum;
        return false;
    }

    private static string Words(SocketError error) => error switch
    {
        SocketError.ConnectionRefused => "nothing listens there",
        SocketError.HostNotFound or SocketError.NoData or SocketError.TryAgain => "its name is not known",
        SocketError.HostUnreachable or SocketError.NetworkUnreachable => "no way leads there",
        SocketError.TimedOut => "nobody answered",
        _ => error.ToString(),
    };
}
