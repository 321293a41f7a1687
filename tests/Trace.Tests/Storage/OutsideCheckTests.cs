using System.Diagnostics;
using Xunit;

namespace Trace.Tests.Storage;

public class OutsideCheckTests
{
    // Nothing of ours: sed takes the hash off each line, sha256sum (GNU coreutils) computes it anew.
    private const string Script = """
        set -eu
        previous=0000000000000000000000000000000000000000000000000000000000000000
        count=0
        while IFS= read -r line; do
          hash=$(printf '%s' "$line" | sed -E 's/^.*,"hash":"([0-9a-f]{64})"\}$/\1/')
          text=$(printf '%s' "$line" | sed -E 's/,"hash":"[0-9a-f]{64}"\}$//')
          sum=$(printf '%s' "$text" | sha256sum | cut -d ' ' -f 1)
          link=$(printf '%s' "$text" | sed -E 's/^.*,"previousHash":"([0-9a-f]{64})"$/\1/')
          count=$((count + 1))
          [ "$sum" = "$hash" ] || { echo "entry $count: hash"; exit 1; }
          [ "$link" = "$previous" ] || { echo "entry $count: link"; exit 1; }
          previous=$hash
        done < "$1"
        echo "$count $previous"
        """;

    [Fact]
    [Asvs("11.4.1", "11.4.3")]
    public async Task The_chain_can_be_checked_with_sha256sum_alone()
    {
        using var folder = new TempFolder();
        await folder.Fill(1, 3, 2);
        using (var store = folder.Open())
        {
            var odd = Some.Entry() with { Person = "Åsa \"\\ 🐛", Payload = "{ \"a\": \"\\n %s \\\\ \" }", RequestKey = "" };
            await store.AppendAsync(new("S1", 6, [odd]));
            Assert.Equal((0, $"7 {store.Get("S1", 7)!.Hash}"), await Run(folder.Site));
        }

        var text = await File.ReadAllTextAsync(folder.Site, TestContext.Current.CancellationToken);
        text = text.Replace("\"number\":4", "\"number\":5", StringComparison.Ordinal);
        await File.WriteAllTextAsync(folder.Site, text, TestContext.Current.CancellationToken);
        Assert.Equal((1, "entry 4: hash"), await Run(folder.Site));
    }

    private static async Task<(int Exit, string Output)> Run(string path)
    {
        var start = new ProcessStartInfo("bash", ["-c", Script, "check", path])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        start.Environment["LC_ALL"] = "C";
        try
        {
            using var bash = Process.Start(start)!;
            var errors = bash.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
            var output = await bash.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
            await bash.WaitForExitAsync(TestContext.Current.CancellationToken);
            Assert.True(bash.ExitCode != 127, "This check needs bash, sed, cut and sha256sum on the path: " + await errors);
            return (bash.ExitCode, output.Trim());
        }
        catch (System.ComponentModel.Win32Exception missing)
        {
            Assert.Fail("This check needs bash and sha256sum on the path: " + missing.Message);
            throw;
        }
    }
}
