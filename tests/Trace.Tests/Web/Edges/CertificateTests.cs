using System.Net;
using System.Net.Security;
using System.Security.Authentication;
using System.Security.Cryptography.X509Certificates;
using System.Text.RegularExpressions;
using Microsoft.Extensions.Time.Testing;
using Trace.Tests.CommandLine;
using Trace.Web.CommandLine;
using Trace.Web.Hosting;
using Trace.Web.Transport;
using Xunit;

namespace Trace.Tests.Web.Edges;

public sealed class CertificateTests
{
    private static readonly DateTimeOffset Now = TimeProvider.System.GetUtcNow();

    [Fact]
    [Asvs("3.3.1", "3.3.3", "3.4.1", "3.7.2", "4.1.2", "12.2.1")]
    public async Task A_caller_who_trusts_our_root_connects_and_a_wrong_host_is_refused()
    {
        using var folder = new Folder();
        var certificates = new Certificates(folder["data"], TimeProvider.System);
        certificates.Make(["localhost", "127.0.0.1"], newRoot: false);
        var settings = new TraceSettings(folder["data"], "https://localhost", Path.Combine(AppContext.BaseDirectory, "label-templates")) { Edges = new() { HttpsPort = 1 } };
        await using var host = TraceHost.Build(settings, "https://127.0.0.1:0;http://127.0.0.1:0", []);
        await host.StartAsync(TestContext.Current.CancellationToken);
        var port = new Uri(host.Urls.Single(url => url.StartsWith("https", StringComparison.Ordinal))).Port;
        using var root = certificates.LoadRoot();

        using var trusting = Client(root);
        using var answer = await trusting.GetAsync(new Uri($"https://localhost:{port}/sign-in"), TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        Assert.Equal("max-age=31536000; includeSubDomains", string.Join("", answer.Headers.GetValues("Strict-Transport-Security")));
        var cookie = answer.Headers.GetValues("Set-Cookie").Single();
        Assert.StartsWith("__Host-trace-form=", cookie, StringComparison.Ordinal);
        Assert.Contains("secure", cookie, StringComparison.OrdinalIgnoreCase);
        using var byAddress = await trusting.GetAsync(new Uri($"https://127.0.0.1:{port}/health/live"), TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.OK, byAddress.StatusCode);

        using var stranger = Client(null);
        await Assert.ThrowsAsync<HttpRequestException>(() => stranger.GetAsync(new Uri($"https://localhost:{port}/health/live"), TestContext.Current.CancellationToken));
        using var misled = Client(root, to: port);
        var wrong = await Assert.ThrowsAsync<HttpRequestException>(() => misled.GetAsync(new Uri("https://bank.example.org/health/live"), TestContext.Current.CancellationToken));
        Assert.IsType<AuthenticationException>(wrong.InnerException);

        // Old versions of the protocol (RFC 8996 forbids 1.0 and 1.1).
        using var old = Client(root, protocols: SslProtocols.Tls12);
        using var still = await old.GetAsync(new Uri($"https://localhost:{port}/health/live"), TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.OK, still.StatusCode);

        // Without encryption: a page leads on, a script is refused, the root can be fetched.
        var plain = host.Urls.Single(url => url.StartsWith("http:", StringComparison.Ordinal));
        using var page = await stranger.GetAsync(new Uri(plain + "/sign-in?returnUrl=%2Fbench"), TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.TemporaryRedirect, page.StatusCode);
        Assert.Equal("https://127.0.0.1:1/sign-in?returnUrl=%2Fbench", page.Headers.Location!.OriginalString);
        using var request = new HttpRequestMessage(HttpMethod.Get, plain + "/sign-in");
        request.Headers.Host = "evil.example.org";
        using var elsewhere = await stranger.SendAsync(request, TestContext.Current.CancellationToken);
        Assert.StartsWith("https://localhost:1/", elsewhere.Headers.Location!.OriginalString, StringComparison.Ordinal);
        using var script = await stranger.GetAsync(new Uri(plain + "/api/sites/S1/lots"), TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.Forbidden, script.StatusCode);
        Assert.Contains("request.unencrypted", await script.Content.ReadAsStringAsync(TestContext.Current.CancellationToken), StringComparison.Ordinal);
        Assert.Equal(root.RawData, await stranger.GetByteArrayAsync(new Uri(plain + "/certificate"), TestContext.Current.CancellationToken));
    }

    [Fact]
    public void The_root_vouches_for_the_names_it_was_made_for_and_for_no_other()
    {
        using var folder = new Folder();
        var certificates = new Certificates(folder["data"], TimeProvider.System);
        certificates.Make(["trace.example.org"], newRoot: false);
        using var root = certificates.LoadRoot();
        using var good = certificates.LoadServer();
        Assert.True(Trusted(root, good));
        var refused = Assert.Throws<CommandRefusedException>(() => certificates.Make(["other.example.org"], newRoot: false));
        Assert.Contains("--new-root", refused.Message, StringComparison.Ordinal);

        // A thief of the root's key asks for more: the certificate is made, and nobody believes it.
        using var key = System.Security.Cryptography.ECDsa.Create(System.Security.Cryptography.ECCurve.NamedCurves.nistP256);
        using var issuer = X509Certificate2.CreateFromPemFile(certificates.RootFile, Path.Combine(folder["data"], "certificates", "root.key"));
        foreach (var (host, address) in new[] { ("bank.example.org", null), ((string?)null, "192.0.2.1"), ("trace.example.org", "2001:db8::1") })
        {
            var request = new CertificateRequest("CN=x", key, System.Security.Cryptography.HashAlgorithmName.SHA256);
            var names = new SubjectAlternativeNameBuilder();
            if (host is not null) names.AddDnsName(host);
            if (address is not null) names.AddIpAddress(IPAddress.Parse(address));
            request.CertificateExtensions.Add(names.Build());
            using var forged = request.Create(issuer, Now.AddHours(-1), Now.AddDays(1), [1, 2, 3]);
            Assert.False(Trusted(root, forged), $"{host} {address}");
        }
    }

    [Fact]
    public void A_certificate_near_its_end_is_made_anew_under_the_same_root()
    {
        using var folder = new Folder();
        var clock = new FakeTimeProvider(Now);
        var certificates = new Certificates(folder["data"], clock);
        certificates.Make(["192.0.2.10", "trace.example.org"], newRoot: false);
        using var root = certificates.LoadRoot();
        var tls = new Tls(certificates);
        var first = tls.Current();
        clock.Advance(TimeSpan.FromDays(Certificates.ServerDays - Certificates.RenewalDays - 1));
        Assert.Equal(first.Thumbprint, tls.Current().Thumbprint);
        clock.Advance(TimeSpan.FromDays(2));
        var second = tls.Current();
        Assert.NotEqual(first.Thumbprint, second.Thumbprint);
        Assert.Equal(Certificates.NamesOf(first), Certificates.NamesOf(second));
        Assert.True(second.NotAfter > first.NotAfter.AddDays(300));
        Assert.Equal(root.Thumbprint, certificates.LoadRoot().Thumbprint);
    }

    [Fact]
    [Asvs("13.3.2")]
    public async Task The_command_says_how_tablets_trust_it_and_keeps_keys_for_the_owner_alone()
    {
        using var folder = new Folder();
        var data = folder["data"];
        var made = await TraceProcess.Must(0, "certificate", "--name", "trace.example.org", "--name", "192.0.2.10", "--data", data);
        foreach (var word in new[] { "Android", "iPad", "Windows", "https://trace.example.org:5443" }) Assert.Contains(word, made.Output, StringComparison.Ordinal);
        Assert.Matches("(?:[0-9A-F]{2}:){31}[0-9A-F]{2}", made.Output);
        Assert.DoesNotContain("PRIVATE", made.Output, StringComparison.Ordinal);
        foreach (var key in new[] { "root.key", "server.key" })
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, ModeOf(Path.Combine(data, "certificates", key)));
        Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute, ModeOf(Path.Combine(data, "certificates")));
        var root = await File.ReadAllTextAsync(Path.Combine(data, "certificates", "root.crt"), TestContext.Current.CancellationToken);
        var renewed = await TraceProcess.Must(0, "certificate", "--data", data);
        Assert.Equal(root, await File.ReadAllTextAsync(Path.Combine(data, "certificates", "root.crt"), TestContext.Current.CancellationToken));
        Assert.Equal(Regex.Match(made.Output, "([0-9A-F]{2}:){31}").Value, Regex.Match(renewed.Output, "([0-9A-F]{2}:){31}").Value);
        await TraceProcess.Must(1, "certificate", "--name", "http://x", "--data", data);
        await TraceProcess.Must(1, "certificate", "--data", folder["other"]);
    }

    [Theory]
    [InlineData("http://0.0.0.0:5080", false)]
    [InlineData("http://*:5080", false)]
    [InlineData("http://127.0.0.1:5080;http://192.0.2.10:5080", false)]
    [InlineData("http://[::]:5080", false)]
    [InlineData("http://trace.example.org:5080", false)]
    [InlineData("http://127.0.0.1:5080", true)]
    [InlineData("http://localhost:5080;http://[::1]:5080", true)]
    [Asvs("12.2.1", "12.3.1")]
    public void Other_machines_are_served_without_encryption_only_when_somebody_insists(string urls, bool allowed)
    {
        using var folder = new Folder();
        var none = new Certificates(folder.Path, TimeProvider.System);
        if (allowed) Assert.Equal(urls, Listening.Urls(urls, new EdgeSettings(), none));
        else Assert.Contains("--unencrypted", Assert.Throws<CommandRefusedException>(() => Listening.Urls(urls, new EdgeSettings(), none)).Message, StringComparison.Ordinal);
        Assert.Equal(urls, Listening.Urls(urls, new EdgeSettings { Unencrypted = true }, none));
        Assert.Equal(!allowed, Listening.IsOpen(urls, new EdgeSettings { Unencrypted = true }));
        Assert.Throws<CommandRefusedException>(() => Listening.Urls(urls, new EdgeSettings { HttpsPort = 5443 }, none));
    }

    private static UnixFileMode ModeOf(string path) => OperatingSystem.IsWindows() ? UnixFileMode.None : File.GetUnixFileMode(path);

    /// <summary>A client that trusts one root, or the system's when there is none.</summary>
    private static HttpClient Client(X509Certificate2? root, int? to = null, SslProtocols protocols = SslProtocols.None)
    {
        var handler = new SocketsHttpHandler { AllowAutoRedirect = false, SslOptions = { EnabledSslProtocols = protocols } };
        if (root is not null)
        {
            handler.SslOptions.CertificateChainPolicy = new X509ChainPolicy
            {
                TrustMode = X509ChainTrustMode.CustomRootTrust,
                RevocationMode = X509RevocationMode.NoCheck,
            };
            handler.SslOptions.CertificateChainPolicy.CustomTrustStore.Add(root);
        }

        if (to is { } port)
        {
            handler.ConnectCallback = async (_, stop) =>
            {
                var socket = new System.Net.Sockets.Socket(System.Net.Sockets.SocketType.Stream, System.Net.Sockets.ProtocolType.Tcp);
                await socket.ConnectAsync(new IPEndPoint(IPAddress.Loopback, port), stop);
                return new System.Net.Sockets.NetworkStream(socket, ownsSocket: true);
            };
        }

        return new HttpClient(handler);
    }

    private static bool Trusted(X509Certificate2 root, X509Certificate2 server)
    {
        using var chain = new X509Chain { ChainPolicy = { TrustMode = X509ChainTrustMode.CustomRootTrust, RevocationMode = X509RevocationMode.NoCheck } };
        chain.ChainPolicy.CustomTrustStore.Add(root);
        return chain.Build(server);
    }
}
