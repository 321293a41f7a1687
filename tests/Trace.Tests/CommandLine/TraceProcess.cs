using System.Diagnostics;
using System.Net.Http.Headers;
using System.Runtime.InteropServices;
using System.Text;
using System.Text.RegularExpressions;
using Xunit;

namespace Trace.Tests.CommandLine;

/// <summary>The built program as a process of its own, as a person or a service manager starts it.</summary>
internal static class TraceProcess
{
    public sealed record Ended(int Exit, string Output, string Errors);

    /// <summary>Runs a command to its end.</summary>
    public static async Task<Ended> Run(string? input, params string[] arguments)
    {
        using var process = Start(arguments);
        var output = process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        var errors = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        if (input is not null) await process.StandardInput.WriteAsync(input);
        process.StandardInput.Close();
        await End(process);
        return new Ended(process.ExitCode, await output, await errors);
    }

    public static async Task<Ended> Must(int exit, params string[] arguments)
    {
        var ended = await Run(null, arguments);
        Assert.True(ended.Exit == exit, $"{string.Join(' ', arguments)}: {ended.Exit} instead of {exit}.\n{ended.Output}\n{ended.Errors}");
        return ended;
    }

    public static Process Start(params string[] arguments) => Process.Start(new ProcessStartInfo(
        "dotnet", [Path.Combine(AppContext.BaseDirectory, "Trace.Web.dll"), .. arguments])
    {
        RedirectStandardInput = true,
        RedirectStandardOutput = true,
        RedirectStandardError = true,
    })!;

    public static async Task End(Process process)
    {
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        limit.CancelAfter(TimeSpan.FromSeconds(60));
        try
        {
            await process.WaitForExitAsync(limit.Token);
        }
        catch (OperationCanceledException)
        {
            process.Kill(entireProcessTree: true);
            throw new TimeoutException("The program did not end within a minute.");
        }
    }
}

/// <summary>A running <c>serve</c>. <see cref="Stop"/> ends it as a service manager does.</summary>
internal sealed partial class Serving : IAsyncDisposable
{
    private readonly Process process;
    private readonly StringBuilder said = new();
    private readonly Task<string> errors;

    private Serving(Process process)
    {
        this.process = process;
        errors = process.StandardError.ReadToEndAsync();
    }

    /// <summary>All that it wrote to standard output until it was ready.</summary>
    public string Said => said.ToString();

    public string Address { get; private set; } = "";

    public int Id => process.Id;

    /// <param name="urls">Null leaves the choice to the program.</param>
    public static async Task<Serving> On(string folder, string? urls = "http://127.0.0.1:0", params string[] more)
    {
        var serving = new Serving(TraceProcess.Start(["serve", "--data", folder, .. urls is null ? [] : new[] { "--urls", urls }, .. more]));
        while (await serving.process.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken) is { } line)
        {
            serving.said.AppendLine(line);
            if (Listening().Match(line) is { Success: true } match) serving.Address = match.Groups[1].Value;
            if (line.StartsWith("Data folder:", StringComparison.Ordinal)) return serving;
        }

        throw new InvalidOperationException("The program ended: " + await serving.errors);
    }

    public Task<(int Status, string Text)> Get(string path, string? key) => Send(HttpMethod.Get, path, key, null);

    public Task<(int Status, string Text)> Post(string path, string? key, string json) =>
        Send(HttpMethod.Post, path, key, new StringContent(json, Encoding.UTF8, "application/json"));

    private async Task<(int Status, string Text)> Send(HttpMethod method, string path, string? key, HttpContent? content)
    {
        using var client = new HttpClient(new SocketsHttpHandler { AllowAutoRedirect = false });
        using var request = new HttpRequestMessage(method, Address + path) { Content = content };
        request.Headers.Accept.ParseAdd("application/json");
        if (key is not null) request.Headers.Authorization = new AuthenticationHeaderValue("Bearer", key);
        using var response = await client.SendAsync(request, TestContext.Current.CancellationToken);
        return ((int)response.StatusCode, await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
    }

    /// <summary>SIGTERM; gives the exit code.</summary>
    public async Task<int> Stop()
    {
        Assert.Equal(0, Kill(process.Id, 15));
        await TraceProcess.End(process);
        return process.ExitCode;
    }

    public async ValueTask DisposeAsync()
    {
        if (!process.HasExited)
        {
            process.Kill(entireProcessTree: true);
            await process.WaitForExitAsync();
        }

        process.Dispose();
    }

    [GeneratedRegex("^Listening on (.+)$")]
    private static partial Regex Listening();

    [DllImport("libc", EntryPoint = "kill")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int Kill(int process, int signal);
}

/// <summary>A folder that is gone when the test ends.</summary>
internal sealed class Folder : IDisposable
{
    private readonly DirectoryInfo folder = Directory.CreateTempSubdirectory("trace-command-");

    public string Path => folder.FullName;

    public string this[string name] => System.IO.Path.Combine(Path, name);

    public void Dispose() => folder.Delete(recursive: true);

    public static void Copy(string from, string to)
    {
        Directory.CreateDirectory(to);
        foreach (var file in Directory.EnumerateFiles(from)) File.Copy(file, System.IO.Path.Combine(to, System.IO.Path.GetFileName(file)));
        foreach (var inside in Directory.EnumerateDirectories(from)) Copy(inside, System.IO.Path.Combine(to, System.IO.Path.GetFileName(inside)));
    }
}
