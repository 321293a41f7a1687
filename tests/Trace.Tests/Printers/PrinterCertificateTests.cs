using System.Net;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;
using Trace.Core.Lots;
using Trace.Web.Printers;
using Xunit;

namespace Trace.Tests.Printers;

/// <summary>A printer in TLS shows a certificate that the machine trusts, or exactly the one that was entered.</summary>
public sealed class PrinterCertificateTests
{
    [Fact]
    [Asvs("12.3.2")]
    public async Task A_certificate_of_the_printers_own_counts_only_if_it_was_entered()
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest("CN=printer.example.org", key, HashAlgorithmName.SHA256);
        var start = TimeProvider.System.GetUtcNow().AddDays(-1);
        using var made = request.CreateSelfSigned(start, start.AddDays(30));
        using var certificate = X509CertificateLoader.LoadPkcs12(made.Export(X509ContentType.Pkcs12), null);
        var sum = Convert.ToHexStringLower(SHA256.HashData(certificate.RawData));
        var port = BadPrinterTests.FreePort();
        var asked = 0;
        var builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.UseKestrelHttpsConfiguration().ConfigureKestrel(options =>
            options.Listen(IPAddress.Loopback, port, listen => listen.UseHttps(certificate)));
        await using var host = builder.Build();
        host.Run(async context =>
        {
            asked++;
            context.Response.ContentType = "application/ipp";
            using var body = new MemoryStream();
            await context.Request.Body.CopyToAsync(body);
            byte[] answer = [1, 1, 0, 0, .. body.ToArray()[4..8], 4, 0x23, 0, 13, .. "printer-state"u8, 0, 4, 0, 0, 0, 3, 3];
            await context.Response.Body.WriteAsync(answer);
        });
        await host.StartAsync(TestContext.Current.CancellationToken);
        var desk = new PrinterDesk(new PrinterLimits());
        var printer = new Printer("Bench", $"ipps://127.0.0.1:{port}/ipp/print", 70, 50, null, 1);
        var stop = TestContext.Current.CancellationToken;

        var unknown = await Assert.ThrowsAsync<PrinterCallException>(() => desk.Status(printer, stop));
        Assert.Equal(CallFailure.NotTaken, unknown.Failure);
        Assert.Contains($"its certificate is not trusted. Its SHA-256 is {sum}", unknown.Message);
        var other = await Assert.ThrowsAsync<PrinterCallException>(() => desk.Status(printer with { CertificateSha256 = new string('0', 64) }, stop));
        Assert.Contains(sum, other.Message);
        Assert.Equal(0, asked);
        Assert.Equal("idle", (await desk.Status(printer with { CertificateSha256 = sum }, stop)).State);
        Assert.Equal(1, asked);

        // And without TLS on a port that speaks it: an error, not a hanging.
        var plain = await Assert.ThrowsAsync<PrinterCallException>(() => desk.Status(printer with { Address = $"ipp://127.0.0.1:{port}/ipp/print" }, stop));
        Assert.Equal(1, asked);
        Assert.NotEmpty(plain.Message);
    }
}
