using System.Net.Security;
using System.Security.Authentication;
using System.Security.Cryptography.X509Certificates;
using Microsoft.AspNetCore.Authentication.Cookies;
using Microsoft.AspNetCore.Antiforgery;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using Microsoft.AspNetCore.Server.Kestrel.Https;
using Trace.Core.Operations;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Problems;

namespace Trace.Web.Transport;

/// <summary>Serves by TLS with the plant's certificate, renews it in time, and keeps callers off the way without encryption.</summary>
internal sealed class Tls(Certificates certificates)
{
    /// <summary>Path of the root for a new tablet: public, and the one page that stays reachable without encryption.</summary>
    public const string RootPath = "/certificate";

    private readonly Lock gate = new();
    private X509Certificate2? server;

    /// <summary>Suites with forward secrecy and authenticated encryption: those of TLS 1.3 and their like of 1.2 (RFC 9325).</summary>
    private static readonly TlsCipherSuite[] Suites =
    [
        TlsCipherSuite.TLS_AES_256_GCM_SHA384, TlsCipherSuite.TLS_CHACHA20_POLY1305_SHA256, TlsCipherSuite.TLS_AES_128_GCM_SHA256,
        TlsCipherSuite.TLS_ECDHE_ECDSA_WITH_AES_256_GCM_SHA384, TlsCipherSuite.TLS_ECDHE_ECDSA_WITH_CHACHA20_POLY1305_SHA256,
        TlsCipherSuite.TLS_ECDHE_ECDSA_WITH_AES_128_GCM_SHA256,
    ];

    public void Set(KestrelServerOptions options) => options.ConfigureHttpsDefaults(https =>
    {
        https.SslProtocols = SslProtocols.Tls12 | SslProtocols.Tls13;
        https.ServerCertificateSelector = (_, _) => Current();
        https.ClientCertificateMode = ClientCertificateMode.NoCertificate;
        https.OnAuthenticate = (_, ssl) =>
        {
            // Elsewhere the system's own list counts.
            if (OperatingSystem.IsLinux()) ssl.CipherSuitesPolicy = new CipherSuitesPolicy(Suites);
        };
    });

    /// <summary>The certificate in use; made anew when its end is near. If that fails, the old one serves to its end.</summary>
    public X509Certificate2 Current()
    {
        lock (gate)
        {
            server ??= certificates.LoadServer();
            if (!certificates.CanRenew(server)) return server;
            try
            {
                certificates.Renew();
                server = certificates.LoadServer();
            }
            catch (Exception refused) when (refused is IOException or UnauthorizedAccessException)
            {
                Serilog.Log.Error(refused, "The server certificate ends {End} and could not be renewed", server.NotAfter);
            }

            return server;
        }
    }

    /// <summary>Cookies that a browser never sends without encryption, and takes from no other host.</summary>
    public static void BindCookies(IServiceCollection services)
    {
        services.PostConfigure<CookieAuthenticationOptions>(Signing.Cookie, options => Bind(options.Cookie, "__Host-trace"));
        services.PostConfigure<AntiforgeryOptions>(options => Bind(options.Cookie, "__Host-trace-form"));

        static void Bind(CookieBuilder cookie, string name)
        {
            cookie.Name = name;
            cookie.Path = "/";
            cookie.SecurePolicy = CookieSecurePolicy.Always;
        }
    }

    /// <summary>
    /// A page asked for without encryption is sent to the encrypted one. A script is refused instead: were it led on in silence, nobody
    /// would notice that its key travels as clear text each time.
    /// </summary>
    public void Use(WebApplication app, int port) => app.Use((context, next) =>
    {
        var path = context.Request.Path;
        if (context.Request.IsHttps || path == RootPath || path.StartsWithSegments("/health", StringComparison.Ordinal))
            return next(context);
        var isPage = (HttpMethods.IsGet(context.Request.Method) || HttpMethods.IsHead(context.Request.Method))
            && !path.StartsWithSegments("/api", StringComparison.Ordinal)
            && !path.StartsWithSegments("/openapi", StringComparison.Ordinal);
        if (!isPage) return Problem.Write(context, new Refusal("request.unencrypted", RefusalCodes.All["request.unencrypted"].WayOut));
        var names = Certificates.NamesOf(Current());
        var asked = context.Request.Host.Host.Trim('[', ']');
        var name = names.FirstOrDefault(name => string.Equals(name, asked, StringComparison.OrdinalIgnoreCase)) ?? names[0];
        var host = new HostString(name, port);
        context.Response.StatusCode = StatusCodes.Status307TemporaryRedirect;
        context.Response.Headers.Location = $"https://{host.ToUriComponent()}{path.ToUriComponent()}{context.Request.QueryString.ToUriComponent()}";
        return Task.CompletedTask;
    });

    public static void MapRoot(IEndpointRouteBuilder routes, Certificates certificates) => routes
        .MapGet(RootPath, () => TypedResults.File(certificates.LoadRoot().RawData, "application/x-x509-ca-cert", "trace-root.crt"))
        .AllowAnonymous().ExcludeFromDescription();
}
