using System.Diagnostics;
using System.Text.Json;
using System.Text.Json.Nodes;
using Trace.Core.Labels;
using Trace.Tests.Approved;
using Trace.Web.Printing;
using Xunit;

namespace Trace.Tests.Labels;

/// <summary>
/// Two programs that are none of ours judge what our labels say: bwip-js 4.11.4, which knows the GS1 Syntax Dictionary, and gs1-barcode-parser-mod
/// 1.2.1, which takes messages apart. Both are installed by <c>npm ci</c> in <c>tests/gs1</c>.
/// </summary>
public sealed class OutsideGs1Tests
{
    [Fact]
    public void Every_message_of_every_template_is_taken_and_read_back()
    {
        var messages = SampleLabels.TemplateNames.Select(SampleLabels.Template)
            .SelectMany(template => LabelPdf.Lay(template, SampleLabels.For(template)).Drawing!.Symbols)
            .Where(symbol => symbol.Code is SymbolCode.Gs1128 or SymbolCode.Gs1DataMatrix).Select(symbol => symbol.Text).ToList();
        Assert.True(messages.Count >= 3);
        var parts = messages.Select(Bracketed).ToList();
        var judged = Judge([.. parts.Zip(messages, (bracketed, data) => new JsonObject { ["bracketed"] = bracketed, ["data"] = data })]);
        for (var i = 0; i < messages.Count; i++)
        {
            Assert.Null(judged[i].Fault);
            Assert.Equal(parts[i], string.Concat(judged[i].Values));
        }
    }

    [Theory]
    [InlineData("(01)09520123456788(21)S1(10)L-1(11)261125(15)271125")]
    [InlineData("(01)09520123456788(10)L1(422)056(240)X/1")]
    [InlineData("(01)09520123456788(3103)000500(10)L1")]
    [InlineData("(00)095201234567891235(02)09520123456788(37)25(10)L1(15)270500(3300)000640")]
    public void Messages_of_ours_are_taken_and_read_back(string bracketed)
    {
        var message = ElementStringTests.Made(bracketed);
        var judged = Assert.Single(Judge([new JsonObject { ["bracketed"] = message.Bracketed, ["data"] = message.Data }]));
        Assert.Null(judged.Fault);
        Assert.Equal(message.Elements.Select(element => $"({element.Ai}){element.Value}"), judged.Values);
    }

    /// <summary>So that the judge is known to judge: each is refused there for the reason that it is refused here.</summary>
    [Theory]
    [InlineData("(01)09520123456789(10)L1", "GS1badChecksum")]
    [InlineData("(01)09520123456788(15)271305", "GS1badMonth")]
    [InlineData("(01)09520123456788(15)270230", "GS1badDay")]
    [InlineData("(10)L1", "GS1missingAIs")]
    [InlineData("(02)09520123456788(10)L1", "GS1missingAIs")]
    [InlineData("(01)09520123456788(37)25", "GS1exclusiveAIs")]
    [InlineData("(01)09520123456788(3103)000500(3102)000050", "GS1exclusiveAIs")]
    [InlineData("(01)09520123456788(10)A B", "GS1badCSET82character")]
    public void What_we_refuse_they_refuse_for_the_same_reason(string bracketed, string fault)
    {
        Assert.NotEmpty(ElementStringTests.Problem(bracketed));
        var judged = Assert.Single(Judge([new JsonObject { ["bracketed"] = bracketed, ["data"] = "" }]));
        Assert.Contains(fault, judged.Fault, StringComparison.Ordinal);
    }

    [Fact]
    public void Addresses_of_ours_are_taken()
    {
        var judged = Judge([.. new[] { "P261125-001K", "A/B+1", "L%1", "a_b.c-d" }.Select(lot => new JsonObject { ["uri"] = DigitalLink.Uri("https://trace.example.org", "09520123456788", lot) })]);
        Assert.Equal(4, judged.Count);
        Assert.All(judged, one => Assert.Null(one.Fault));
    }

    [Theory]
    [InlineData("https://trace.example.org/01/09520123456789/10/L1", "GS1badChecksum")]
    [InlineData("https://trace.example.org/01/09520123456788/15/271125", "GS1dlBadPathInfo")]
    [InlineData("https://trace.example.org/01/09520123456788?10=L1", "GS1dl")]
    public void Wrong_addresses_are_refused_there(string uri, string fault) =>
        Assert.Contains(fault, Assert.Single(Judge([new JsonObject { ["uri"] = uri }])).Fault, StringComparison.Ordinal);

    private sealed record Judged(string? Fault, IReadOnlyList<string> Values);

    /// <summary>The message of a symbol with brackets, for the tool that wants them; by the lengths that we use.</summary>
    private static string Bracketed(string data)
    {
        var text = "";
        for (var at = 0; at < data.Length;)
        {
            var (ai, length) = data[at..] switch
            {
                ['0', '0', ..] => ("00", 18),
                ['0', '1', ..] => ("01", 14),
                ['0', '2', ..] => ("02", 14),
                ['1', '1', ..] => ("11", 6),
                ['1', '5', ..] => ("15", 6),
                ['3', '3', '0', var decimals, ..] => ($"330{decimals}", 6),
                var rest => (rest[..2], 0),
            };
            at += ai.Length;
            var end = length > 0 ? at + length : data.IndexOf(ElementString.Separator, at) is >= 0 and var found ? found : data.Length;
            text += $"({ai}){data[at..end]}";
            at = end < data.Length && data[end] == ElementString.Separator ? end + 1 : end;
        }

        return text;
    }

    private static List<Judged> Judge(JsonArray asked)
    {
        var folder = Path.Combine(Repository.Folder, "tests", "gs1");
        Assert.True(Directory.Exists(Path.Combine(folder, "node_modules")), "The outside judges are not installed: run 'npm ci' in tests/gs1 (tests/run does).");
        var start = new ProcessStartInfo("node", "check.js") { WorkingDirectory = folder, RedirectStandardInput = true, RedirectStandardOutput = true };
        using var node = Process.Start(start)!;
        node.StandardInput.Write(asked.ToJsonString());
        node.StandardInput.Close();
        var answer = node.StandardOutput.ReadToEnd();
        node.WaitForExit();
        Assert.True(node.ExitCode == 0, $"node ended with {node.ExitCode}.");
        return [.. JsonDocument.Parse(answer).RootElement.EnumerateArray().Select(one => new Judged(
            one.GetProperty("fault").GetString(), [.. one.GetProperty("values").EnumerateArray().Select(value => value.GetString()!)]))];
    }
}
