using Xunit;

namespace Trace.Tests.Approved;

/// <summary>
/// Compares a text with the one that a person approved, kept in this folder. With <c>TRACE_ACCEPT=1</c> the new text is taken as approved;
/// never under <c>CI=true</c>, where nobody looks at it.
/// </summary>
internal static class ApprovedText
{
    public static void Check(string name, string actual) => CheckFile($"tests/Trace.Tests/Approved/{name}.txt", actual);

    /// <param name="file">From the folder of the solution.</param>
    public static void CheckFile(string file, string actual)
    {
        var path = Path.Combine(Repository.Folder, file);
        var text = actual.ReplaceLineEndings("\n").TrimEnd('\n') + "\n";
        if (Environment.GetEnvironmentVariable("TRACE_ACCEPT") == "1" && Environment.GetEnvironmentVariable("CI") != "true")
            File.WriteAllText(path, text);
        Assert.True(File.Exists(path), $"There is no approved text {file}. Look at the new one, then run with TRACE_ACCEPT=1:\n{text}");
        Assert.Equal(File.ReadAllText(path), text);
    }
}

/// <summary>The folder of the solution, found from where the tests run.</summary>
internal static class Repository
{
    public static string Folder { get; } = Find();

    private static string Find()
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (folder is not null && !File.Exists(Path.Combine(folder.FullName, "Trace.sln"))) folder = folder.Parent;
        return folder?.FullName ?? throw new InvalidOperationException("The tests run outside the repository.");
    }
}
