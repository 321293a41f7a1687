using Xunit;

namespace Trace.Tests.CommandLine;

/// <summary>One run of <c>demo --once</c> for all tests that want a folder with a week's work in it.</summary>
public sealed class DemoRun : IAsyncLifetime
{
    private readonly DirectoryInfo folder = Directory.CreateTempSubdirectory("trace-demo-");

    public string Data => Path.Combine(folder.FullName, "demo");

    public int Exit { get; private set; }

    public string Output { get; private set; } = "";

    public string Errors { get; private set; } = "";

    public async ValueTask InitializeAsync()
    {
        var ended = await TraceProcess.Run(null, "demo", "--once", "--data", Data, "--public-url", "https://trace.example.org");
        (Exit, Output, Errors) = (ended.Exit, ended.Output, ended.Errors);
    }

    /// <summary>A copy that a test may spoil.</summary>
    public string CopyTo(string path)
    {
        Folder.Copy(Data, path);
        return path;
    }

    public ValueTask DisposeAsync()
    {
        folder.Delete(recursive: true);
        return ValueTask.CompletedTask;
    }
}

[CollectionDefinition(Name)]
public sealed class CommandLineCollection : ICollectionFixture<DemoRun>
{
    public const string Name = "command line";
}
