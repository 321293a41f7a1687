using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace Trace.Storage;

/// <summary>
/// A snapshot's file: five lines of text – what it is, the version that wrote it, the number and the hash of the entry it belongs to, and
/// the SHA-256 of the rest – and the snapshot. When anything does not fit it is as if there were none.
/// </summary>
internal static class SnapshotFile
{
    private const string Title = "trace snapshot 1";
    private const int HeadLines = 5;

    /// <param name="hashOf">Hash of an entry in the journal; null if there is no such entry.</param>
    public static ReadOnlyMemory<byte>? Read(string path, string version, Func<long, string?> hashOf, Action<string> log)
    {
        try
        {
            if (!File.Exists(path)) return null;
            var bytes = File.ReadAllBytes(path);
            var end = 0;
            var head = new List<string>();
            while (head.Count < HeadLines && bytes.AsSpan(end).IndexOf((byte)'\n') is >= 0 and var length)
            {
                head.Add(Encoding.ASCII.GetString(bytes, end, length));
                end += length + 1;
            }

            var body = bytes.AsMemory(end);
            var problem = head.Count < HeadLines || head[0] != Title ? "it is none"
                : head[1] != version ? "another version of the program wrote it"
                : !long.TryParse(head[2], NumberStyles.None, CultureInfo.InvariantCulture, out var seq) || hashOf(seq) != head[3]
                    ? "the entry it belongs to is not in the journal"
                : head[4] != Convert.ToHexStringLower(SHA256.HashData(body.Span)) ? "it is damaged"
                : null;
            if (problem is null) return body;
            log($"Snapshot {Path.GetFileName(path)} is not used: {problem}.");
        }
        catch (IOException broken)
        {
            log($"Snapshot {Path.GetFileName(path)} is not used: {broken.Message}");
        }

        return null;
    }

    /// <summary>Writes beside the old one and takes its place when whole. It need not outlive a power cut: its sum tells.</summary>
    public static void Write(string path, string version, long seq, string hash, ReadOnlySpan<byte> body)
    {
        var fresh = path + ".new";
        using (var file = File.Create(fresh))
        {
            file.Write(Encoding.ASCII.GetBytes(string.Create(
                CultureInfo.InvariantCulture, $"{Title}\n{version}\n{seq}\n{hash}\n{Convert.ToHexStringLower(SHA256.HashData(body))}\n")));
            file.Write(body);
        }

        File.Move(fresh, path, overwrite: true);
    }
}
