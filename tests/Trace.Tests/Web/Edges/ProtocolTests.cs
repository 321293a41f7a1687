using System.Net;
using System.Net.Security;
using System.Net.Sockets;
using System.Security.Authentication;
using System.Security.Cryptography.X509Certificates;
using System.Text;
using Trace.Core.Access;
using Trace.Tests.CommandLine;
using Trace.Web.Hosting;
using Trace.Web.Transport;
using Xunit;

namespace Trace.Tests.Web.Edges;

/// <summary>
/// What the server agrees to before a request is read. Old offers are written by hand, byte by byte: the client of this machine would
/// refuse them itself, and nothing would be shown of the server.
/// </summary>
public sealed class ProtocolTests
{
    /// <param name="answer">The first byte of the answer: 22 a handshake that goes on, 21 an alert (RFC 5246 §6.2.1; from memory).</param>
    /// <param name="alert">70 protocol_version, 40 handshake_failure (RFC 5246 §7.2; from memory).</param>
    [Theory]
    [Asvs("12.1.1", "12.1.2")]
    [InlineData("TLS 1.2, ECDHE-ECDSA with AES-128-GCM", 0x0303, 0xC02B, 22, null)]
    [InlineData("TLS 1.2, ECDHE-ECDSA with AES-128-CBC", 0x0303, 0xC023, 21, 40)]
    [InlineData("TLS 1.1", 0x0302, 0xC009, 21, 70)]
    [InlineData("TLS 1.0", 0x0301, 0xC009, 21, 70)]
    public async Task Old_versions_and_weak_suites_are_refused(string offer, int version, int suite, int answer, int? alert)
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Elsewhere the system's own list counts.");
        await using var host = await Encrypted();
        using var client = new TcpClient();
        await client.ConnectAsync(IPAddress.Loopback, PortOf(host), TestContext.Current.CancellationToken);
        var stream = client.GetStream();
        await stream.WriteAsync(Hello(version, suite), TestContext.Current.CancellationToken);
        var head = new byte[7];
        await stream.ReadExactlyAsync(head, TestContext.Current.CancellationToken);
        Assert.True(head[0] == answer && (alert is null || head[6] == alert), $"{offer}: {Convert.ToHexString(head)}");
    }

    [Fact]
    [Asvs("12.1.1")]
    public async Task Whoever_can_gets_TLS_1_3()
    {
        await using var host = await Encrypted();
        using var client = new TcpClient();
        await client.ConnectAsync(IPAddress.Loopback, PortOf(host), TestContext.Current.CancellationToken);
        using var root = new Certificates(host.Folder["data"], TimeProvider.System).LoadRoot();
        var policy = new X509ChainPolicy { TrustMode = X509ChainTrustMode.CustomRootTrust, RevocationMode = X509RevocationMode.NoCheck };
        policy.CustomTrustStore.Add(root);
        await using var tls = new SslStream(client.GetStream());
        await tls.AuthenticateAsClientAsync(
            new SslClientAuthenticationOptions { TargetHost = "localhost", CertificateChainPolicy = policy }, TestContext.Current.CancellationToken);
        Assert.Equal(SslProtocols.Tls13, tls.SslProtocol);
    }

    [Theory]
    [Asvs("13.4.1", "13.4.3")]
    [InlineData("/.git/config")]
    [InlineData("/.git/HEAD")]
    [InlineData("/.svn/entries")]
    [InlineData("/wwwroot/")]
    [InlineData("/keys/")]
    [InlineData("/logs/")]
    [InlineData("/label-templates/")]
    public async Task No_folder_is_served(string path)
    {
        await using var site = await RunningSite.Start();
        Assert.Equal(HttpStatusCode.NotFound, (await (await site.SignedIn(RoleName.Owner)).Open(path)).StatusCode);
    }

    [Fact]
    [Asvs("13.4.4")]
    public async Task TRACE_is_refused_and_gives_nothing_back()
    {
        await using var site = await RunningSite.Start();
        foreach (var path in new[] { "/bench", "/health/live", "/api/sites/S1/lots", "/app.css" })
        {
            using var request = new HttpRequestMessage(HttpMethod.Trace, path);
            request.Headers.Add("X-Private", "private-header-4711");
            using var answer = await (await site.WithKey(RoleName.Owner)).SendAsync(request, TestContext.Current.CancellationToken);
            Assert.InRange((int)answer.StatusCode, 400, 499);
            Assert.DoesNotContain("4711", await answer.Text(), StringComparison.Ordinal);
        }
    }

    private static async Task<RunningHost> Encrypted()
    {
        var folder = new Folder();
        new Certificates(folder["data"], TimeProvider.System).Make(["localhost"], newRoot: false);
        var settings = new TraceSettings(folder["data"], "https://localhost", Path.Combine(AppContext.BaseDirectory, "label-templates")) { Edges = new() { HttpsPort = 1 } };
        var app = TraceHost.Build(settings, "https://127.0.0.1:0", []);
        await app.StartAsync(TestContext.Current.CancellationToken);
        return new(app, folder);
    }

    private static int PortOf(RunningHost host) => new Uri(host.App.Urls.Single()).Port;

    /// <summary>A client's first message with one suite (RFC 5246 §7.4.1.2): curves P-256 and X25519, ECDSA with SHA-256 and SHA-1.</summary>
    private static byte[] Hello(int version, int suite)
    {
        byte[] extensions =
        [
            0, 10, 0, 6, 0, 4, 0, 23, 0, 29,
            0, 11, 0, 2, 1, 0,
            0, 13, 0, 6, 0, 4, 4, 3, 2, 3,
        ];
        byte[] body =
        [
            (byte)(version >> 8), (byte)(version & 0xFF), .. Encoding.ASCII.GetBytes("thirty-two bytes, of no meaning."), 0,
            0, 2, (byte)(suite >> 8), (byte)(suite & 0xFF), 1, 0, 0, (byte)extensions.Length, .. extensions,
        ];
        return [22, 3, 1, 0, (byte)(body.Length + 4), 1, 0, 0, (byte)body.Length, .. body];
    }

    private sealed record RunningHost(Microsoft.AspNetCore.Builder.WebApplication App, Folder Folder) : IAsyncDisposable
    {
        public async ValueTask DisposeAsync()
        {
            await App.DisposeAsync();
            Folder.Dispose();
        }
    }
}
