namespace Trace.Web.Hosting;

/// <summary>Keeps snapshots of the sites now and then, and at a clean end. A failure costs time at the next start, nothing else.</summary>
internal sealed partial class SnapshotTimer(TraceApp app, ILogger<SnapshotTimer> log) : BackgroundService
{
    private const long EntriesBetween = 20_000;
    private const long EntriesAtTheEnd = 1000;
    private static readonly TimeSpan Every = TimeSpan.FromMinutes(10);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(Every, app.Clock);
        try
        {
            while (await timer.WaitForNextTickAsync(stoppingToken).ConfigureAwait(false)) await Keep(EntriesBetween).ConfigureAwait(false);
        }
        catch (OperationCanceledException)
        {
            await Keep(EntriesAtTheEnd).ConfigureAwait(false);
        }
    }

    private async Task Keep(long entriesSince)
    {
        try
        {
            await app.KeepSnapshots(entriesSince).ConfigureAwait(false);
        }
        catch (Exception broken)
        {
            Failed(log, broken);
        }
    }

    [LoggerMessage(Level = LogLevel.Warning, Message = "No snapshot could be kept")]
    private static partial void Failed(ILogger log, Exception broken);
}
