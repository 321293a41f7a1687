using System.IO.Compression;
using System.Security.Cryptography;
using System.Text;
using System.Text.RegularExpressions;

namespace Trace.Storage;

/// <summary>
/// The secrets beside the journals: a zip file of the folders <c>keys</c> and <c>certificates</c> with a <c>SHA256SUMS</c>. A file of its
/// own, so that whoever finds a backup alone can search no PIN and forge no sign-in with it. It is not encrypted: a pass phrase lost in
/// the very fire would make it worthless, so it is kept as one keeps a key.
/// </summary>
internal static partial class KeyArchive
{
    private const int LargestFile = 1 << 20;
    private const int MostFiles = 1000;
    private const int Looks = 5;

    private static readonly string[] Folders = ["keys", "certificates"];

    /// <returns>The names of what was kept.</returns>
    public static IReadOnlyList<string> Write(StoreFolder folder, string target)
    {
        if (File.Exists(target)) throw new IOException($"The file {target} exists; a backup never overwrites one.");
        var files = OfOneMoment(folder.Root);
        if (files.Count == 0) throw new BackupRefusedException($"There are no keys in {folder.Root}.");
        var part = target + ".part";
        try
        {
            using (var file = BackupArchive.CreatePrivateFile(part))
            {
                using (var zip = new ZipArchive(file, ZipArchiveMode.Create, leaveOpen: true)) Fill(zip, files);
                file.Flush(flushToDisk: true);
            }

            if (!AreSame(files, Read(part))) throw new BackupRefusedException("The keys do not read back as they were written.");
            File.Move(part, target, overwrite: false);
            StoreFolder.FlushFolder(Path.GetDirectoryName(Path.GetFullPath(target))!);
            return [.. files.Keys];
        }
        finally
        {
            File.Delete(part);
        }
    }

    /// <summary>Whether a file holds keys and not journals.</summary>
    public static bool Is(string file)
    {
        try
        {
            using var zip = ZipFile.OpenRead(file);
            return zip.Entries.Any(entry => Name().IsMatch(entry.FullName));
        }
        catch (InvalidDataException)
        {
            return false;
        }
    }

    /// <returns>The names of what was put back.</returns>
    public static IReadOnlyList<string> Restore(string backup, StoreFolder folder, bool force)
    {
        var files = Read(backup);
        folder.Create();
        using var folderLock = folder.Lock();
        var carried = Folders.Where(name => files.Keys.Any(file => file.StartsWith(name + "/", StringComparison.Ordinal))).ToList();
        var present = carried.Where(name => IsFilled(Path.Combine(folder.Root, name))).ToList();
        if (present.Count > 0 && !force)
        {
            throw new BackupRefusedException(
                $"There is something in {string.Join(" and ", present)} of {folder.Root} already; it is replaced only by force.");
        }

        var staging = BackupArchive.Fresh(folder.Root, "restoring-");
        try
        {
            Unpack(files, staging);
            MoveAside(folder.Root, present);
            foreach (var name in carried)
            {
                var place = Path.Combine(folder.Root, name);
                if (Directory.Exists(place)) Directory.Delete(place);
                Directory.Move(Path.Combine(staging, name), place);
            }

            StoreFolder.FlushFolder(folder.Root);
            return [.. files.Keys];
        }
        finally
        {
            if (Directory.Exists(staging)) Directory.Delete(staging, recursive: true);
        }
    }

    /// <summary>A running program may be making a new key or certificate: what is read twice alike belongs together.</summary>
    private static SortedDictionary<string, byte[]> OfOneMoment(string root)
    {
        for (var look = 1; look <= Looks; look++)
        {
            try
            {
                var files = OnDisk(root);
                if (AreSame(files, OnDisk(root))) return files;
            }
            catch (FileNotFoundException) when (look < Looks)
            {
                // Replaced between the list and the look.
            }
        }

        throw new BackupRefusedException("The keys were changing all the while. Try again.");
    }

    private static SortedDictionary<string, byte[]> OnDisk(string root)
    {
        var files = new SortedDictionary<string, byte[]>(StringComparer.Ordinal);
        foreach (var folder in Folders.Where(name => Directory.Exists(Path.Combine(root, name))))
        {
            foreach (var path in Directory.EnumerateFiles(Path.Combine(root, folder)))
            {
                var name = $"{folder}/{Path.GetFileName(path)}";
                if (Name().IsMatch(name)) files.Add(name, File.ReadAllBytes(path));
            }
        }

        return files;
    }

    private static void Fill(ZipArchive zip, SortedDictionary<string, byte[]> files)
    {
        var sums = new StringBuilder();
        foreach (var (name, bytes) in files)
        {
            using var entry = zip.CreateEntry(name).Open();
            entry.Write(bytes);
            sums.Append(SumOf(bytes)).Append("  ").Append(name).Append('\n');
        }

        using var list = zip.CreateEntry(BackupArchive.Sums).Open();
        list.Write(Encoding.ASCII.GetBytes(sums.ToString()));
    }

    /// <summary>Reads and checks: known names only, each with its sum, and nothing larger than a key is.</summary>
    private static SortedDictionary<string, byte[]> Read(string backup)
    {
        try
        {
            using var zip = ZipFile.OpenRead(backup);
            var sums = BackupArchive.ReadSums(zip);
            if (zip.Entries.Count > MostFiles) throw new BackupRefusedException($"{backup} holds more than {MostFiles} files.");
            var files = new SortedDictionary<string, byte[]>(StringComparer.Ordinal);
            foreach (var entry in zip.Entries)
            {
                if (entry.FullName == BackupArchive.Sums) continue;
                if (!Name().IsMatch(entry.FullName) || !sums.Remove(entry.FullName, out var sum))
                    throw new BackupRefusedException($"{entry.FullName} does not belong among keys or has no sum.");
                var bytes = Whole(entry);
                if (SumOf(bytes) != sum)
                    throw new BackupRefusedException($"{entry.FullName} is not what was backed up: its SHA-256 differs.");
                files.Add(entry.FullName, bytes);
            }

            if (sums.Count > 0) throw new BackupRefusedException($"{sums.Keys.First()} is missing from the backup.");
            return files.Count > 0 ? files : throw new BackupRefusedException("The backup holds no key.");
        }
        catch (Exception broken) when (broken is InvalidDataException or EndOfStreamException)
        {
            throw new BackupRefusedException($"{backup} is not a whole zip file.", broken);
        }
    }

    private static byte[] Whole(ZipArchiveEntry entry)
    {
        using var source = entry.Open();
        var buffer = new byte[LargestFile + 1];
        var length = source.ReadAtLeast(buffer, buffer.Length, throwOnEndOfStream: false);
        return length <= LargestFile ? buffer[..length] : throw new BackupRefusedException($"{entry.FullName} is larger than a key is.");
    }

    private static void Unpack(SortedDictionary<string, byte[]> files, string staging)
    {
        StoreFolder.CreatePrivate(staging);
        foreach (var (name, bytes) in files)
        {
            var path = Path.Combine(staging, name);
            StoreFolder.CreatePrivate(Path.GetDirectoryName(path)!);
            using var file = BackupArchive.CreatePrivateFile(path);
            file.Write(bytes);
            file.Flush(flushToDisk: true);
        }

        foreach (var folder in Directory.EnumerateDirectories(staging)) StoreFolder.FlushFolder(folder);
    }

    private static void MoveAside(string root, List<string> folders)
    {
        if (folders.Count == 0) return;
        var aside = BackupArchive.Fresh(root, "replaced-");
        StoreFolder.CreatePrivate(aside);
        foreach (var name in folders) Directory.Move(Path.Combine(root, name), Path.Combine(aside, name));
        StoreFolder.FlushFolder(aside);
    }

    private static bool IsFilled(string folder) => Directory.Exists(folder) && Directory.EnumerateFileSystemEntries(folder).Any();

    private static bool AreSame(SortedDictionary<string, byte[]> left, SortedDictionary<string, byte[]> right) => left.Count == right.Count
        && left.All(file => right.TryGetValue(file.Key, out var bytes) && file.Value.AsSpan().SequenceEqual(bytes));

    private static string SumOf(byte[] bytes) => Convert.ToHexStringLower(SHA256.HashData(bytes));

    /// <summary>
    /// One file in one of the folders, of a kind that is kept there: what is being written (<c>.new</c>, <c>.tmp</c>) is none.
    /// </summary>
    [GeneratedRegex(@"^(?:keys|certificates)/[0-9A-Za-z][0-9A-Za-z_-]{0,99}\.(?:key|xml|crt)$(?!\n)", RegexOptions.CultureInvariant)]
    private static partial Regex Name();
}
