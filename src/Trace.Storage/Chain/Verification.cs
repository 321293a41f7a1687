namespace Trace.Storage;

internal static class Verification
{
    public static VerifyReport Run(StoreFolder folder, string? only, IProgress<VerifyProgress>? progress)
    {
        IReadOnlyList<string> names = only is null ? folder.StreamsOnDisk() : [only];
        if (names.Count == 0) throw new FileNotFoundException($"There is no journal in {folder.Root}.");
        return new VerifyReport([.. names.Select(name => Check(folder, name, progress))]);
    }

    private static StreamReport Check(StoreFolder folder, string name, IProgress<VerifyProgress>? progress)
    {
        if (!StoreFolder.IsStream(name) || !File.Exists(folder.JournalPath(name)))
            throw new FileNotFoundException($"There is no journal of {name} in {folder.Root}.");
        using var file = DiskJournalFile.OpenForReading(folder.JournalPath(name));
        var end = file.Length;
        var scan = JournalScan.Walk(file, end, (entries, bytes) => progress?.Report(new VerifyProgress(name, entries, bytes, end)));
        return new StreamReport(name, scan.Head.Seq, scan.Head.Hash, scan.Bad)
        {
            Behind = scan.Bad is null ? [] : SoundLines.Runs(SoundLines.Behind(file, scan.Head.Length, end)),
        };
    }
}
