using Trace.Web.Hosting;

namespace Trace.Web.Mail;

/// <summary>Takes waiting notices to the mail server, also after a restart and after the server was away.</summary>
internal sealed partial class NoticeCourier(TraceApp app, ILogger<NoticeCourier> log) : BackgroundService
{
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        if (app.Settings.Mail is not { } settings) return;
        await Task.Yield();
        var carrier = new NoticeCarrier(app, settings);
        var resting = DateTimeOffset.MinValue;
        using var timer = new PeriodicTimer(settings.Between, app.Clock);
        try
        {
            do
            {
                if (app.Clock.GetUtcNow() < resting || app.Journal.Stopped is not null) continue;
                foreach (var site in app.Sites)
                {
                    if (await Carry(carrier, site, stoppingToken).ConfigureAwait(false)) continue;
                    resting = app.Clock.GetUtcNow() + settings.Pause;
                    Away(log, settings.Host);
                    break;
                }
            }
            while (await timer.WaitForNextTickAsync(stoppingToken).ConfigureAwait(false));
        }
        catch (OperationCanceledException)
        {
            // The next start goes on.
        }
    }

    private async Task<bool> Carry(NoticeCarrier carrier, string site, CancellationToken stop)
    {
        try
        {
            return app.Site(site) is not { } ledger || await carrier.Carry(ledger, stop).ConfigureAwait(false);
        }
        catch (Exception broken) when (broken is not OperationCanceledException)
        {
            Failed(log, site, broken);
            return false;
        }
    }

    [LoggerMessage(Level = LogLevel.Warning, Message = "Mail server {Host} is not to be had or broke off; notices wait")]
    private static partial void Away(ILogger log, string host);

    [LoggerMessage(Level = LogLevel.Error, Message = "Notices of site {Site} could not be sent; tried again")]
    private static partial void Failed(ILogger log, string site, Exception broken);
}
