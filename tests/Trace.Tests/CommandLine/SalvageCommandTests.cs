using System.Text;
using Xunit;

namespace Trace.Tests.CommandLine;

[Collection(CommandLineCollection.Name)]
public sealed class SalvageCommandTests(DemoRun demo)
{
    [Fact]
    public async Task Salvage_writes_what_holds_says_what_is_missing_and_overwrites_nothing()
    {
        using var folder = new Folder();
        var data = demo.CopyTo(folder["data"]);
        var journal = Path.Combine(data, "sites", "S1.jsonl");
        var lines = await File.ReadAllLinesAsync(journal, TestContext.Current.CancellationToken);
        var bytes = await File.ReadAllBytesAsync(journal, TestContext.Current.CancellationToken);
        bytes[lines.Take(9).Sum(line => Encoding.UTF8.GetByteCount(line) + 1) + 40] ^= 1;
        await File.WriteAllBytesAsync(journal, bytes, TestContext.Current.CancellationToken);

        var verified = await TraceProcess.Must(1, "verify", "--data", data);
        Assert.Contains($"S1: cut off by the damage, 11 to {lines.Length} hold among themselves.", verified.Output, StringComparison.Ordinal);
        var saved = await TraceProcess.Must(0, "salvage", "--data", data, "--to", folder["saved"]);
        Assert.Contains("S1: entries 1 to 9 hold", saved.Output, StringComparison.Ordinal);
        Assert.Contains("S1: MISSING entry 10", saved.Output, StringComparison.Ordinal);
        Assert.Contains($"S1: entries 11 to {lines.Length} hold among themselves", saved.Output, StringComparison.Ordinal);
        Assert.Equal(bytes, await File.ReadAllBytesAsync(journal, TestContext.Current.CancellationToken));
        var again = await TraceProcess.Must(0, "verify", "--data", folder["saved"]);
        Assert.Contains("S1: 9 entries hold", again.Output, StringComparison.Ordinal);

        var refused = await TraceProcess.Must(1, "salvage", "--data", data, "--to", folder["saved"]);
        Assert.Contains("exists; salvage writes to a new folder only", refused.Errors, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", refused.Errors, StringComparison.Ordinal);
        await TraceProcess.Must(1, "salvage", "--data", folder["nothing"], "--to", folder["other"]);
        var help = await TraceProcess.Must(0, "salvage", "--help");
        Assert.Contains("--to", help.Output, StringComparison.Ordinal);
        Assert.Contains("Changes nothing in the data folder", string.Join(' ', help.Output.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries)), StringComparison.Ordinal);
    }
}
