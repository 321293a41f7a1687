using System.Net;
using Trace.Web.CommandLine;
using Trace.Web.Hosting;

namespace Trace.Web.Transport;

/// <summary>Which addresses are listened on. Without encryption that is this machine alone, unless somebody insists.</summary>
internal static class Listening
{
    /// <summary>The addresses, those of TLS among them.</summary>
    /// <exception cref="CommandRefusedException">Other machines would be served without encryption and nobody asked for it, there is no
    /// certificate to serve with, or a proxy's address is none.</exception>
    public static string Urls(string urls, EdgeSettings edges, Certificates certificates)
    {
        var all = urls.Split(';', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        if (edges.KnownProxies.FirstOrDefault(proxy => !IPAddress.TryParse(proxy, out _)) is { } odd)
            throw new CommandRefusedException($"--known-proxy {odd}: an address such as 192.0.2.1 is wanted.");
        if (edges.HttpsPort is < 1 or > 65535) throw new CommandRefusedException("--https-port: 1 to 65535 is wanted.");
        if ((edges.HttpsPort is not null || all.Any(IsEncrypted)) && !certificates.Exist)
            throw new CommandRefusedException("There is no certificate yet. Make one first: certificate --name ... with the same --data.");

        // With TLS on, what comes without is sent on to it or refused, so it may come from anywhere.
        if (edges.HttpsPort is null && !edges.Unencrypted && all.FirstOrDefault(IsOpenToOthers) is { } open)
        {
            throw new CommandRefusedException($"{open} would serve other machines without encryption: PINs, keys and cookies could be read on the way. "
                + "Use the command certificate and --https-port; or insist with --unencrypted, such as behind a proxy that encrypts.");
        }

        return string.Join(';', edges.HttpsPort is { } port ? [.. all, $"https://*:{port}"] : all);
    }

    /// <summary>Whether other machines are served without encryption.</summary>
    public static bool IsOpen(string urls, EdgeSettings edges) => edges.HttpsPort is null && urls.Split(';').Any(IsOpenToOthers);

    private static bool IsEncrypted(string url) => url.StartsWith("https:", StringComparison.OrdinalIgnoreCase);

    private static bool IsOpenToOthers(string url)
    {
        if (IsEncrypted(url)) return false;
        var host = BindingAddress.Parse(url).Host.Trim('[', ']');
        return !string.Equals(host, "localhost", StringComparison.OrdinalIgnoreCase)
            && !(IPAddress.TryParse(host, out var address) && IPAddress.IsLoopback(address));
    }
}
