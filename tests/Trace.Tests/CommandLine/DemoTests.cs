using System.Text.RegularExpressions;
using Trace.Tests.Printing;
using Xunit;

namespace Trace.Tests.CommandLine;

/// <summary>The demo, run as a visitor runs it, ends as it says it does.</summary>
[Collection(CommandLineCollection.Name)]
public sealed partial class DemoTests(DemoRun demo)
{
    [Fact]
    public void It_ends_well_and_says_what_the_program_refused()
    {
        Assert.True(demo.Exit == 0, demo.Output + demo.Errors);
        Assert.DoesNotContain("NOT AS TOLD", demo.Errors, StringComparison.Ordinal);
        Assert.Contains("Every person, place and number is made up.", demo.Output, StringComparison.Ordinal);
        foreach (var rule in new[] { "sanitising.missing", "cooling.temperature", "cooling.rest", "drying.indicators", "drying.yield-high", "sanitising.lethality" })
            Assert.Matches($@"(?s)REFUSED lot\.held:.*\n +{Regex.Escape(rule)} on [HTDCP]\d{{6}}-\d{{3}}.\. Clears: \S", demo.Output);
        Assert.Contains("REFUSED labels.reprint-reason", demo.Output, StringComparison.Ordinal);
        Assert.Contains("REFUSED mass.not-there", demo.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_page_of_the_plant_has_something_to_show()
    {
        Assert.Matches(@"(?s)one bag is short\..*held now: packing\.net-quantity.*weighs all five again\.  \[P\d{6}-\d{3}.\]\n", demo.Output);
        Assert.Matches(@"isotherm.*\[DRIED\]", demo.Output);
        Assert.Equal(2, Regex.Count(demo.Output, @"pouch.*\[(PL|FO)-100\]"));
        Assert.Matches("laboratory found", demo.Output);
        Assert.Equal(2, Regex.Count(demo.Output, "checks the thermometer in crushed ice"));
    }

    [Fact]
    public void It_names_the_lot_that_was_shipped_while_held()
    {
        var held = ShippedWhileHeld().Match(demo.Output);
        Assert.True(held.Success, demo.Output);
        Assert.Matches(@"^P\d{6}-\d{3}.$", held.Groups[1].Value);
    }

    [Fact]
    public void Each_label_that_it_wrote_decodes_to_the_address_of_its_lot()
    {
        var files = Written().Matches(demo.Output).Select(match => match.Groups[1].Value).ToList();
        Assert.All(files, file => Assert.True(File.Exists(file), file));
        var labels = files.Where(file => Path.GetFileName(file).StartsWith("label-", StringComparison.Ordinal)).ToList();
        Assert.True(labels.Count >= 3, demo.Output);
        foreach (var label in labels.Take(3))
            Assert.Matches(@"^https://trace\.example\.org/(01/09520123456788/10/P\d{6}-\d{3}.|lot/S1/D\d{6}-\d{3}.)$", Assert.Single(Raster.Of(File.ReadAllBytes(label), 203).ReadWithZbar()));
        var report = Assert.Single(files, file => file.EndsWith("recall-R01.csv", StringComparison.Ordinal));
        Assert.Contains("Hilltop Poultry", File.ReadAllText(report), StringComparison.Ordinal);
        Assert.Contains("Lakeside Pets", File.ReadAllText(Assert.Single(files, file => file.EndsWith("recall-R02.csv", StringComparison.Ordinal))), StringComparison.Ordinal);
        Assert.Single(files, file => file.EndsWith("letter-R02-001.pdf", StringComparison.Ordinal));
        Assert.Contains("REFUSED recall.no-text", demo.Output, StringComparison.Ordinal);
        Assert.Matches(@"answers at https://trace\.example\.org/recall/S1/\S{20,}", demo.Output);
        Assert.Equal("%PDF-"u8.ToArray(), File.ReadAllBytes(Path.ChangeExtension(report, ".pdf"))[..5]);
    }

    [Fact]
    public async Task It_touches_no_folder_that_is_not_its_own()
    {
        using var folder = new Folder();
        await File.WriteAllTextAsync(folder["mine.txt"], "mine", TestContext.Current.CancellationToken);
        var refused = await TraceProcess.Must(1, "demo", "--once", "--data", folder.Path);
        Assert.Contains("not a demo's folder", refused.Errors, StringComparison.Ordinal);
        Assert.Equal([folder["mine.txt"]], Directory.EnumerateFileSystemEntries(folder.Path));
    }

    [GeneratedRegex(@"Shipped while held: (\S+)$", RegexOptions.Multiline)]
    private static partial Regex ShippedWhileHeld();

    [GeneratedRegex("^Written: (.+)$", RegexOptions.Multiline)]
    private static partial Regex Written();
}
