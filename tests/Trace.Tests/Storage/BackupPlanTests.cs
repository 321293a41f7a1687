using Trace.Core.Journal;
using Trace.Storage;
using Trace.Web.Hosting;
using Xunit;

namespace Trace.Tests.Storage;

public class BackupPlanTests
{
    [Fact]
    public async Task Backups_are_made_when_due_and_only_so_many_of_its_own_are_kept()
    {
        using var folder = new TempFolder();
        await folder.Fill(2, 1);
        var plan = new BackupPlan(folder.File("backups"), TimeSpan.FromHours(24), 3);
        Directory.CreateDirectory(plan.Folder);
        var foreign = Path.Combine(plan.Folder, "trace-backup-by-hand.zip");
        await File.WriteAllTextAsync(foreign, "mine", TestContext.Current.CancellationToken);
        var made = new List<string?>();
        for (var hour = 0; hour < 24 * 6; hour += 6) made.Add(BackupTimer.Run(folder.Path, plan, Some.Noon.AddHours(hour)));
        Assert.Equal(6, made.Count(file => file is not null));
        Assert.Equal(made.OfType<string>().TakeLast(3), BackupTimer.Made(plan.Folder).Select(file => file.Path));
        Assert.Equal("trace-backup-20260301-110000Z.zip", Path.GetFileName(made[0]));
        Assert.True(File.Exists(foreign));
        using var target = new TempFolder();
        Assert.Equal(3, TraceStorage.Restore(made[^4]!, target.Path).Streams.Single().Entries);
    }

    [Fact]
    public async Task A_backup_that_fails_leaves_all_older_ones()
    {
        using var folder = new TempFolder();
        await folder.Fill(2, 1, 4);
        var plan = new BackupPlan(folder.File("backups"), TimeSpan.FromHours(1), 1);
        var first = BackupTimer.Run(folder.Path, plan, Some.Noon)!;
        var bytes = await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken);
        bytes[bytes.Length / 2] ^= 1;
        await File.WriteAllBytesAsync(folder.Site, bytes, TestContext.Current.CancellationToken);
        Assert.Throws<BackupRefusedException>(() => BackupTimer.Run(folder.Path, plan, Some.Noon.AddHours(2)));
        Assert.Equal([first], Directory.EnumerateFiles(plan.Folder));
    }

    [Fact]
    public async Task Backups_while_eight_clients_write_hold_all_that_was_answered_before_and_only_whole_batches()
    {
        using var folder = new TempFolder();
        using var store = folder.Open();
        await store.Add("S1");
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        var turn = new Lock();
        var writers = Enumerable.Range(0, 8).Select(writer => Task.Run(
            async () =>
            {
                while (!stop.IsCancellationRequested)
                {
                    var entries = Enumerable.Range(0, 1 + (writer % 3)).Select(number => Some.Entry(number, "L" + writer)).ToList();
                    try
                    {
                        Task<Appended> append;
                        lock (turn) append = store.AppendAsync(new EntryBatch(writer < 4 ? "S1" : "S2", store.Head(writer < 4 ? "S1" : "S2"), entries));
                        await append;
                    }
                    catch (HeadMovedException)
                    {
                        // Another writer was quicker.
                    }
                }
            },
            stop.Token)).ToList();
        var grown = 0L;
        for (var backup = 0; backup < 12; backup++)
        {
            var before = store.Head("S1");
            TraceStorage.Backup(folder.Path, folder.File($"b{backup}.zip"));
            using var target = new TempFolder();
            var report = TraceStorage.Restore(folder.File($"b{backup}.zip"), target.Path);
            var restored = report.Streams.Single(stream => stream.Stream == "S1").Entries;
            Assert.InRange(restored, before, store.Head("S1"));
            Assert.True(TraceStorage.Verify(target.Path).Sound);
            using var again = target.Open();
            Assert.Null(again.Stopped);
            Assert.Equal(store.Get("S1", restored)!.Hash, again.Get("S1", restored)!.Hash);
            Assert.True(store.Get("S1", restored) is { } last && last.Part == last.Parts);
            grown = restored;
        }

        await stop.CancelAsync();
        await Task.WhenAll(writers);
        Assert.True(grown > 50, $"Only {grown} entries were written meanwhile.");
    }
}
