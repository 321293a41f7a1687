using System.Collections.Concurrent;
using Trace.Core.Operations;
using Trace.Web.Hosting;

namespace Trace.Web.Printers;

/// <summary>
/// Takes queued labels to their printers and follows them to their end, also over a restart. Each printer has a task of its own, so
/// that one which does not answer keeps nobody waiting but its own labels.
/// </summary>
internal sealed partial class LabelCourier(TraceApp app, LabelCarrier carrier, ILogger<LabelCourier> log) : BackgroundService
{
    private readonly ConcurrentDictionary<(string Site, string Printer), Task> rounds = new();

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        // All sites are loaded, since labels may have been under way in any when the program ended; never before it listens.
        await Task.Yield();
        using var timer = new PeriodicTimer(app.Settings.Printers.Between, app.Clock);
        try
        {
            do
            {
                foreach (var site in app.Sites) await Look(site, stoppingToken).ConfigureAwait(false);
            }
            while (await timer.WaitForNextTickAsync(stoppingToken).ConfigureAwait(false));
        }
        catch (OperationCanceledException)
        {
            // What is on the wire may come to its end; a number that is still heard is a job that is not lost.
            await Task.WhenAll(rounds.Values).ConfigureAwait(false);
        }
    }

    private async Task Look(string site, CancellationToken stop)
    {
        try
        {
            if (app.Journal.Stopped is not null || app.Site(site) is not { } ledger) return;
            var printers = await ledger.ReadAsync(state => state.OpenJobs.Select(one => one.Job.Printer).Distinct().ToList())
                .ConfigureAwait(false);
            foreach (var printer in printers)
            {
                var key = (site, printer);
                if (rounds.TryGetValue(key, out var round) && !round.IsCompleted) continue;
                rounds[key] = Task.Run(() => Round(ledger, printer, stop), CancellationToken.None);
            }
        }
        catch (Exception broken) when (broken is not OperationCanceledException)
        {
            Failed(log, site, broken);
        }
    }

    private async Task Round(SiteLedger ledger, string printer, CancellationToken stop)
    {
        try
        {
            await carrier.Carry(ledger, printer, stop).ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            // The next start goes on.
        }
        catch (Exception broken)
        {
            Failed(log, ledger.Code, broken);
        }
    }

    [LoggerMessage(Level = LogLevel.Error, Message = "Labels of site {Site} could not be carried; tried again")]
    private static partial void Failed(ILogger log, string site, Exception broken);
}
