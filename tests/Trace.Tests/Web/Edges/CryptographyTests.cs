using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using System.Xml.Linq;
using Trace.Core.Access;
using Trace.Tests.CommandLine;
using Trace.Web.Access;
using Trace.Web.Transport;
using Xunit;

namespace Trace.Tests.Web.Edges;

/// <summary>What keys and algorithms are in use, read from what the program has written and not from what it means to do.</summary>
public sealed class CryptographyTests
{
    /// <summary>AES-256 in CBC mode and then HMAC-SHA-256 over it: encrypt-then-MAC of two approved algorithms (FIPS 197, FIPS 198-1; from memory).</summary>
    [Fact]
    [Asvs("11.3.1", "11.3.2", "11.3.3")]
    public async Task Cookies_are_encrypted_by_AES_and_their_change_is_noticed()
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Ben", RoleName.Packer);
        var entered = await site.Visitor().PostForm("/sign-in", new() { ["name"] = "Ben", ["secret"] = RunningSite.Password });
        var key = XDocument.Load(Assert.Single(Directory.EnumerateFiles(Path.Combine(site.DataFolder, "keys"), "key-*.xml")));
        Assert.Equal("AES_256_CBC", key.Descendants("encryption").Single().Attribute("algorithm")!.Value);
        Assert.Equal("HMACSHA256", key.Descendants("validation").Single().Attribute("algorithm")!.Value);
        Assert.True(Convert.FromBase64String(key.Descendants("value").Single().Value).Length >= 32);

        var cookie = entered.Headers.GetValues("Set-Cookie").Last(text => text.StartsWith("trace=", StringComparison.Ordinal)).Split(';')[0];
        Assert.Equal(System.Net.HttpStatusCode.OK, (await site.Visitor(cookie: cookie).Open("/bench")).StatusCode);
        for (var place = "trace=".Length + 2; place < cookie.Length - 2; place += 7)
        {
            var changed = $"{cookie[..place]}{(cookie[place] == 'A' ? 'B' : 'A')}{cookie[(place + 1)..]}";
            Assert.Equal(System.Net.HttpStatusCode.Redirect, (await site.Visitor(cookie: changed).Open("/bench")).StatusCode);
        }
    }

    /// <summary>ECDSA on P-256 with SHA-256 (FIPS 186-5, approved; OID 1.2.840.10045.4.3.2 of RFC 5758 §3.2; from memory).</summary>
    [Fact]
    [Asvs("11.6.1", "11.2.3")]
    public void Certificates_are_signed_by_ECDSA_with_SHA_256_and_all_keys_have_128_bits_of_strength()
    {
        using var folder = new Folder();
        var certificates = new Certificates(folder["data"], TimeProvider.System);
        certificates.Make(["trace.example.org"], newRoot: false);
        using var root = certificates.LoadRoot();
        using var server = certificates.LoadServer();
        foreach (var certificate in new[] { root, server })
        {
            Assert.Equal("1.2.840.10045.4.3.2", certificate.SignatureAlgorithm.Value);
            using var key = certificate.GetECDsaPublicKey()!;
            Assert.Equal(ECCurve.NamedCurves.nistP256.Oid.Value, key.ExportParameters(includePrivateParameters: false).Curve.Oid.Value);
        }

        // A curve of 256 bits gives about 128 bits of strength (NIST SP 800-57 part 1, table 2; from memory); random keys give their length.
        Assert.NotEqual(Convert.ToHexString(root.GetPublicKey()), Convert.ToHexString(server.GetPublicKey()));
        _ = new SecretHasher(folder["data"]);
        Assert.Equal(256, File.ReadAllBytes(Path.Combine(folder["data"], "keys", "sign-in.key")).Length * 8);
        Assert.Equal(256, SHA256.HashSizeInBits);
        Assert.Equal(64, Secrets.HashOf("x").Length);
    }

    /// <summary>
    /// The head of the framework's format 3: the function (2 is HMAC-SHA-512), rounds, and salt of the derivation PBKDF2. That the rounds
    /// are fewer than today's advice stands as open in the table.
    /// </summary>
    [Fact]
    public void Secrets_are_kept_by_PBKDF2_with_HMAC_SHA_512_and_a_salt_of_their_own()
    {
        using var folder = new Folder();
        var hasher = new SecretHasher(folder.Path);
        var kept = new[] { hasher.Hash("2749"), hasher.Hash("2749") }.Select(Convert.FromBase64String).ToList();
        foreach (var hash in kept)
        {
            Assert.Equal(1, hash[0]);
            Assert.Equal(2, Number(hash, 1));
            Assert.True(Number(hash, 5) >= 100_000, $"{Number(hash, 5)} rounds");
            Assert.Equal(16, Number(hash, 9));
        }

        Assert.NotEqual(Convert.ToHexString(kept[0].AsSpan(13, 16)), Convert.ToHexString(kept[1].AsSpan(13, 16)));
    }

    private static int Number(byte[] hash, int at) => System.Buffers.Binary.BinaryPrimitives.ReadInt32BigEndian(hash.AsSpan(at));
}
