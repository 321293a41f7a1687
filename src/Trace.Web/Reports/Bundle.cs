using System.IO.Compression;
using System.Security.Cryptography;
using System.Text;

namespace Trace.Web.Reports;

/// <summary>
/// A ZIP that proves itself: documents, tables, the part of the journal that they rest on, the checksums of all of it,
/// a signature over the checksums, and a page that says how to check it with common tools.
/// </summary>
internal sealed class Bundle : IDisposable
{
    public const string Sums = "SHA256SUMS", Signature = "SHA256SUMS.sig", PublicKey = "public-key.pem", HowTo = "HOW-TO-CHECK.txt";

    private readonly ZipArchive zip;
    private readonly SortedDictionary<string, string> sums = new(StringComparer.Ordinal);

    public Bundle(Stream to) => zip = new ZipArchive(to, ZipArchiveMode.Create, leaveOpen: true);

    public void Add(string name, string text) => Add(name, stream => stream.Write(Encoding.UTF8.GetBytes(text)));

    /// <summary>Writes a file piece by piece: a journal is never held whole.</summary>
    public void Add(string name, Action<Stream> write)
    {
        using var hash = SHA256.Create();
        using (var entry = zip.CreateEntry(name, CompressionLevel.Optimal).Open())
        using (var hashed = new CryptoStream(entry, hash, CryptoStreamMode.Write, leaveOpen: true))
            write(hashed);
        sums[name] = Convert.ToHexStringLower(hash.Hash!);
    }

    /// <summary>Checksums, signature, and how to check: last, since they are about all that came before.</summary>
    public void Finish(BundleSigner signer, string about, DateTimeOffset madeAt)
    {
        Add(HowTo, Explain(signer, about, madeAt));
        var list = string.Concat(sums.Select(one => $"{one.Value}  {one.Key}\n"));
        var bytes = Encoding.ASCII.GetBytes(list);
        Put(Sums, bytes);
        Put(Signature, signer.Sign(bytes));
        Put(PublicKey, Encoding.ASCII.GetBytes(signer.PublicKey));
    }

    private void Put(string name, byte[] content)
    {
        using var entry = zip.CreateEntry(name).Open();
        entry.Write(content);
    }

    private static string Explain(BundleSigner signer, string about, DateTimeOffset madeAt) => FormattableString.Invariant($$"""
        {{about}}
        Made {{madeAt:yyyy-MM-dd HH:mm:ss zzz}} by Trace 0.1.

        1. Nothing was changed since it was made. In the unpacked folder:
             sha256sum -c SHA256SUMS
           (on macOS: shasum -a 256 -c SHA256SUMS)

        2. It came from this plant:
             openssl dgst -sha256 -verify public-key.pem -signature SHA256SUMS.sig SHA256SUMS
           The key itself proves nothing: compare its fingerprint with the one that the plant told you by another way.
             openssl pkey -pubin -in public-key.pem -outform DER | sha256sum
           {{signer.Fingerprint}}

        3. The part of the journal is whole: no entry was changed, left out or put in. In bash:
             previous=$(head -n 1 journal.jsonl | sed 's/.*"previousHash":"\([0-9a-f]*\)".*/\1/')
             while IFS= read -r line; do
               body=${line%,\"hash\":*}; hash=${line: -66:64}
               [ "$(printf %s "$body" | sha256sum | cut -d' ' -f1)" = "$hash" ] || { echo "changed: $line"; exit 1; }
               [[ $body == *"\"previousHash\":\"$previous\"" ]] || { echo "out of line: $line"; exit 1; }
               previous=$hash
             done < journal.jsonl; echo "chain holds, head $previous"
           A document names in its foot the entry up to which it was made.

        A report tells what is on record. It is no proof of safety.

        """).ReplaceLineEndings("\n");

    public void Dispose() => zip.Dispose();
}
