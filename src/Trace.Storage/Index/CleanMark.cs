using System.Security.Cryptography;
using System.Text;

namespace Trace.Storage;

/// <summary>
/// A small file beside the index: the layout of the index and the SHA-256 of its file when it was closed. It is taken away while the
/// index is open, so that after a crash, a power cut or a single changed byte the index is built anew.
/// </summary>
internal static class CleanMark
{
    private const string Layout = "trace index 2";

    /// <summary>True if the index is what was closed, in which case the mark is gone now; else why not.</summary>
    public static bool Take(string folder, out string reason)
    {
        var (mark, file) = Paths(folder);
        reason = "there is none";
        if (!File.Exists(file)) return false;
        reason = "it was not closed cleanly";
        if (!File.Exists(mark) || File.Exists(Path.Combine(folder, "query-log.db"))) return false;
        reason = "its file is not what was closed";
        if (File.ReadAllText(mark) != TextFor(file)) return false;
        File.Delete(mark);
        StoreFolder.FlushFolder(folder);
        return true;
    }

    public static void Leave(string folder)
    {
        var (mark, file) = Paths(folder);
        File.WriteAllText(mark, TextFor(file));
    }

    private static (string Mark, string File) Paths(string folder) => (Path.Combine(folder, "closed"), Path.Combine(folder, "query.db"));

    private static string TextFor(string file)
    {
        using var stream = File.OpenRead(file);
        return $"{Layout}\n{Convert.ToHexStringLower(SHA256.HashData(stream))}\n";
    }
}
