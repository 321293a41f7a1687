using Xunit;

namespace Trace.Tests.CommandLine;

/// <summary>The program as it is started in earnest: whatever it writes, other accounts of the machine can neither read nor list.</summary>
[Collection(CommandLineCollection.Name)]
public sealed class FolderModeTests
{
    private const UnixFileMode Others = (UnixFileMode)0b000_111_111;

    [Fact]
    [Asvs("13.3.2", "16.2.3", "16.4.2")]
    public async Task Nothing_that_the_program_writes_is_open_to_other_accounts()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "There the folder's own rights count.");
        using var folder = new Folder();
        var (data, backups) = (folder["data"], folder["backups"]);
        await TraceProcess.Must(0, "certificate", "--name", "localhost", "--data", data);
        var key = (await TraceProcess.Must(0, "key", "add", "--name", "scale", "--role", "owner", "--data", data)).Output.Trim();

        // As an older program, or a copy by hand, may have left them.
        foreach (var lax in new[] { "sites", "index", "snapshots", "keys", "logs" })
        {
            Directory.CreateDirectory(Path.Combine(data, lax));
            await File.WriteAllTextAsync(Path.Combine(data, lax, "lax.txt"), "x", TestContext.Current.CancellationToken);
            Open(Path.Combine(data, lax, "lax.txt"), 0b110_100_100);
            Open(Path.Combine(data, lax), 0b111_101_101);
        }

        await using (var serving = await Serving.On(data, more: ["--backup-to", backups, "--backup-keys"]))
        {
            Assert.Equal(201, (await serving.Post("/api/sites/S1/receiving/receive", key, """{"supplier":"F","massGrams":5,"happenedAt":"2026-01-05T08:00:00Z"}""")).Status);
            Assert.Equal(200, (await serving.Get("/sign-in", null)).Status);
            for (var look = 0; look < 100 && !IsBackedUp(backups); look++) await Task.Delay(100, TestContext.Current.CancellationToken);
            Assert.Equal(0, await serving.Stop());
        }

        var open = Everything(data).Concat(Everything(backups)).Where(path => (ModeOf(path) & Others) != 0).ToList();
        Assert.Empty(open.Select(path => $"{Path.GetRelativePath(folder.Path, path)}: {ModeOf(path)}"));
        foreach (var written in new[] { "access.jsonl", "sites/S1.jsonl", "index/query.db", "keys/sign-in.key", "certificates/root.key", "store.lock" })
            Assert.True(File.Exists(Path.Combine(data, written)), written);
        Assert.NotEmpty(Directory.EnumerateFiles(Path.Combine(data, "keys"), "key-*.xml"));
        Assert.NotEmpty(Directory.EnumerateFiles(Path.Combine(data, "logs"), "trace-*.jsonl"));
        Assert.True(IsBackedUp(backups));

        // Nothing lies anywhere else: the README says what these are.
        Assert.Equal(
            ["access.jsonl", "acknowledged", "certificates", "index", "keys", "logs", "sites", "snapshots", "store.lock"],
            Directory.EnumerateFileSystemEntries(data).Select(path => Path.GetFileName(path)).Order(StringComparer.Ordinal));
    }

    private static UnixFileMode ModeOf(string path) => OperatingSystem.IsWindows() ? UnixFileMode.None : File.GetUnixFileMode(path);

    private static void Open(string path, int mode)
    {
        if (!OperatingSystem.IsWindows()) File.SetUnixFileMode(path, (UnixFileMode)mode);
    }

    private static bool IsBackedUp(string folder) => Directory.Exists(folder) && Directory.EnumerateFiles(folder, "*Z.zip").Any();

    private static IEnumerable<string> Everything(string folder) => [folder, .. Directory.EnumerateFileSystemEntries(folder, "*", SearchOption.AllDirectories)];
}
