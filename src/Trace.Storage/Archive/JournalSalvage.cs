using System.Globalization;
using Trace.Core.Journal;

namespace Trace.Storage;

/// <summary>
/// Saves what holds of damaged journals. The new folder is a data folder of its own, so what hangs together from the start can be opened;
/// what is cut off is kept apart and never joined to it: that nothing else stood between is not known.
/// </summary>
internal static class JournalSalvage
{
    private const string CutOff = "cut-off";

    public static SalvageReport Run(StoreFolder source, string target)
    {
        target = Path.TrimEndingDirectorySeparator(Path.GetFullPath(target));
        var part = target + ".part";
        if (source.StreamsOnDisk() is not { Count: > 0 } streams) throw new FileNotFoundException($"There is no journal in {source.Root}.");
        if (Path.Exists(target) || Path.Exists(part))
            throw new IOException($"{(Path.Exists(target) ? target : part)} exists; salvage writes to a new folder only.");
        var inside = Path.TrimEndingDirectorySeparator(source.Root) + Path.DirectorySeparatorChar;
        if (target.StartsWith(inside, StringComparison.OrdinalIgnoreCase))
            throw new IOException($"{target} lies in the data folder, which salvage never touches.");
        try
        {
            var folder = new StoreFolder(part);
            folder.Create();
            StoreFolder.CreatePrivate(Path.Combine(part, CutOff));
            var mark = AcknowledgedMark.Read(source);
            var report = new SalvageReport([.. streams.Select(stream => Save(source, folder, stream, mark.Of(stream)))]);
            using (var file = BackupArchive.CreatePrivateFile(Path.Combine(part, "report.txt")))
            {
                using (var text = new StreamWriter(file, leaveOpen: true))
                    foreach (var line in report.Lines) text.Write(line + "\n");
                file.Flush(flushToDisk: true);
            }

            foreach (var written in (string[])[CutOff, "sites", ""]) StoreFolder.FlushFolder(Path.Combine(part, written));
            Directory.Move(part, target);
            StoreFolder.FlushFolder(Path.GetDirectoryName(target)!);
            return report;
        }
        catch
        {
            if (Directory.Exists(part)) Directory.Delete(part, recursive: true);
            throw;
        }
    }

    private static StreamSalvage Save(StoreFolder source, StoreFolder target, string stream, long acknowledged)
    {
        using var file = DiskJournalFile.OpenForReading(source.JournalPath(stream));
        var end = file.Length;
        var scan = JournalScan.Walk(file, end, acknowledged: acknowledged);
        var head = scan.Completed ?? scan.Head;
        if (head.Seq > 0) WriteJournal(file, scan, head, target.JournalPath(stream));
        if (scan.Tail is TailKind.None or TailKind.NewlineMissing) return new StreamSalvage(stream, head.Seq, head.Hash, "", []);
        var trouble = scan.Bad is { } bad
            ? string.Create(CultureInfo.InvariantCulture, $"DAMAGED at entry {bad.Seq}, byte {bad.ByteOffset}: {bad.Reason}")
            : $"a write that was never finished, nor acknowledged, is not in the new journal: {scan.Reason}";
        var runs = WriteRuns(SoundLines.Behind(file, head.Length, end), target, stream);
        return new StreamSalvage(stream, head.Seq, head.Hash, trouble, runs);
    }

    private static void WriteJournal(IJournalFile file, ScanResult scan, StreamHead head, string path)
    {
        using (var copy = BackupArchive.CreatePrivateFile(path))
        {
            BackupArchive.Copy(file, scan.Completed is null ? head.Length : head.Length - 1, copy);
            if (scan.Completed is not null) copy.Write("\n"u8);
            copy.Flush(flushToDisk: true);
        }

        using var written = DiskJournalFile.OpenForReading(path);
        if (JournalScan.Walk(written, written.Length) is not { Tail: TailKind.None } again || again.Head != head)
            throw new IOException($"{path} does not read back as it was written.");
    }

    private static List<SalvagedRun> WriteRuns(IEnumerable<SoundLine> lines, StoreFolder target, string stream)
    {
        var runs = new List<SalvagedRun>();
        EntryLink? last = null;
        FileStream? file = null;
        try
        {
            foreach (var line in lines)
            {
                if (last is { } before && SoundLines.Follows(before, line.Link))
                {
                    runs[^1] = runs[^1] with { LastSeq = line.Link.Seq };
                }
                else
                {
                    Close(file);
                    file = null;
                    // Numbered, since a damaged file may hold the same entry twice.
                    var name = string.Create(CultureInfo.InvariantCulture, $"{CutOff}/{stream}-{runs.Count + 1}-from-{line.Link.Seq}.jsonl");
                    file = BackupArchive.CreatePrivateFile(Path.Combine(target.Root, name));
                    runs.Add(new SalvagedRun(line.Link.Seq, line.Link.Seq, name));
                }

                file!.Write(line.Text.Span);
                file.Write("\n"u8);
                last = line.Link;
            }
        }
        finally
        {
            Close(file);
        }

        return runs;
    }

    private static void Close(FileStream? file)
    {
        file?.Flush(flushToDisk: true);
        file?.Dispose();
    }
}
