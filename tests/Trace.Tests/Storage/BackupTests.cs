using System.IO.Compression;
using Trace.Core.Journal;
using Trace.Storage;
using Xunit;

namespace Trace.Tests.Storage;

public class BackupTests
{
    [Fact]
    public async Task A_backup_taken_while_writing_restores_to_whole_batches()
    {
        using var folder = new TempFolder();
        using var target = new TempFolder();
        using var store = folder.Open();
        await store.Add(JournalStreams.Access);
        await store.Add("S1", 3);
        using var stop = new CancellationTokenSource();
        var writing = Task.Run(
            async () =>
            {
                while (!stop.IsCancellationRequested) await store.Add("S1", 3);
            },
            TestContext.Current.CancellationToken);
        var reports = Enumerable.Range(0, 5).Select(number => TraceStorage.Backup(folder.Path, target.File($"b{number}.zip"))).ToList();
        await stop.CancelAsync();
        await writing;

        Assert.All(reports, report => Assert.Equal(0, report.Streams[0].Entries % 3));
        Assert.Equal(["S1", "access"], reports[4].Streams.Select(stream => stream.Stream));
        var restored = TraceStorage.Restore(target.File("b4.zip"), target.File("data"));
        Assert.Equal(reports[4].Streams, restored.Streams);
        using var again = TraceStorage.Open(target.File("data"));
        Assert.Equal(reports[4].Streams[0].Entries, again.Head("S1"));
        Assert.Equal(store.Get("S1", again.Head("S1"))!.Hash, again.Read("S1").Last().Hash);
        Assert.NotEmpty(again.Query(new EntryQuery("S1", "L1")).Entries);
        Assert.Empty(Directory.EnumerateFileSystemEntries(folder.Path, "checking-*"));
    }

    [Fact]
    public async Task Restoring_never_replaces_journals_without_force_and_with_it_keeps_them_aside()
    {
        using var folder = new TempFolder();
        await folder.Fill(1);
        TraceStorage.Backup(folder.Path, folder.File("b.zip"));
        Assert.Throws<IOException>(() => TraceStorage.Backup(folder.Path, folder.File("b.zip")));
        await folder.Fill(1);
        Assert.Throws<BackupRefusedException>(() => TraceStorage.Restore(folder.File("b.zip"), folder.Path));
        Assert.Equal(2, TraceStorage.Verify(folder.Path).Streams.Single().Entries);
        using (folder.Open())
            Assert.Throws<StoreInUseException>(() => TraceStorage.Restore(folder.File("b.zip"), folder.Path, force: true));
        TraceStorage.Restore(folder.File("b.zip"), folder.Path, force: true);
        Assert.Equal(1, TraceStorage.Verify(folder.Path).Streams.Single().Entries);
        Assert.Equal(2, TraceStorage.Verify(folder.File("replaced-1")).Streams.Single().Entries);
        using var store = folder.Open();
        Assert.Equal(1, store.Query(new EntryQuery("S1", "L1")).Entries.Single().Seq);
    }

    [Fact]
    public async Task A_backup_that_does_not_verify_is_refused_and_touches_nothing()
    {
        using var folder = new TempFolder();
        await folder.Fill(1, 2);
        TraceStorage.Backup(folder.Path, folder.File("b.zip"));
        Action<ZipArchive>[] harms =
        [
            zip => zip.GetEntry("SHA256SUMS")!.Delete(),
            zip => zip.GetEntry("sites/S1.jsonl")!.Delete(),
            zip => zip.CreateEntry("sites/S2.jsonl"),
            zip => zip.CreateEntry("../S2.jsonl"),
            zip => Change(zip, text => text.Replace("Ann", "Eve", StringComparison.Ordinal), mendSum: false),
            zip => Change(zip, text => text.Replace("Ann", "Eve", StringComparison.Ordinal), mendSum: true),
            zip => Change(zip, text => text[..^100], mendSum: true),
            zip => Change(zip, text => text[..(text.TrimEnd().LastIndexOf('\n') + 1)], mendSum: true),
        ];
        foreach (var harm in harms)
        {
            File.Copy(folder.File("b.zip"), folder.File("bad.zip"), overwrite: true);
            using (var zip = ZipFile.Open(folder.File("bad.zip"), ZipArchiveMode.Update)) harm(zip);
            Refused();
        }

        var bytes = await File.ReadAllBytesAsync(folder.File("b.zip"), TestContext.Current.CancellationToken);
        await File.WriteAllBytesAsync(folder.File("bad.zip"), bytes[..(bytes.Length / 2)], TestContext.Current.CancellationToken);
        Refused();
        Assert.Throws<BackupRefusedException>(() => TraceStorage.Backup(folder.File("nothing"), folder.File("c.zip")));
        Assert.Throws<FileNotFoundException>(() => TraceStorage.Verify(folder.File("nothing")));

        void Refused()
        {
            Assert.Throws<BackupRefusedException>(() => TraceStorage.Restore(folder.File("bad.zip"), folder.Path, force: true));
            Assert.Equal(3, TraceStorage.Verify(folder.Path).Streams.Single().Entries);
            Assert.Empty(Directory.EnumerateDirectories(folder.Path, "re*-*"));
        }
    }

    private static void Change(ZipArchive zip, Func<string, string> change, bool mendSum)
    {
        const string name = "sites/S1.jsonl";
        string text;
        using (var reader = new StreamReader(zip.GetEntry(name)!.Open())) text = change(reader.ReadToEnd());
        Replace(zip, name, text);
        var sum = EntryText.Hash(System.Text.Encoding.UTF8.GetBytes(text));
        if (mendSum) Replace(zip, "SHA256SUMS", $"{sum}  {name}\n");
    }

    private static void Replace(ZipArchive zip, string name, string text)
    {
        zip.GetEntry(name)!.Delete();
        using var writer = new StreamWriter(zip.CreateEntry(name).Open());
        writer.Write(text);
    }
}
