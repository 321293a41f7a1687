using System.Diagnostics;
using System.Globalization;
using System.Runtime.InteropServices;

namespace Trace.Benchmarks.Harness;

/// <summary>Where a run took place. Numbers without this say nothing.</summary>
internal static class Machine
{
    public static IReadOnlyList<string> Describe(string folder) =>
    [
        $"Date: {TimeProvider.System.GetUtcNow().ToString("yyyy-MM-dd HH:mm 'UTC'", CultureInfo.InvariantCulture)}",
        $"Commit: {Git("rev-parse --short HEAD")}{(Git("status --porcelain -- src tests/Trace.Benchmarks/*.cs").Length > 0 ? " with changes" : "")}",
        $"Processor: {Processor()}, {Environment.ProcessorCount} cores",
        $"System: {RuntimeInformation.OSDescription}, {RuntimeInformation.FrameworkDescription}, {RuntimeInformation.OSArchitecture}",
        $"Disk: {FileSystem(folder)}",
        $"Load before the run (1, 5, 15 minutes): {Read("/proc/loadavg") ?? "unknown"}",
    ];

    private static string Processor() =>
        Read("/proc/cpuinfo")?.Split('\n').FirstOrDefault(line => line.StartsWith("model name", StringComparison.Ordinal))?.Split(':')[^1].Trim()
        ?? "unknown";

    private static string FileSystem(string folder)
    {
        var drive = DriveInfo.GetDrives().Where(drive => folder.StartsWith(drive.RootDirectory.FullName, StringComparison.Ordinal))
            .MaxBy(drive => drive.RootDirectory.FullName.Length);
        return drive is null ? "unknown" : $"{drive.DriveFormat} at {drive.RootDirectory.FullName}";
    }

    private static string? Read(string path) => File.Exists(path) ? File.ReadAllText(path).Trim() : null;

    private static string Git(string arguments)
    {
        try
        {
            using var git = Process.Start(new ProcessStartInfo("git", arguments) { RedirectStandardOutput = true, RedirectStandardError = true })!;
            var text = git.StandardOutput.ReadToEnd().Trim();
            git.WaitForExit();
            return git.ExitCode == 0 ? text : "unknown";
        }
        catch (System.ComponentModel.Win32Exception)
        {
            // No git on this machine: the report says so.
            return "unknown";
        }
    }
}
