using System.Diagnostics;
using System.Text.RegularExpressions;
using Xunit;

namespace Trace.Tests.CommandLine;

/// <summary>Verify, backup, restore and export on a folder with a week's work in it.</summary>
[Collection(CommandLineCollection.Name)]
public sealed class ArchiveCommandTests(DemoRun demo)
{
    // Nothing of ours: each line's hash is the SHA-256 of the line without it, and each line names the hash of the one before.
    private const string CheckScript = """
        previous=$(printf '0%.0s' $(seq 64))
        while IFS= read -r line; do
          text=${line%,\"hash\":*}; rest=${line##*,\"hash\":\"}; hash=${rest%\"\}}
          [ "$(printf '%s' "$text" | sha256sum | cut -c 1-64)" = "$hash" ] || { echo "hash: $line"; exit 1; }
          case $text in *"\"previousHash\":\"$previous\"") ;; *) echo "link: $line"; exit 1 ;; esac
          previous=$hash
        done < "$1"
        echo "$previous"
        """;

    [Fact]
    public async Task Verify_says_that_the_chain_and_the_fold_hold_and_names_a_flipped_byte()
    {
        using var folder = new Folder();
        var data = demo.CopyTo(folder["data"]);
        var sound = await TraceProcess.Must(0, "verify", "--data", data);
        Assert.Matches(@"S1: \d+ entries hold, head [0-9a-f]{64}", sound.Output);
        Assert.Matches(@"S1: folds to [1-9]\d* lots, [1-9]\d* passages, 1 corrections", sound.Output);

        var journal = Path.Combine(data, "sites", "S1.jsonl");
        var bytes = await File.ReadAllBytesAsync(journal, TestContext.Current.CancellationToken);
        var lines = await File.ReadAllLinesAsync(journal, TestContext.Current.CancellationToken);
        bytes[lines.Take(9).Sum(line => System.Text.Encoding.UTF8.GetByteCount(line) + 1) + 40] ^= 1;
        await File.WriteAllBytesAsync(journal, bytes, TestContext.Current.CancellationToken);
        var bad = await TraceProcess.Must(1, "verify", "--data", data);
        Assert.Contains("S1: BAD at entry 10,", bad.Output, StringComparison.Ordinal);
        Assert.Contains("9 entries before it hold", bad.Output, StringComparison.Ordinal);
        Assert.Matches("access: \\d+ entries hold", bad.Output);
    }

    [Fact]
    public async Task A_backup_comes_back_to_the_byte_and_replaces_nothing_unasked()
    {
        using var folder = new Folder();
        var file = folder["week.zip"];
        await TraceProcess.Must(0, "backup", file, "--data", demo.Data);
        await TraceProcess.Must(1, "backup", file, "--data", demo.Data);
        await TraceProcess.Must(0, "restore", file, "--data", folder["new"]);
        foreach (var journal in new[] { "access.jsonl", "sites/S1.jsonl" })
            Assert.Equal(await File.ReadAllBytesAsync(Path.Combine(demo.Data, journal), TestContext.Current.CancellationToken),
                await File.ReadAllBytesAsync(Path.Combine(folder["new"], journal), TestContext.Current.CancellationToken));
        await TraceProcess.Must(0, "verify", "--data", folder["new"]);

        var refused = await TraceProcess.Must(1, "restore", file, "--data", folder["new"]);
        Assert.NotEmpty(refused.Errors.Trim());
        Assert.DoesNotContain("   at ", refused.Errors, StringComparison.Ordinal);
        await TraceProcess.Must(0, "restore", file, "--data", folder["new"], "--force");

        var bytes = await File.ReadAllBytesAsync(file, TestContext.Current.CancellationToken);
        bytes[bytes.Length / 2] ^= 1;
        await File.WriteAllBytesAsync(folder["bad.zip"], bytes, TestContext.Current.CancellationToken);
        await TraceProcess.Must(1, "restore", folder["bad.zip"], "--data", folder["other"]);
        Assert.False(File.Exists(Path.Combine(folder["other"], "sites", "S1.jsonl")));
    }

    [Fact]
    public async Task An_export_can_be_checked_without_the_program_and_has_no_persons_in_it()
    {
        using var folder = new Folder();
        var file = folder["S1.jsonl"];
        var said = await TraceProcess.Must(0, "export", "--site", "S1", file, "--data", demo.Data);
        var start = new ProcessStartInfo("bash", ["-eu", "-c", CheckScript, "check", file]) { RedirectStandardOutput = true };
        start.Environment["LC_ALL"] = "C";
        using var bash = Process.Start(start)!;
        var head = (await bash.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken)).Trim();
        await bash.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.True(bash.ExitCode == 0, head);
        Assert.Equal(Regex.Match(said.Output, "head ([0-9a-f]{64})").Groups[1].Value, head);
        var text = await File.ReadAllTextAsync(file, TestContext.Current.CancellationToken);
        Assert.DoesNotContain("secretHash", text, StringComparison.Ordinal);
        Assert.DoesNotContain("person.added", text, StringComparison.Ordinal);
        await TraceProcess.Must(1, "export", "--site", "S1", file, "--data", demo.Data);
        await TraceProcess.Must(1, "export", "--site", "S9", folder["S9.jsonl"], "--data", demo.Data);
    }
}
