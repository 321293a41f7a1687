using Xunit;

namespace Trace.Tests.CommandLine;

public sealed class CallTests
{
    [Fact]
    public async Task Help_names_all_commands()
    {
        var help = await TraceProcess.Must(0, "--help");
        foreach (var command in new[] { "serve", "demo", "verify", "site", "person", "key", "backup", "restore", "export", "salvage", "--data", "--urls", "--public-url", "--templates" })
            Assert.Contains(command, help.Output, StringComparison.Ordinal);
        Assert.Empty(help.Errors);
    }

    [Theory]
    [InlineData("fly")]
    [InlineData("verify --fast")]
    [InlineData("site add --code S2")]
    [InlineData("backup")]
    [InlineData("salvage")]
    [InlineData("serve extra")]
    [InlineData("serve --dta x")]
    [InlineData("--dta=x")]
    [InlineData("")]
    public async Task A_wrong_call_ends_with_2_and_points_to_help(string call)
    {
        var wrong = await TraceProcess.Must(2, call.Split(' ', StringSplitOptions.RemoveEmptyEntries));
        Assert.Contains("--help", wrong.Errors, StringComparison.Ordinal);
        Assert.Empty(wrong.Output.Trim());
    }

    [Theory]
    [InlineData("site add --code s2 --name N --zone UTC", "--code")]
    [InlineData("site add --code S2 --name N --zone Mars/Base", "--zone")]
    [InlineData("key add --name K --role king", "--role")]
    [InlineData("key add --name K --role 3", "--role")]
    [InlineData("backup nowhere/at/all.zip", "")]
    [InlineData("restore nothing.zip", "nothing.zip")]
    [InlineData("verify", "")]
    public async Task What_cannot_be_done_ends_with_1_and_one_clear_line(string call, string names)
    {
        using var folder = new Folder();
        var refused = await TraceProcess.Must(1, [.. call.Split(' '), "--data", folder["none"]]);
        Assert.Contains(names, refused.Errors, StringComparison.Ordinal);
        Assert.Single(refused.Errors.Trim().Split('\n'));
        Assert.DoesNotContain("Exception", refused.Errors, StringComparison.Ordinal);
        Assert.False(Directory.Exists(folder["none"]), "A refused command made the data folder.");
    }
}
