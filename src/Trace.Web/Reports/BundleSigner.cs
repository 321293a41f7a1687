using System.Security.Cryptography;
using Trace.Web.Hosting;

namespace Trace.Web.Reports;

/// <summary>
/// Signs bundles with a key of this plant: ECDSA over P-256 with SHA-256, made at the first use and kept beside the other keys. Whoever
/// has the public key, told once by another way, can check with a common tool that a bundle came from here and was not changed.
/// </summary>
internal sealed class BundleSigner
{
    private const string FileName = "bundle-signing.key";
    private static readonly Lock Making = new();

    private BundleSigner(ECDsa key) => this.key = key;

    private readonly ECDsa key;

    public static BundleSigner Of(string dataFolder)
    {
        var folder = PrivateFolder.Ensure(Path.Combine(dataFolder, "keys"));
        var path = Path.Combine(folder.FullName, FileName);
        lock (Making)
        {
            if (!File.Exists(path))
            {
                using var made = ECDsa.Create(ECCurve.NamedCurves.nistP256);
                var part = path + ".part";
                var options = new FileStreamOptions { Mode = FileMode.Create, Access = FileAccess.Write };
                if (!OperatingSystem.IsWindows()) options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
                using (var writer = new StreamWriter(part, options)) writer.Write(made.ExportPkcs8PrivateKeyPem());
                File.Move(part, path, overwrite: false);
            }
        }

        var key = ECDsa.Create();
        key.ImportFromPem(File.ReadAllText(path));
        return new(key);
    }

    /// <summary>PEM, as <c>openssl</c> reads it.</summary>
    public string PublicKey => key.ExportSubjectPublicKeyInfoPem() + "\n";

    /// <summary>SHA-256 of the public key's DER form, to be compared over the telephone.</summary>
    public string Fingerprint => Convert.ToHexStringLower(SHA256.HashData(key.ExportSubjectPublicKeyInfo()));

    /// <summary>In DER form, as <c>openssl dgst -verify</c> wants it.</summary>
    public byte[] Sign(ReadOnlySpan<byte> data) => key.SignData(data, HashAlgorithmName.SHA256, DSASignatureFormat.Rfc3279DerSequence);
}
