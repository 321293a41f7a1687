using System.Text.RegularExpressions;
using Trace.Tests.Approved;
using Xunit;

namespace Trace.Tests.Architecture;

/// <summary>A file of ours as text.</summary>
internal sealed record SourceFile(string Path, string Text)
{
    public string[] Lines => Text.TrimEnd('\n').Split('\n');

    public static List<SourceFile> All(string folder) =>
        [.. Directory.EnumerateFiles(System.IO.Path.Combine(Repository.Folder, folder), "*.cs", SearchOption.AllDirectories)
            .Select(path => System.IO.Path.GetRelativePath(Repository.Folder, path).Replace('\\', '/'))
            .Where(path => !path.Contains("/obj/", StringComparison.Ordinal) && !path.Contains("/bin/", StringComparison.Ordinal))
            .Order(StringComparer.Ordinal)
            .Select(path => new SourceFile(path, File.ReadAllText(System.IO.Path.Combine(Repository.Folder, path))))];
}

/// <summary>Limits that keep a file readable at one sitting.</summary>
public sealed class SourceTests(ITestOutputHelper output)
{
    private const int LongestFile = 400;
    private const int LongestLine = 140;

    [Fact]
    public void No_file_is_longer_than_400_lines()
    {
        var files = SourceFile.All("src").Concat(SourceFile.All("tests")).ToList();
        output.WriteLine($"{files.Count} files, {files.Sum(file => file.Lines.Length)} lines; the longest has {files.Max(file => file.Lines.Length)}");
        Assert.True(files.Count > 100);
        Assert.Empty(TooLong(files));
        Assert.Equal(["planted.cs: 401 lines"], TooLong([new SourceFile("planted.cs", string.Concat(Enumerable.Repeat("x\n", 401)))]));
    }

    /// <summary>Texts in quotes do not count: a message that is whole on its line can be found by searching for it.</summary>
    [Fact]
    public void No_line_of_code_is_longer_than_140_characters()
    {
        var files = SourceFile.All("src");
        output.WriteLine(
            $"{files.Count} files; {files.Sum(file => file.Lines.Count(line => line.Length > LongestLine))} lines are longer with their texts");
        Assert.True(files.Count > 100);
        var wide = TooWide(files);
        Assert.Empty(wide);
        var planted = new SourceFile("planted.cs", new string('x', 141) + "\n\"" + new string('x', 141) + "\"\n" + new string('x', 140));
        Assert.Equal(["planted.cs:1"], TooWide([planted]));
    }

    [Fact]
    public void Nothing_is_left_for_later()
    {
        var files = SourceFile.All("src");
        output.WriteLine($"{files.Count} files");
        Assert.Empty(Unfinished(files));
        Assert.Equal(["planted.cs:2"], Unfinished([new SourceFile("planted.cs", "x\n// " + "TO" + "DO: later\n")]));
    }

    private static List<string> TooLong(IEnumerable<SourceFile> files) =>
        [.. files.Where(file => file.Lines.Length > LongestFile).Select(file => $"{file.Path}: {file.Lines.Length} lines")];

    private static List<string> TooWide(IEnumerable<SourceFile> files) => Where(
        files, line => line.Length > LongestLine && Regex.Replace(line, "\"(?:[^\"\\\\]|\\\\.)*\"", "\"\"").Length > LongestLine);

    private static List<string> Unfinished(IEnumerable<SourceFile> files) =>
        Where(files, line => Regex.IsMatch(line, "\\b(TODO|FIXME|HACK|XXX)\\b|NotImplementedException"));

    private static List<string> Where(IEnumerable<SourceFile> files, Func<string, bool> isWrong) =>
        [.. files.SelectMany(file => file.Lines.Select((line, place) => (line, place)).Where(one => isWrong(one.line)).Select(one => $"{file.Path}:{one.place + 1}"))];
}
