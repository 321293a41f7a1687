using System.Globalization;
using Trace.Storage;

namespace Trace.Web.Hosting;

/// <summary>Where backups go by themselves, how often, and how many are kept.</summary>
/// <param name="Folder">Best on another disk or machine: a backup beside the journal burns with it.</param>
/// <param name="Keys">Whether each has a second, secret file beside it with the keys and certificates.</param>
public sealed record BackupPlan(string Folder, TimeSpan Every, int Kept, bool Keys = false);

/// <summary>
/// Makes a checked backup when the newest is older than the plan says, and only then deletes the oldest of its own above the number kept.
/// A failure is logged as an error and tried again in an hour; it never stops the program.
/// </summary>
internal sealed partial class BackupTimer(TraceSettings settings, TimeProvider clock, ILogger<BackupTimer> log) : BackgroundService
{
    private const string Prefix = "trace-backup-";
    private const string KeysEnding = ".keys.zip";
    private const string Stamp = "yyyyMMdd-HHmmss'Z'";
    private static readonly TimeSpan Look = TimeSpan.FromMinutes(1);
    private static readonly TimeSpan AfterFailure = TimeSpan.FromHours(1);

    /// <summary>Times of the plan's own backups in a folder, oldest first. Files of other names are nobody's business here.</summary>
    public static IReadOnlyList<(DateTimeOffset At, string Path)> Made(string folder) => !Directory.Exists(folder) ? [] :
    [
        .. Directory.EnumerateFiles(folder, Prefix + "*.zip")
            .Select(path => (Is: IsStamp(Path.GetFileNameWithoutExtension(path)[Prefix.Length..], out var at), At: at, Path: path))
            .Where(file => file.Is).Select(file => (file.At, file.Path)).OrderBy(file => file.At),
    ];

    /// <summary>Makes a backup if one is due, and clears away the oldest; gives the new file, or null.</summary>
    public static string? Run(string dataFolder, BackupPlan plan, DateTimeOffset now)
    {
        var made = Made(plan.Folder);
        if (made.Count > 0 && now - made[^1].At < plan.Every) return null;
        if (!Directory.Exists(plan.Folder)) PrivateFolder.Ensure(plan.Folder);
        var file = Path.Combine(plan.Folder, Prefix + now.UtcDateTime.ToString(Stamp, CultureInfo.InvariantCulture) + ".zip");

        // The keys first: a journal without them counts as a backup made, and nobody would come back for them.
        DeleteLoneKeys(plan.Folder);
        if (plan.Keys) TraceStorage.BackupKeys(dataFolder, KeysOf(file));
        TraceStorage.Backup(dataFolder, file);
        foreach (var old in Made(plan.Folder).SkipLast(plan.Kept)) File.Delete(old.Path);
        DeleteLoneKeys(plan.Folder);
        return file;
    }

    private static string KeysOf(string backup) => Path.ChangeExtension(backup, KeysEnding);

    /// <summary>Keys whose backup is gone or never came about: nothing needs them, and they are secret.</summary>
    private static void DeleteLoneKeys(string folder)
    {
        var kept = Made(folder).Select(backup => KeysOf(backup.Path)).ToHashSet(StringComparer.Ordinal);
        foreach (var file in Directory.EnumerateFiles(folder, Prefix + "*" + KeysEnding))
            if (!kept.Contains(file) && IsStamp(Path.GetFileName(file)[Prefix.Length..^KeysEnding.Length], out _)) File.Delete(file);
    }

    private static bool IsStamp(string text, out DateTimeOffset at) =>
        DateTimeOffset.TryParseExact(text, Stamp, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out at);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        if (settings.Backups is not { } plan) return;
        var next = clock.GetUtcNow();
        using var timer = new PeriodicTimer(Look, clock);
        do
        {
            var now = clock.GetUtcNow();
            if (now < next) continue;
            try
            {
                if (Run(settings.DataFolder, plan, now) is { } file) Done(log, file);
            }
            catch (Exception broken)
            {
                next = now + AfterFailure;
                Failed(log, plan.Folder, broken);
            }
        }
        while (await timer.WaitForNextTickAsync(stoppingToken).ConfigureAwait(false));
    }

    [LoggerMessage(Level = LogLevel.Information, Message = "Backed up and checked: {File}")]
    private static partial void Done(ILogger log, string file);

    [LoggerMessage(Level = LogLevel.Error, Message = "No backup could be made in {Folder}. What was made before is still there")]
    private static partial void Failed(ILogger log, string folder, Exception broken);
}
