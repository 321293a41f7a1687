using System.Buffers;
using System.Collections.Concurrent;
using MimeKit;
using SmtpServer;
using SmtpServer.Protocol;
using SmtpServer.Storage;
using Trace.Core.Access;
using Trace.Core.Lots;
using Trace.Web.Mail;
using Xunit;

namespace Trace.Tests.Web.Recalls;

/// <summary>Notices by mail, to a real SMTP server on this machine (the SmtpServer library).</summary>
public sealed class MailTests
{
    [Fact]
    public async Task Each_consignee_gets_its_own_message_once_with_the_letter_beside_it()
    {
        await using var post = new PostOffice();
        await using var site = await RunningSite.Start(mail: post.Settings);
        await Tell(site, ("North shop", "north@example.org"), ("South shop", "south@example.org"));
        await Until(site, notices => notices.All(notice => notice.State == NoticeState.Told));
        Assert.Equal(["north@example.org", "south@example.org"], post.Taken.SelectMany(message => message.To.Mailboxes).Select(box => box.Address).Order(StringComparer.Ordinal));
        var north = post.Taken.Single(message => message.To.Mailboxes.First().Address == "north@example.org");
        Assert.StartsWith("URGENT: RECALL", north.Subject!, StringComparison.Ordinal);
        Assert.Equal("quality@example.org", north.From.Mailboxes.Single().Address);
        Assert.Contains("North shop", north.TextBody!, StringComparison.Ordinal);
        Assert.DoesNotContain("South shop", north.TextBody!, StringComparison.Ordinal);
        var letter = Assert.IsType<MimePart>(Assert.Single(north.Attachments));
        using var pdf = new MemoryStream();
        await letter.Content!.DecodeToAsync(pdf, TestContext.Current.CancellationToken);
        Assert.Contains("North shop", RecallDocumentsTests.Words(pdf.ToArray()), StringComparison.Ordinal);
        Assert.Equal(2, post.Taken.Select(message => message.MessageId).Distinct().Count());
    }

    [Fact]
    public async Task A_server_that_goes_down_mid_send_is_waited_for_and_nobody_is_written_to_twice()
    {
        await using var post = new PostOffice { DownAfter = 2 };
        await using var site = await RunningSite.Start(mail: post.Settings);
        await Tell(site, [.. Enumerable.Range(1, 5).Select(number => ($"Shop {number}", $"shop{number}@example.org"))]);
        await Until(site, notices => notices.Count(notice => notice.State == NoticeState.Told) == 2 && notices.Any(notice => notice.State != NoticeState.Told));
        await Task.Delay(300, TestContext.Current.CancellationToken);

        // The program is killed and started again while the server is away; then the server is back.
        await site.Restart();
        post.DownAfter = int.MaxValue;
        await Until(site, notices => notices.All(notice => notice.State is NoticeState.Told or NoticeState.Unknown or NoticeState.Failed));
        var notices = await Notices(site);
        var taken = post.Taken.Select(message => message.To.Mailboxes.First().Address).ToList();
        Assert.Equal(taken.Count, taken.Distinct().Count());
        Assert.Equal(
            notices.Where(notice => notice.State == NoticeState.Told).Select(notice => notice.Address).Order(StringComparer.Ordinal), taken.Order(StringComparer.Ordinal));
        Assert.True(taken.Count >= 4, string.Join(", ", notices.Select(notice => $"{notice.Address} {notice.State} {notice.Detail}")));
    }

    [Fact]
    public async Task An_address_that_the_server_refuses_fails_and_the_others_go_out()
    {
        await using var post = new PostOffice { Refused = "gone@example.org" };
        await using var site = await RunningSite.Start(mail: post.Settings);
        await Tell(site, ("North shop", "gone@example.org"), ("South shop", "south@example.org"));
        await Until(site, notices => notices.All(notice => notice.State is NoticeState.Told or NoticeState.Failed));
        var failed = Assert.Single(await Notices(site), notice => notice.State == NoticeState.Failed);
        Assert.Contains("refused it", failed.Detail!, StringComparison.Ordinal);
        Assert.Equal("south@example.org", Assert.Single(post.Taken).To.Mailboxes.Single().Address);

        // They can be told another way, and then all are told.
        await (await site.WithKey(RoleName.Owner)).Record("recalls/notify", $$"""{"recall":"R01","by":"phone","happenedAt":"{{RecallDocumentsTests.Now(site)}}"}""");
        Assert.Equal(NoticeState.Told, (await Notices(site))[^1].State);
    }

    [Fact]
    public async Task Without_an_address_on_record_nothing_is_queued()
    {
        await using var post = new PostOffice();
        await using var site = await RunningSite.Start(mail: post.Settings);
        var office = await site.WithKey(RoleName.Owner);
        var lot = await (await BenchStory.Begin(site)).Shipped("North shop");
        await office.Record("recalls/open", $$"""{"lots":["{{lot}}"],"kind":"recall","reason":"stones"}""");
        await office.Record("recalls/publish", """{"recall":"R01","language":"en","risk":"May break a tooth.","action":"Keep it until we call."}""");
        var answer = await office.PostJson("/api/sites/S1/recalls/notify", $$"""{"recall":"R01","by":"email","happenedAt":"{{RecallDocumentsTests.Now(site)}}"}""");
        Assert.Contains("recall.no-address", await answer.Text(), StringComparison.Ordinal);
        Assert.Empty(await Notices(site));
    }

    [Fact]
    [Asvs("1.3.11")]
    public async Task Nobody_writes_a_header_by_a_name_or_an_address()
    {
        await using var post = new PostOffice();
        await using var site = await RunningSite.Start(mail: post.Settings);
        var office = await site.WithKey(RoleName.Owner);
        foreach (var wrong in new[]
        {
            """{"customer":"North\r\nBcc: all@example.org"}""", """{"customer":"North","email":"a@example.org\r\nBcc: all@example.org"}""",
            """{"customer":"North","email":"no address"}""",
        }) Assert.Contains("request.invalid", await (await office.PostJson("/api/sites/S1/customers/describe", wrong)).Text(), StringComparison.Ordinal);
        const string name = "North <bcc@example.org>, \u202Eshop =?utf-8?Q?=0D=0ABcc:_all?=";
        await Tell(site, (name, "north@example.org"));
        await Until(site, notices => notices.All(notice => notice.State == NoticeState.Told));
        var message = Assert.Single(post.Taken);
        Assert.Equal(["north@example.org"], message.To.Mailboxes.Select(box => box.Address));
        Assert.Empty(message.Cc);
        Assert.Empty(message.Bcc);
        Assert.DoesNotContain(message.Headers, header => header.Field.Equals("Bcc", StringComparison.OrdinalIgnoreCase));
    }

    private static async Task Tell(RunningSite site, params (string Customer, string Email)[] shops)
    {
        var story = await BenchStory.Begin(site);
        var office = await site.WithKey(RoleName.Owner);
        var lots = new List<string>();
        foreach (var (customer, email) in shops)
        {
            await office.Record("customers/describe", $$"""{"customer":"{{customer}}","email":"{{email}}"}""");
            lots.Add(await story.Shipped(customer));
        }

        await office.Record("recalls/open", $$"""{"lots":[{{string.Join(',', lots.Select(lot => $"\"{lot}\""))}}],"kind":"recall","reason":"stones"}""");
        await office.Record("recalls/publish", """{"recall":"R01","language":"en","risk":"May break a tooth.","action":"Keep it until we call."}""");
        await office.Record("recalls/notify", $$"""{"recall":"R01","by":"email","happenedAt":"{{RecallDocumentsTests.Now(site)}}"}""");
    }

    private static Task<List<ConsigneeNotice>> Notices(RunningSite site) => site.App.Site("S1")!.ReadAsync(state => state.Recalls["R01"].Notices.ToList());

    /// <summary>Moves the clock on, as it would by itself, until it is so.</summary>
    private static async Task Until(RunningSite site, Func<List<ConsigneeNotice>, bool> isSo)
    {
        for (var tries = 0; tries < 300; tries++)
        {
            if (isSo(await Notices(site))) return;
            site.Clock.Advance(TimeSpan.FromSeconds(30));
            await Task.Delay(50, TestContext.Current.CancellationToken);
        }

        Assert.Fail(string.Join(", ", (await Notices(site)).Select(notice => $"{notice.Address} {notice.State} {notice.Detail}")));
    }

    private sealed class PostOffice : MessageStore, IMailboxFilter, IMailboxFilterFactory, IMessageStoreFactory, IAsyncDisposable
    {
        private readonly CancellationTokenSource ending = new();
        private readonly Task running;

        public PostOffice()
        {
            var port = System.Net.Sockets.TcpListener.Create(0) is var probe ? Free(probe) : 0;
            Settings = new MailSettings("localhost", port, "quality@example.org", MailSecurity.None)
            {
                Between = TimeSpan.FromSeconds(1),
                Pause = TimeSpan.FromSeconds(5),
                Timeout = TimeSpan.FromSeconds(5),
            };
            var services = new SmtpServer.ComponentModel.ServiceProvider();
            services.Add((IMessageStore)this);
            services.Add((IMailboxFilter)this);
            running = new SmtpServer.SmtpServer(new SmtpServerOptionsBuilder().ServerName("localhost").Port(port).Build(), services).StartAsync(ending.Token);
        }

        public MailSettings Settings { get; }

        public ConcurrentQueue<MimeMessage> Taken { get; } = new();

        /// <summary>After so many messages it answers no more.</summary>
        public int DownAfter { get; set; } = int.MaxValue;

        public string? Refused { get; init; }

        public override async Task<SmtpResponse> SaveAsync(ISessionContext context, IMessageTransaction transaction, ReadOnlySequence<byte> buffer, CancellationToken cancellationToken)
        {
            if (Taken.Count >= DownAfter) return SmtpResponse.ServiceClosingTransmissionChannel;
            using var content = new MemoryStream(buffer.ToArray());
            Taken.Enqueue(await MimeMessage.LoadAsync(content, cancellationToken));
            return SmtpResponse.Ok;
        }

        public Task<bool> CanAcceptFromAsync(ISessionContext context, SmtpServer.Mail.IMailbox from, int size, CancellationToken cancellationToken) => Task.FromResult(true);

        public Task<bool> CanDeliverToAsync(ISessionContext context, SmtpServer.Mail.IMailbox to, SmtpServer.Mail.IMailbox from, CancellationToken cancellationToken) =>
            Task.FromResult($"{to.User}@{to.Host}" != Refused);

        IMailboxFilter SmtpServer.ComponentModel.ISessionContextInstanceFactory<IMailboxFilter>.CreateInstance(ISessionContext context) => this;

        IMessageStore SmtpServer.ComponentModel.ISessionContextInstanceFactory<IMessageStore>.CreateInstance(ISessionContext context) => this;

        public async ValueTask DisposeAsync()
        {
            await ending.CancelAsync();
            try
            {
                await running;
            }
            catch (OperationCanceledException)
            {
            }

            ending.Dispose();
        }

        private static int Free(System.Net.Sockets.TcpListener probe)
        {
            probe.Start();
            var port = ((System.Net.IPEndPoint)probe.LocalEndpoint).Port;
            probe.Stop();
            return port;
        }
    }
}
