using Trace.Core.Journal;

namespace Trace.Storage;

internal static class Verification
{
    public static VerifyReport Run(StoreFolder folder, string? only, IProgress<VerifyProgress>? progress)
    {
        // Before the journals: what it says was in them then.
        var mark = AcknowledgedMark.Read(folder);
        IReadOnlyList<string> names = only is null ? folder.StreamsOnDisk() : [only];
        if (names.Count == 0) throw new FileNotFoundException($"There is no journal in {folder.Root}.");
        var gone = mark.Gone(folder).Where(name => only is null || name == only)
            .Select(name => new StreamReport(name, 0, EntryText.NoHash, new BadEntry(1, 0, mark.WhyGone(name)))).ToList();
        return new VerifyReport(
            [
                .. names.Where(name => gone.All(one => one.Stream != name))
                    .Select(name => Check(folder, name, mark.Of(name), progress)),
                .. gone,
            ]);
    }

    private static StreamReport Check(StoreFolder folder, string name, long acknowledged, IProgress<VerifyProgress>? progress)
    {
        if (!StoreFolder.IsStream(name) || !File.Exists(folder.JournalPath(name)))
            throw new FileNotFoundException($"There is no journal of {name} in {folder.Root}.");
        using var file = DiskJournalFile.OpenForReading(folder.JournalPath(name));
        var end = file.Length;
        var scan = JournalScan.Walk(
            file, end, (entries, bytes) => progress?.Report(new VerifyProgress(name, entries, bytes, end)), acknowledged);
        return new StreamReport(name, scan.Head.Seq, scan.Head.Hash, scan.Bad)
        {
            Behind = scan.Bad is null ? [] : SoundLines.Runs(SoundLines.Behind(file, scan.Head.Length, end)),
        };
    }
}
