using System.Security.Cryptography;
using System.Text;
using MailKit;
using MailKit.Net.Smtp;
using MailKit.Security;
using MimeKit;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Recall;
using Trace.Web.Hosting;
using Trace.Web.Printing;
using Trace.Web.Views;

namespace Trace.Web.Mail;

/// <summary>
/// Sends notices that wait, one after the other. That one is about to go out is on the disk before: whoever finds it so after a crash calls
/// it unknown, and nobody is written to twice. A server that cannot be reached, or is busy, leaves them waiting.
/// </summary>
internal sealed class NoticeCarrier(TraceApp app, MailSettings settings)
{
    private const string Lost = "The program ended while the notice went out, or could not note what became of it. Whether it arrived is unknown: ask them, then tell them another way.";

    private readonly Caller program = new("program", $"mail {settings.Host}", Roles.None);

    /// <summary>Sends what waits at a site; false when the server was not to be had and the rest has to wait.</summary>
    public async Task<bool> Carry(SiteLedger ledger, CancellationToken stop)
    {
        var waiting = await ledger.ReadAsync(state => state.Recalls.Values.SelectMany(recall => recall.Notices
            .Where(notice => notice.State is NoticeState.Queued or NoticeState.Sending)
            .Select(notice => new Errand(recall.Id, notice, NoticeView.Of(state, recall, notice, app.Settings.PublicUrl)))).ToList());
        foreach (var lost in waiting.Where(one => one.Notice.State == NoticeState.Sending)) await End(ledger, lost, NoticeState.Unknown,
            Lost);
        var queued = waiting.Where(one => one.Notice.State == NoticeState.Queued).ToList();
        if (queued.Count == 0) return true;
        using var client = new SmtpClient { Timeout = (int)settings.Timeout.TotalMilliseconds };
        try
        {
            await Connect(client, stop);
            foreach (var errand in queued)
            {
                stop.ThrowIfCancellationRequested();
                if (!await Send(ledger, client, errand)) return false;
            }

            await client.DisconnectAsync(quit: true, CancellationToken.None);
            return true;
        }
        catch (Exception broken) when (IsOfTheServer(broken))
        {
            return false;
        }
    }

    private async Task Connect(SmtpClient client, CancellationToken stop)
    {
        var security = settings.Security switch
        {
            MailSecurity.Tls => SecureSocketOptions.SslOnConnect,
            MailSecurity.StartTls => SecureSocketOptions.StartTls,
            _ => SecureSocketOptions.None,
        };
        await client.ConnectAsync(settings.Host, settings.Port, security, stop);
        if (settings.User is { } user) await client.AuthenticateAsync(user, settings.Password ?? "", stop);
    }

    /// <summary>From here on the program's end does not stop it: the server's answer is worth waiting for.</summary>
    private async Task<bool> Send(SiteLedger ledger, SmtpClient client, Errand errand)
    {
        MimeMessage message;
        try
        {
            message = MessageOf(errand);
        }
        catch (ParseException)
        {
            await End(ledger, errand, NoticeState.Failed, $"'{errand.Notice.Address}' is no e-mail address.");
            return true;
        }

        if (!(await Record(ledger, Notifying.Begin, new BeginNotice(errand.Recall, errand.Notice.Id))).IsRecorded) return true;
        try
        {
            var answer = await client.SendAsync(message, CancellationToken.None);
            await End(ledger, errand, NoticeState.Told, $"Taken by {settings.Host} for {errand.Notice.Address}: {answer}");
            return true;
        }
        catch (SmtpCommandException busy) when ((int)busy.StatusCode is < 500)
        {
            // It says itself that it has not taken the notice and may later: so this one may be sent again.
            await End(ledger, errand, NoticeState.Queued, $"{settings.Host} puts it off: {(int)busy.StatusCode} {busy.Message}");
            return false;
        }
        catch (SmtpCommandException refused)
        {
            await End(ledger, errand, NoticeState.Failed, $"{settings.Host} refused it: {(int)refused.StatusCode} {refused.Message}");
            return client.IsConnected;
        }
        catch (Exception broken) when (IsOfTheServer(broken))
        {
            await End(ledger, errand, NoticeState.Unknown, $"{settings.Host} broke off: {broken.Message} Whether it has the notice is unknown: ask them, then tell them another way.");
            return false;
        }
    }

    private MimeMessage MessageOf(Errand errand)
    {
        var message = new MimeMessage();
        message.From.Add(MailboxAddress.Parse(settings.From));
        message.To.Add(MailboxAddress.Parse(errand.Notice.Address ?? ""));
        message.Subject = NoticeDocument.Subject(errand.View);

        // The same notice has the same identity, wherever it may turn up twice.
        var mark = Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(errand.Notice.Id + errand.Notice.Link))[..12]);
        message.MessageId = $"{mark}@{((MailboxAddress)message.From[0]).Domain}";
        message.Date = app.Clock.GetUtcNow();
        if (errand.View.IsUrgent) message.Priority = MessagePriority.Urgent;
        var body = new BodyBuilder { TextBody = NoticeDocument.Text(errand.View) };
        body.Attachments.Add(
            $"{errand.Notice.Id}.pdf", ReportPdf.Draw(NoticeDocument.Letter(errand.View, app.Clock.GetUtcNow())), new ContentType("application", "pdf"));
        message.Body = body.ToMessageBody();
        return message;
    }

    private static bool IsOfTheServer(Exception broken) => broken is IOException or System.Net.Sockets.SocketException or ProtocolException
        or AuthenticationException or SslHandshakeException or ServiceNotConnectedException or CommandException or TimeoutException
        or NotSupportedException;

    private Task<Outcome> End(SiteLedger ledger, Errand errand, NoticeState end, string detail) =>
        Record(ledger, Notifying.End, new EndNotice(errand.Recall, errand.Notice.Id, end, detail.Length > 500 ? detail[..500] : detail));

    private Task<Outcome> Record(SiteLedger ledger, Operation operation, IRequest request) =>
        app.Path.Run(ledger, operation, request, program, app.Surroundings);

    private sealed record Errand(string Recall, ConsigneeNotice Notice, NoticeView View);
}
