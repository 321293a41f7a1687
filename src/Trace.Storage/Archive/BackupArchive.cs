using System.Diagnostics.CodeAnalysis;
using System.IO.Compression;
using System.Security.Cryptography;
using System.Text;
using Trace.Core.Journal;

namespace Trace.Storage;

/// <summary>A backup was not made, or is not good enough to be put back.</summary>
public sealed class BackupRefusedException(string reason, Exception? inner = null) : Exception(reason, inner);

/// <summary>
/// A backup is a zip file of the journals as they are, with a <c>SHA256SUMS</c> that <c>sha256sum -c</c> reads. The index is never in it.
/// </summary>
internal static class BackupArchive
{
    internal const string Sums = "SHA256SUMS";

    public static VerifyReport Write(StoreFolder folder, string target)
    {
        if (folder.StreamsOnDisk().Count == 0) throw new BackupRefusedException($"There is no journal in {folder.Root}.");
        var part = target + ".part";
        if (File.Exists(target)) throw new IOException($"The file {target} exists; a backup never overwrites one.");
        try
        {
            using (var file = CreatePrivateFile(part))
            {
                using (var zip = new ZipArchive(file, ZipArchiveMode.Create, leaveOpen: true)) Fill(zip, folder);
                file.Flush(flushToDisk: true);
            }

            var report = Inspect(part, folder.Root);
            File.Move(part, target, overwrite: false);
            StoreFolder.FlushFolder(Path.GetDirectoryName(Path.GetFullPath(target))!);
            return report;
        }
        finally
        {
            File.Delete(part);
        }
    }

    public static VerifyReport Restore(string backup, StoreFolder folder, bool force)
    {
        folder.Create();
        using var folderLock = folder.Lock();
        var present = folder.StreamsOnDisk();
        if (present.Count > 0 && !force)
            throw new BackupRefusedException($"There are journals in {folder.Root}; they are replaced only by force.");
        var staging = Fresh(folder.Root, "restoring-");
        try
        {
            var report = Extract(backup, staging);
            AcknowledgedMark.Remove(folder);
            if (present.Count > 0) MoveJournals(folder, new StoreFolder(Fresh(folder.Root, "replaced-")));
            Directory.Delete(folder.Index, recursive: true);
            MoveJournals(new StoreFolder(staging), folder);
            return report;
        }
        finally
        {
            if (Directory.Exists(staging)) Directory.Delete(staging, recursive: true);
        }
    }

    public static VerifyReport Export(StoreFolder folder, string site, string target)
    {
        if (site == JournalStreams.Access || !folder.StreamsOnDisk().Contains(site))
            throw new BackupRefusedException($"There is no site {site} in {folder.Root}.");
        var mark = AcknowledgedMark.Read(folder);
        using var file = DiskJournalFile.OpenForReading(folder.JournalPath(site));
        var scan = JournalScan.Walk(file, file.Length, acknowledged: mark.Of(site));
        if (scan.Bad is { } bad) throw new BackupRefusedException($"Journal {site} is damaged at entry {bad.Seq} (byte {bad.ByteOffset}): {bad.Reason}");
        using var copy = CreatePrivateFile(target);
        Copy(file, scan.Head.Length, copy);
        copy.Flush(flushToDisk: true);
        return new VerifyReport([new StreamReport(site, scan.Head.Seq, scan.Head.Hash, null)]);
    }

    private static void Fill(ZipArchive zip, StoreFolder folder)
    {
        var mark = AcknowledgedMark.Read(folder);
        if (mark.Gone(folder).FirstOrDefault() is { } gone) throw new BackupRefusedException($"Journal {gone}: {mark.WhyGone(gone)}");
        var sums = new StringBuilder();
        foreach (var stream in folder.StreamsOnDisk())
        {
            using var file = DiskJournalFile.OpenForReading(folder.JournalPath(stream));
            var scan = JournalScan.Walk(file, file.Length, acknowledged: mark.Of(stream));
            if (scan.Bad is { } bad)
                throw new BackupRefusedException($"Journal {stream} is damaged at entry {bad.Seq} (byte {bad.ByteOffset}): {bad.Reason}");
            var name = StoreFolder.RelativePath(stream);
            using var entry = zip.CreateEntry(name).Open();
            sums.Append(Copy(file, scan.Head.Length, entry)).Append("  ").Append(name).Append('\n');
        }

        using var list = zip.CreateEntry(Sums).Open();
        list.Write(Encoding.ASCII.GetBytes(sums.ToString()));
    }

    internal static string Copy(IJournalFile file, long length, Stream target)
    {
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        var buffer = new byte[128 * 1024];
        for (long at = 0; at < length;)
        {
            var got = file.Read(at, buffer.AsSpan(0, (int)Math.Min(buffer.Length, length - at)));
            if (got == 0) throw new BackupRefusedException("A journal became shorter while it was copied.");
            hash.AppendData(buffer, 0, got);
            target.Write(buffer, 0, got);
            at += got;
        }

        return Convert.ToHexStringLower(hash.GetHashAndReset());
    }

    /// <summary>Reads a backup as a restore would, in a folder of its own that is gone afterwards.</summary>
    private static VerifyReport Inspect(string backup, string near)
    {
        var staging = Fresh(near, "checking-");
        try
        {
            return Extract(backup, staging);
        }
        finally
        {
            Directory.Delete(staging, recursive: true);
        }
    }

    /// <summary>Unpacks and checks: known names only, each with its sum, each chain sound and whole.</summary>
    private static VerifyReport Extract(string backup, string staging)
    {
        try
        {
            using var zip = ZipFile.OpenRead(backup);
            var sums = ReadSums(zip);
            var folder = new StoreFolder(staging);
            folder.Create();
            foreach (var entry in zip.Entries)
            {
                if (entry.FullName == Sums) continue;
                if (StoreFolder.StreamOf(entry.FullName) is not { } stream || !sums.Remove(entry.FullName, out var sum))
                    throw new BackupRefusedException($"{entry.FullName} does not belong in a backup or has no sum.");
                Unpack(entry, folder.JournalPath(stream), sum);
            }

            if (sums.Count > 0) throw new BackupRefusedException($"{sums.Keys.First()} is missing from the backup.");
            return CheckChains(folder);
        }
        catch (Exception broken) when (broken is InvalidDataException or EndOfStreamException)
        {
            throw new BackupRefusedException($"{backup} is not a whole zip file.", broken);
        }
    }

    private static VerifyReport CheckChains(StoreFolder folder)
    {
        if (folder.StreamsOnDisk().Count == 0) throw new BackupRefusedException("The backup holds no journal.");
        var streams = new List<StreamReport>();
        foreach (var stream in folder.StreamsOnDisk())
        {
            using var file = DiskJournalFile.OpenForReading(folder.JournalPath(stream));
            var scan = JournalScan.Walk(file, file.Length);
            if (scan.Tail != TailKind.None)
                throw new BackupRefusedException($"The chain of {stream} breaks after entry {scan.Head.Seq}: {scan.Reason}");
            streams.Add(new StreamReport(stream, scan.Head.Seq, scan.Head.Hash, null));
        }

        return new VerifyReport(streams);
    }

    internal static Dictionary<string, string> ReadSums(ZipArchive zip)
    {
        var entry = zip.GetEntry(Sums) ?? throw new BackupRefusedException($"The backup has no {Sums}.");
        using var reader = new StreamReader(entry.Open(), Encoding.ASCII);
        var sums = new Dictionary<string, string>(StringComparer.Ordinal);
        while (reader.ReadLine() is { } line)
            if (line.Length < 67 || !sums.TryAdd(line[66..], line[..64])) throw new BackupRefusedException($"{Sums} cannot be read.");
        return sums;
    }

    private static void Unpack(ZipArchiveEntry entry, string path, string sum)
    {
        using var source = entry.Open();
        using var target = CreatePrivateFile(path);
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        var buffer = new byte[128 * 1024];
        for (int got; (got = source.Read(buffer)) > 0;)
        {
            hash.AppendData(buffer, 0, got);
            target.Write(buffer, 0, got);
        }

        target.Flush(flushToDisk: true);
        if (Convert.ToHexStringLower(hash.GetHashAndReset()) != sum)
            throw new BackupRefusedException($"{entry.FullName} is not what was backed up: its SHA-256 differs.");
    }

    private static void MoveJournals(StoreFolder from, StoreFolder to)
    {
        to.Create();
        foreach (var stream in from.StreamsOnDisk()) File.Move(from.JournalPath(stream), to.JournalPath(stream), overwrite: false);
        foreach (var folder in (string[])[from.Root, to.Root])
        {
            StoreFolder.FlushFolder(Path.Combine(folder, "sites"));
            StoreFolder.FlushFolder(folder);
        }
    }

    internal static string Fresh(string root, string prefix)
    {
        var number = 1;
        while (Directory.Exists(Path.Combine(root, prefix + number))) number++;
        return Path.Combine(root, prefix + number);
    }

    [SuppressMessage("Interoperability", "CA1416", Justification = "Asked for the mode only where there is one.")]
    internal static FileStream CreatePrivateFile(string path) => new(path, new FileStreamOptions
    {
        Mode = FileMode.CreateNew,
        Access = FileAccess.Write,
        UnixCreateMode = OperatingSystem.IsWindows() ? null : UnixFileMode.UserRead | UnixFileMode.UserWrite,
    });
}
