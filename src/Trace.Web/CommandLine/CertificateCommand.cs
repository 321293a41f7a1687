using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Trace.Web.Transport;

namespace Trace.Web.CommandLine;

/// <summary>Makes or renews the certificates, and tells how tablets come to trust the root.</summary>
internal static class CertificateCommand
{
    public static int Run(Serving serving, string[] asked, bool newRoot)
    {
        var certificates = new Certificates(serving.Settings.DataFolder, TimeProvider.System);
        if (asked.Length > 0) certificates.Make(asked, newRoot);
        else if (certificates.Exist && !newRoot) certificates.Renew();
        else throw new CommandRefusedException("Give this machine's names and addresses, as tablets will type them: --name trace.example.org --name 192.0.2.10");
        using var server = certificates.LoadServer();
        using var root = certificates.LoadRoot();
        var port = serving.Edges.HttpsPort ?? 5443;
        var first = Certificates.NamesOf(server)[0];
        var host = first.Contains(':', StringComparison.Ordinal) ? $"[{first}]" : first;
        var names = string.Join(", ", Certificates.NamesOf(server));
        var print = string.Join(':', root.GetCertHash(HashAlgorithmName.SHA256).Select(part => part.ToString("X2", null)));
        Console.WriteLine($"""
            Server certificate for {names}, until {server.NotAfter.ToUniversalTime():yyyy-MM-dd}. A running server renews it by itself.
            Root until {root.NotAfter.ToUniversalTime():yyyy-MM-dd}, good for these names alone: {certificates.RootFile}
            Fingerprint of the root (SHA-256): {print}

            Start: serve --https-port {port}
            Each tablet must trust the root once. Bring the file root.crt to it, best on a memory stick; or open
            https://{host}:{port}{Tls.RootPath} there, past the browser's warning this once, and compare the fingerprint.
              Android: Settings, search for 'CA certificate', choose to install one anyway, pick the file.
              iPad, iPhone: open the file, then Settings, General, VPN and device management, install the profile;
                then Settings, General, About, Certificate trust settings, switch the root on.
              Windows: open the file, Install certificate, Local machine, Place in the following store: Trusted root authorities.
            Then https://{host}:{port} opens without a warning. A warning after that day means: stop, and ask who set up the network.
            The files *.key in that folder are secret: whoever has root.key can pass for this machine.
            """);
        return 0;
    }
}
