using System.Text.RegularExpressions;
using Trace.Tests.Approved;
using Trace.Tests.Architecture;
using Xunit;

namespace Trace.Tests.Standards;

/// <summary>Which requirement of the security standard is shown by which test, and which is not.</summary>
public sealed partial class AsvsTests(ITestOutputHelper output)
{
    private const string SendsMail = "src/Trace.Web/Mail/NoticeCarrier.cs";
    private const string CallsOut = "src/Trace.Web/Printers/IppClient.cs";
    private const string ReadsXml = "src/Trace.Web/Printing/Logos/";
    private const string TakesAFile = "src/Trace.Web/Pages/Forms/LoggerForm.cs";

    private static readonly List<string> Two = ["1.1 1", "1.2 2"];

    [Fact]
    public void Every_requirement_of_levels_1_and_2_has_a_test_or_a_reason()
    {
        var numbers = AsvsTable.Numbers();
        output.WriteLine($"{numbers.Count} requirements, {AsvsTable.Claims().Count()} tests that show some");

        // Counted in the standard's file: 70 of level 1, 183 of level 2.
        Assert.Equal((70, 183), (numbers.Count(number => number.EndsWith(" 1", StringComparison.Ordinal)), numbers.Count(number => number.EndsWith(" 2", StringComparison.Ordinal))));
        Assert.Equal(numbers.Count, numbers.Distinct().Count());
        Assert.Empty(AsvsTable.Faults(numbers, AsvsTable.Rows(), AsvsTable.Shown(), file => File.ReadAllText(Path.Combine(Repository.Folder, file))));
        Assert.All(AsvsTable.Claims(), method => Assert.True(AsvsTable.IsTest(method), $"{method.Name} is no test."));
    }

    [Theory]
    [InlineData("1.2 2: no row", "1.1,1,")]
    [InlineData("1.3 2: not of the standard", "1.1,1,", "1.2,2,", "1.3,2,open: x")]
    [InlineData("1.2 1: not of the standard", "1.1,1,", "1.2,1,")]
    [InlineData("1.1: more than one row", "1.1,1,", "1.2,2,", "1.1,1,")]
    [InlineData("1.2: neither a test nor a reason", "1.1,1,", "1.2,2,")]
    [InlineData("1.1: does not apply, and T.Planted shows it", "1.1,1,n/a: x", "1.2,2,open: x")]
    [InlineData("1.2: no known reason", "1.1,1,", "1.2,2,later")]
    [InlineData("1.2: what it points to is not there", "1.1,1,", "1.2,2,doc: A.md \"other words\"")]
    [InlineData("9.9: T.Planted shows what is not there", "1.1,1,", "1.2,2,doc: A.md \"words\"")]
    public void A_planted_fault_of_the_table_is_found(string fault, params string[] rows) => Assert.Contains(fault, AsvsTable.Faults(
        Two,
        [.. rows.Select(row => row.Split(',')).Select(row => new AsvsRow(row[0], row[1], "what", row[2]))],
        new[] { "1.1", "9.9" }.ToLookup(number => number, _ => "T.Planted"),
        _ => "the words"));

    [Fact]
    public void The_page_is_what_the_tests_and_the_reasons_say() =>
        ApprovedText.CheckFile(AsvsTable.Page, AsvsTable.Write(AsvsTable.Rows(), AsvsTable.Shown()));

    /// <summary>Many reasons say that something is not there. Whoever brings it in reads here that a row has to change.</summary>
    [Fact]
    [Asvs("11.4.1")]
    public void What_the_reasons_say_is_not_there_is_not_there()
    {
        var files = SourceFile.All("src");
        Assert.True(files.Count > 100);

        // One form takes a file; LoggerFormTests show what becomes of it.
        Assert.Single(files, file => file.Path == TakesAFile && file.Text.Contains(".Files.GetFile(", StringComparison.Ordinal));
        files.RemoveAll(file => file.Path == TakesAFile);

        // One class calls out, to printers that were entered; BadPrinterTests show where it does not go.
        Assert.Equal([CallsOut], files.Where(file => file.Text.Contains("HttpClient", StringComparison.Ordinal)).Select(file => file.Path));
        files.RemoveAll(file => file.Path == CallsOut);
        // One class sends mail, to the server that was configured; MailTests show that nobody writes a header by a name.
        Assert.Equal([SendsMail], files.Where(file => file.Text.Contains("SmtpClient", StringComparison.Ordinal)).Select(file => file.Path));
        files.RemoveAll(file => file.Path == SendsMail);
        // One folder reads XML, of logos; LogoReaderTests show that it resolves nothing.
        Assert.Contains(files, file => file.Path.StartsWith(ReadsXml, StringComparison.Ordinal) && file.Text.Contains("XmlReader", StringComparison.Ordinal));
        files.RemoveAll(file => file.Path.StartsWith(ReadsXml, StringComparison.Ordinal));
        Assert.Empty(files.Where(file => Absent().IsMatch(file.Text)).Select(file => $"{file.Path}: {Absent().Match(file.Text).Value}"));
        foreach (var planted in new[] { "Process.Start(\"x\")", "new HttpClient()", "XmlReader.Create(x)", "unsafe {", "MD5.HashData(x)", "IFormFile file", "sent.Files[0]", "new Regex(typed)" })
            Assert.Matches(Absent(), planted);
    }

    [GeneratedRegex(
        @"\bProcessStartInfo\b|\bProcess\.Start\b|\bHttpClient\b|\bWebRequest\b|\bTcpClient\b|\bSmtpClient\b|\bXml(?:Reader|Document|Serializer)\b|\bXDocument\b"
        + @"|\bunsafe\s*(?:\{|(?:static|void|struct|class)\b)|\bLibraryImport\b|\bMD5\b|\bSHA1\b|\bIFormFile\w*|\bsent\.Files\b|\bForm\.Files\b|\bWebSockets?\b|\bGraphQL\b|\bAddOAuth\b|\bAddOpenIdConnect\b|\bAddJwtBearer\b"
        + @"|\bLdap\w*|\bCSharpScript\b|\bAssembly\.Load|\bnew Regex\(|\bRfc2898DeriveBytes\b")]
    private static partial Regex Absent();
}
