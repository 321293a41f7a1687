using Trace.Web.Hosting;

namespace Trace.Web.Scans;

/// <summary>Writes the counts of scans once a minute and at a clean end. A failure costs counts, nothing else.</summary>
internal sealed partial class ScanKeeper(ScanBook book, TimeProvider clock, ILogger<ScanKeeper> log) : BackgroundService
{
    private static readonly TimeSpan Every = TimeSpan.FromMinutes(1);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(Every, clock);
        try
        {
            while (await timer.WaitForNextTickAsync(stoppingToken).ConfigureAwait(false)) Keep();
        }
        catch (OperationCanceledException)
        {
            Keep();
        }
    }

    private void Keep()
    {
        try
        {
            book.Keep();
        }
        catch (Exception broken)
        {
            Failed(log, broken);
        }
    }

    [LoggerMessage(Level = LogLevel.Warning, Message = "The counts of scans could not be written")]
    private static partial void Failed(ILogger log, Exception broken);
}
