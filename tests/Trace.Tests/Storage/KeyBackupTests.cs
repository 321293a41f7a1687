using System.IO.Compression;
using System.Text;
using Trace.Core.Journal;
using Trace.Storage;
using Trace.Web.Hosting;
using Xunit;

namespace Trace.Tests.Storage;

/// <summary>The second file of a backup: keys and certificates.</summary>
public class KeyBackupTests
{
    private static readonly string[] Kept = ["certificates/root.crt", "certificates/root.key", "keys/key-1.xml", "keys/sign-in.key"];

    [Fact]
    public void Keys_come_back_to_the_byte_and_for_their_owner_alone()
    {
        using var folder = new TempFolder();
        Fill(folder.Path);

        // What is just being written is no key yet, and what else lies about is none of ours.
        File.WriteAllText(folder.File("keys/key-2.xml.tmp"), "half");
        File.WriteAllText(folder.File("keys/notes.txt"), "mine");
        var file = folder.File("b.keys.zip");
        Assert.Equal(Kept, TraceStorage.BackupKeys(folder.Path, file));
        Assert.Throws<IOException>(() => TraceStorage.BackupKeys(folder.Path, file));
        Assert.True(TraceStorage.HoldsKeys(file));
        using var target = new TempFolder();
        Assert.Equal(Kept, TraceStorage.RestoreKeys(file, target.File("data")));
        foreach (var name in Kept)
        {
            Assert.Equal(File.ReadAllBytes(folder.File(name)), File.ReadAllBytes(target.File("data/" + name)));
            Private(target.File("data/" + name));
        }

        Assert.Equal(2, Directory.EnumerateFiles(target.File("data/keys")).Count());
        Private(file);
        Private(target.File("data/keys"), UnixFileMode.UserExecute);
        Private(target.File("data/certificates"), UnixFileMode.UserExecute);
        Assert.Empty(Directory.EnumerateFileSystemEntries(target.File("data"), "restoring-*"));
    }

    [Fact]
    public void Keys_that_are_there_are_replaced_by_force_alone_and_kept_aside()
    {
        using var folder = new TempFolder();
        Fill(folder.Path);
        TraceStorage.BackupKeys(folder.Path, folder.File("b.keys.zip"));
        File.WriteAllText(folder.File("keys/sign-in.key"), "newer");
        Assert.Contains("force", Assert.Throws<BackupRefusedException>(() => TraceStorage.RestoreKeys(folder.File("b.keys.zip"), folder.Path)).Message, StringComparison.Ordinal);
        Assert.Equal("newer", File.ReadAllText(folder.File("keys/sign-in.key")));
        using (folder.Open())
            Assert.Throws<StoreInUseException>(() => TraceStorage.RestoreKeys(folder.File("b.keys.zip"), folder.Path, force: true));
        TraceStorage.RestoreKeys(folder.File("b.keys.zip"), folder.Path, force: true);
        Assert.Equal("secret of keys/sign-in.key", File.ReadAllText(folder.File("keys/sign-in.key")));
        Assert.Equal("newer", File.ReadAllText(folder.File("replaced-1/keys/sign-in.key")));
    }

    [Fact]
    [Asvs("5.3.2")]
    public void A_file_that_does_not_verify_is_refused_and_touches_nothing()
    {
        using var folder = new TempFolder();
        Fill(folder.Path);
        TraceStorage.BackupKeys(folder.Path, folder.File("b.keys.zip"));
        Action<ZipArchive>[] harms =
        [
            zip => zip.GetEntry("SHA256SUMS")!.Delete(),
            zip => zip.GetEntry("keys/key-1.xml")!.Delete(),
            zip => Put(zip, "keys/key-1.xml", "<forged/>"),
            zip => Put(zip, "keys/key-9.xml", "no sum"),
            zip => Put(zip, "../sign-in.key", "outside", mendSum: true),
            zip => Put(zip, "keys/../../x.key", "outside", mendSum: true),
            zip => Put(zip, "sites/S1.jsonl", "{}", mendSum: true),
            zip => Put(zip, "keys/run.sh", "#!", mendSum: true),
            zip => Put(zip, "keys/large.key", new string('x', (1 << 20) + 1), mendSum: true),
        ];
        for (var harm = 0; harm < harms.Length; harm++)
        {
            File.Copy(folder.File("b.keys.zip"), folder.File("bad.zip"), overwrite: true);
            using (var zip = ZipFile.Open(folder.File("bad.zip"), ZipArchiveMode.Update)) harms[harm](zip);
            Refused($"harm {harm}");
        }

        var bytes = File.ReadAllBytes(folder.File("b.keys.zip"));
        File.WriteAllBytes(folder.File("bad.zip"), bytes[..(bytes.Length / 2)]);
        Refused("half");
        Assert.Throws<BackupRefusedException>(() => TraceStorage.BackupKeys(folder.File("nothing"), folder.File("c.zip")));

        void Refused(string harm)
        {
            Assert.True(Record.Exception(() => TraceStorage.RestoreKeys(folder.File("bad.zip"), folder.Path, force: true)) is BackupRefusedException, harm);
            foreach (var name in Kept) Assert.Equal($"secret of {name}", File.ReadAllText(folder.File(name)));
            Assert.Empty(Directory.EnumerateDirectories(folder.Path, "re*-*"));
            Assert.False(Directory.Exists(folder.File("nothing")));
        }
    }

    [Fact]
    public async Task A_planned_backup_of_keys_goes_with_its_journals_and_leaves_none_alone()
    {
        using var folder = new TempFolder();
        await folder.Fill(1);
        Fill(folder.Path);
        var plan = new BackupPlan(folder.File("backups"), TimeSpan.FromHours(1), 2, Keys: true);
        for (var hour = 0; hour < 4; hour++) Assert.NotNull(BackupTimer.Run(folder.Path, plan, Some.Noon.AddHours(hour)));
        var foreign = folder.File("backups/trace-backup-by-hand.keys.zip");
        await File.WriteAllTextAsync(foreign, "mine", TestContext.Current.CancellationToken);
        string[] names = [.. Directory.EnumerateFiles(plan.Folder).Select(path => Path.GetFileName(path)!).Order(StringComparer.Ordinal)];
        Assert.Equal(
            ["trace-backup-20260301-130000Z.keys.zip", "trace-backup-20260301-130000Z.zip", "trace-backup-20260301-140000Z.keys.zip", "trace-backup-20260301-140000Z.zip", "trace-backup-by-hand.keys.zip"],
            names);
        Private(plan.Folder, UnixFileMode.UserExecute);

        // Journals that cannot be backed up: what was written of keys for them is gone at the next look, the older ones stay.
        var bytes = await File.ReadAllBytesAsync(folder.Site, TestContext.Current.CancellationToken);
        var whole = bytes.ToArray();
        bytes[bytes.Length / 2] ^= 1;
        await File.WriteAllBytesAsync(folder.Site, bytes, TestContext.Current.CancellationToken);
        Assert.Throws<BackupRefusedException>(() => BackupTimer.Run(folder.Path, plan, Some.Noon.AddHours(5)));
        await File.WriteAllBytesAsync(folder.Site, whole, TestContext.Current.CancellationToken);
        Assert.NotNull(BackupTimer.Run(folder.Path, plan, Some.Noon.AddHours(6)));
        names = [.. Directory.EnumerateFiles(plan.Folder).Select(path => Path.GetFileName(path)!).Order(StringComparer.Ordinal)];
        Assert.Equal(
            ["trace-backup-20260301-140000Z.keys.zip", "trace-backup-20260301-140000Z.zip", "trace-backup-20260301-170000Z.keys.zip", "trace-backup-20260301-170000Z.zip", "trace-backup-by-hand.keys.zip"],
            names);
        using var target = new TempFolder();
        Assert.Equal(Kept, TraceStorage.RestoreKeys(folder.File("backups/trace-backup-20260301-170000Z.keys.zip"), target.Path));
        Assert.False(TraceStorage.HoldsKeys(folder.File("backups/trace-backup-20260301-170000Z.zip")));
    }

    private static void Fill(string folder)
    {
        foreach (var name in Kept)
        {
            Directory.CreateDirectory(Path.GetDirectoryName(Path.Combine(folder, name))!);
            File.WriteAllText(Path.Combine(folder, name), $"secret of {name}");
        }
    }

    private static void Put(ZipArchive zip, string name, string text, bool mendSum = false)
    {
        zip.GetEntry(name)?.Delete();
        using (var writer = new StreamWriter(zip.CreateEntry(name).Open())) writer.Write(text);
        if (!mendSum) return;
        string sums;
        using (var reader = new StreamReader(zip.GetEntry("SHA256SUMS")!.Open())) sums = reader.ReadToEnd();
        zip.GetEntry("SHA256SUMS")!.Delete();
        using var list = new StreamWriter(zip.CreateEntry("SHA256SUMS").Open());
        list.Write($"{sums}{EntryText.Hash(Encoding.UTF8.GetBytes(text))}  {name}\n");
    }

    private static void Private(string path, UnixFileMode more = UnixFileMode.None)
    {
        if (!OperatingSystem.IsWindows()) Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite | more, File.GetUnixFileMode(path));
    }
}
