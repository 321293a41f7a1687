using System.Net;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Trace.Web.CommandLine;
using Trace.Web.Hosting;

namespace Trace.Web.Transport;

/// <summary>
/// The plant's own certificates: a root that tablets are told to trust, limited to the names it was made for, and a server certificate
/// under it. Both with keys on the curve P-256; kept as PEM in <c>certificates/</c> of the data folder, keys for the owner alone.
/// </summary>
internal sealed class Certificates(string dataFolder, TimeProvider clock)
{
    /// <summary>Ten years: each new root means a walk to every tablet.</summary>
    public const int RootDays = 3652;

    /// <summary>Some systems refuse server certificates that run longer than 398 days.</summary>
    public const int ServerDays = 397;

    /// <summary>How long before its end a server certificate is made anew.</summary>
    public const int RenewalDays = 30;

    private const string ServerUse = "1.3.6.1.5.5.7.3.1";

    private readonly string folder = Path.Combine(dataFolder, "certificates");

    public string RootFile => Path.Combine(folder, "root.crt");

    private string RootKeyFile => Path.Combine(folder, "root.key");

    private string ServerFile => Path.Combine(folder, "server.crt");

    private string ServerKeyFile => Path.Combine(folder, "server.key");

    public bool Exist => File.Exists(ServerFile) && File.Exists(ServerKeyFile) && File.Exists(RootFile);

    /// <summary>The names that the server certificate is for, in the order given.</summary>
    public static IReadOnlyList<string> NamesOf(X509Certificate2 certificate) =>
        certificate.Extensions.OfType<X509SubjectAlternativeNameExtension>().SingleOrDefault() is { } names
            ? [.. names.EnumerateDnsNames(), .. names.EnumerateIPAddresses().Select(address => address.ToString())]
            : [];

    /// <summary>A server certificate for the names; under the root that is there, or under a new one.</summary>
    /// <exception cref="CommandRefusedException">A name is none, or lies outside what the root was made for.</exception>
    public void Make(IReadOnlyList<string> names, bool newRoot)
    {
        foreach (var name in names.Where(name => !IsName(name)))
            throw new CommandRefusedException($"--name {name}: a host name such as trace.example.org or an address such as 192.0.2.10 is wanted.");
        PrivateFolder.Ensure(folder);
        if (newRoot || !File.Exists(RootKeyFile)) MakeRoot(names);
        using var root = X509Certificate2.CreateFromPemFile(RootFile, RootKeyFile);
        var outside = names.Except(NamesOf(root), StringComparer.OrdinalIgnoreCase).ToList();
        if (outside.Count > 0)
        {
            throw new CommandRefusedException($"The root on your tablets is for {string.Join(", ", NamesOf(root))} and no other name; "
                + $"{string.Join(", ", outside)} needs --new-root, and the new root on every tablet.");
        }

        MakeServer(root, names);
    }

    /// <summary>The same names, a new key, another year. No tablet notices.</summary>
    public void Renew()
    {
        using var root = X509Certificate2.CreateFromPemFile(RootFile, RootKeyFile);
        using var old = X509CertificateLoader.LoadCertificateFromFile(ServerFile);
        MakeServer(root, NamesOf(old));
    }

    /// <summary>Whether the server certificate should be made anew and can be.</summary>
    public bool CanRenew(X509Certificate2 server) =>
        clock.GetUtcNow() > new DateTimeOffset(server.NotAfter.ToUniversalTime()).AddDays(-RenewalDays) && File.Exists(RootKeyFile);

    public X509Certificate2 LoadServer()
    {
        using var loaded = X509Certificate2.CreateFromPemFile(ServerFile, ServerKeyFile);

        // Windows serves only keys that it keeps itself; the detour by PKCS #12 gives it one.
        return X509CertificateLoader.LoadPkcs12(loaded.Export(X509ContentType.Pkcs12), null);
    }

    public X509Certificate2 LoadRoot() => X509CertificateLoader.LoadCertificateFromFile(RootFile);

    private static bool IsName(string name) =>
        IPAddress.TryParse(name, out _) || (Uri.CheckHostName(name) == UriHostNameType.Dns && name.All(char.IsAscii) && name.Length <= 100);

    private void MakeRoot(IReadOnlyList<string> names)
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var number = Convert.ToHexString(RandomNumberGenerator.GetBytes(3));
        var request = new CertificateRequest($"CN=Trace root {number}", key, HashAlgorithmName.SHA256);
        request.CertificateExtensions.Add(new X509BasicConstraintsExtension(true, true, 0, true));
        request.CertificateExtensions.Add(new X509KeyUsageExtension(X509KeyUsageFlags.KeyCertSign, true));
        request.CertificateExtensions.Add(new X509SubjectKeyIdentifierExtension(request.PublicKey, false));
        request.CertificateExtensions.Add(NameConstraints.For(names));

        // Only for us to read back; what binds is the extension before.
        request.CertificateExtensions.Add(Alternatives(names));
        var now = clock.GetUtcNow();
        using var root = request.CreateSelfSigned(now.AddDays(-1), now.AddDays(RootDays));
        PrivateFolder.Write(RootKeyFile, key.ExportPkcs8PrivateKeyPem());
        PrivateFolder.Write(RootFile, root.ExportCertificatePem());
    }

    private void MakeServer(X509Certificate2 root, IReadOnlyList<string> names)
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest($"CN={names[0]}", key, HashAlgorithmName.SHA256);
        request.CertificateExtensions.Add(new X509BasicConstraintsExtension(false, false, 0, true));
        request.CertificateExtensions.Add(new X509KeyUsageExtension(X509KeyUsageFlags.DigitalSignature, true));
        request.CertificateExtensions.Add(new X509EnhancedKeyUsageExtension([new Oid(ServerUse)], false));
        request.CertificateExtensions.Add(new X509SubjectKeyIdentifierExtension(request.PublicKey, false));
        request.CertificateExtensions.Add(X509AuthorityKeyIdentifierExtension.CreateFromCertificate(root, true, false));
        request.CertificateExtensions.Add(Alternatives(names));
        var now = clock.GetUtcNow();
        var end = now.AddDays(ServerDays);
        var rootEnd = new DateTimeOffset(root.NotAfter.ToUniversalTime());
        using var server = request.Create(root, now.AddDays(-1), end < rootEnd ? end : rootEnd, RandomNumberGenerator.GetBytes(16));

        // The key first: between the two writes the pair does not fit, and is not loaded; the old one in memory serves on.
        PrivateFolder.Write(ServerKeyFile, key.ExportPkcs8PrivateKeyPem());
        PrivateFolder.Write(ServerFile, server.ExportCertificatePem());
    }

    private static X509Extension Alternatives(IReadOnlyList<string> names)
    {
        var builder = new SubjectAlternativeNameBuilder();
        foreach (var name in names)
        {
            if (IPAddress.TryParse(name, out var address)) builder.AddIpAddress(address);
            else builder.AddDnsName(name);
        }

        return builder.Build();
    }
}
