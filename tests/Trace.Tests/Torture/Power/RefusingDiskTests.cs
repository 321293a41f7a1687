using System.Net;
using System.Text.Json;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Time.Testing;
using Trace.Core.Access;
using Trace.Core.Sites;
using Trace.Storage;
using Trace.Tests.CommandLine;
using Trace.Tests.Storage;
using Trace.Tests.Web;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Xunit;

namespace Trace.Tests.Torture.Power;

/// <summary>
/// The real program over HTTP on a disk of which the n-th write (half done) or flush fails, for each n of a short run: the request is refused
/// and says why, nothing is recorded from then on, the pages and the health address say so, reading goes on, and after a restart the
/// journal holds what was answered and nothing else.
/// </summary>
[Collection(TortureCollection.Name)]
public sealed class RefusingDiskTests : IDisposable
{
    private const string Receive = """{"supplier":"Example Farm","massGrams":1000,"happenedAt":"2026-11-25T08:00:00+03:00"}""";
    private const int Requests = 3;

    /// <summary>A write and a flush for each request, for the sign-in, and for the note that the key was used.</summary>
    private const int Calls = 2 * (Requests + 2);

    private readonly Folder folder = new();
    private readonly FakeTimeProvider clock = new(new DateTimeOffset(2026, 11, 25, 6, 0, 0, TimeSpan.Zero));

    [Fact]
    public async Task Whichever_write_or_flush_fails_the_program_says_so_reads_on_and_keeps_exactly_what_it_answered()
    {
        var key = await Prepare();
        for (var call = 1; call <= Calls; call++)
        {
            var plan = new FaultyFile.Plan();
            Folder.Copy(folder["plant"], folder["run"]);
            int answered;
            long head;
            await using (var running = await Running.Start(SettingsOf("run"), clock, plan))
            {
                plan.FailAt = plan.Calls + call;
                head = running.App.Journal.Head("S1");
                var page = await SignIn(running);
                answered = await Record(running, key, plan);
                SpinWait.SpinUntil(() => running.App.Journal.Stopped is not null, TimeSpan.FromSeconds(5));
                Assert.True(running.App.Journal.Stopped is not null, $"Call {call} never came.");
                await MustBeReadOnly(running, key, page, answered);
                Assert.Equal(head + answered, running.App.Journal.Head("S1"));
            }

            await using (var again = await Running.Start(SettingsOf("run"), clock, new FaultyFile.Plan()))
            {
                Assert.Null(again.App.Journal.Stopped);
                Assert.Equal(head + answered, again.App.Journal.Head("S1"));
                Assert.Equal(HttpStatusCode.OK, (await again.Client(key).Open("/health/ready")).StatusCode);
                Assert.True((await again.Client(key).PostJson("/api/sites/S1/receiving/receive", Receive)).IsSuccessStatusCode);
                Assert.Equal(answered + 1, await Lots(again, key));
            }

            Assert.True(TraceStorage.Verify(folder["run"]).Sound);
            Directory.Delete(folder["run"], recursive: true);
        }
    }

    [Fact]
    public async Task A_disk_that_fails_while_the_program_starts_ends_the_start_and_loses_nothing()
    {
        var key = await Prepare();
        for (var call = 1; call <= 2; call++)
        {
            var plan = new FaultyFile.Plan { FailAt = call };
            Assert.Throws<IOException>(() => new TraceApp(SettingsOf("plant"), clock, null, new StorageOptions { OpenFile = plan.Open }).Dispose());
        }

        await using var again = await Running.Start(SettingsOf("plant"), clock, new FaultyFile.Plan());
        Assert.Equal(0, await Lots(again, key));
    }

    [Fact]
    public async Task When_the_disk_takes_nothing_back_either_the_request_key_tells_after_the_restart_what_became_of_it()
    {
        var key = await Prepare();
        var plan = new FaultyFile.Plan { TruncateFails = true };
        await using (var running = await Running.Start(SettingsOf("plant"), clock, plan))
        {
            using var client = running.Client(key);
            client.DefaultRequestHeaders.Add("Idempotency-Key", "one-crate");
            await client.Open("/api/sites/S1/lots");
            // The note that the key was used has its write and flush first.
            for (var waited = 0; plan.Calls < 4 && waited < 600; waited++) await Task.Delay(100, TestContext.Current.CancellationToken);
            Assert.True(plan.Calls >= 4, "The note was not written within a minute.");
            plan.FailAt = plan.Calls + 2;
            Assert.Equal(HttpStatusCode.ServiceUnavailable, (await client.PostJson("/api/sites/S1/receiving/receive", Receive)).StatusCode);
        }

        await using var again = await Running.Start(SettingsOf("plant"), clock, new FaultyFile.Plan());
        using var same = again.Client(key);
        same.DefaultRequestHeaders.Add("Idempotency-Key", "one-crate");
        Assert.Equal(1, await Lots(again, key));
        Assert.True((await same.PostJson("/api/sites/S1/receiving/receive", Receive)).IsSuccessStatusCode);
        Assert.Equal(1, await Lots(again, key));
    }

    [Fact]
    public async Task A_byte_that_changes_under_the_running_program_stops_recording_and_reading_goes_on()
    {
        var key = await Prepare();
        await using var running = await Running.Start(SettingsOf("plant"), clock, new FaultyFile.Plan());
        var page = await SignIn(running);
        using var client = running.Client(key);
        for (var request = 0; request < 3; request++)
            Assert.True((await client.PostJson("/api/sites/S1/receiving/receive", Receive)).IsSuccessStatusCode);
        await using (var file = new FileStream(Path.Combine(folder["plant"], "sites", "S1.jsonl"), FileMode.Open, FileAccess.Write, FileShare.ReadWrite | FileShare.Delete))
        {
            file.Position = 60;
            file.WriteByte((byte)'#');
        }

        Assert.Equal(HttpStatusCode.ServiceUnavailable, (await client.Open("/api/sites/S1/journal?after=0")).StatusCode);
        await MustBeReadOnly(running, key, page, 3);
    }

    public void Dispose() => folder.Dispose();

    /// <summary>A plant with one site, a key and a person; gives the key.</summary>
    private async Task<string> Prepare()
    {
        using var app = new TraceApp(SettingsOf("plant"), clock);
        await app.AddSite(new SiteDescribed(TraceApp.FirstSite, "Test site", "1 Test Road", "Africa/Nairobi", null, null), "setup");
        var (key, kept) = Secrets.NewKey("bench script", RoleName.Quality, clock.GetUtcNow());
        await app.Access.Record(kept, "test", "test");
        await app.Access.Record(new PersonAdded("Quality", RoleName.Quality, SecretKind.Password, app.Secrets.Hash(RunningSite.Password)), "test", "test");
        return key;
    }

    private TraceSettings SettingsOf(string name) =>
        new(folder[name], "https://trace.example.org", Path.Combine(AppContext.BaseDirectory, "label-templates"));

    /// <summary>Signing in works on a disk that refuses too: people must be able to read.</summary>
    private static async Task<HttpClient> SignIn(Running running)
    {
        var client = running.Client(null);
        var answer = await client.PostForm("/sign-in", new() { ["name"] = "Quality", ["secret"] = RunningSite.Password });
        Assert.Equal(HttpStatusCode.SeeOther, answer.StatusCode);
        return client;
    }

    /// <summary>Gives how many requests were answered as recorded.</summary>
    private static async Task<int> Record(Running running, string key, FaultyFile.Plan plan)
    {
        using var client = running.Client(key);
        var answered = 0;
        for (var request = 0; request < Requests; request++)
        {
            var answer = await client.PostJson("/api/sites/S1/receiving/receive", Receive);
            if (answer.IsSuccessStatusCode)
            {
                answered++;
                continue;
            }

            Assert.True(plan.Calls >= plan.FailAt, $"Refused before the disk did: {await answer.Text()}");
            await MustBeStopped(answer);
        }

        return answered;
    }

    private static async Task MustBeReadOnly(Running running, string key, HttpClient page, int lots)
    {
        using var client = running.Client(key);
        await MustBeStopped(await client.PostJson("/api/sites/S1/receiving/receive", Receive));
        var ready = await client.Open("/health/ready");
        Assert.Equal(HttpStatusCode.ServiceUnavailable, ready.StatusCode);
        Assert.Contains("\"stopped\"", await ready.Text(), StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.OK, (await client.Open("/health/live")).StatusCode);
        Assert.Equal(lots, await Lots(running, key));
        foreach (var address in (string[])["/bench?site=S1", "/quality?site=S1", "/sites/S1/record/receiving/receive"])
            Assert.Contains("Nothing can be recorded now.", await page.Html(address), StringComparison.Ordinal);
    }

    private static async Task MustBeStopped(HttpResponseMessage answer)
    {
        var text = await answer.Text();
        Assert.True(answer.StatusCode == HttpStatusCode.ServiceUnavailable, $"{answer.StatusCode}: {text}");
        Assert.Contains("\"journal.stopped\"", text, StringComparison.Ordinal);
    }

    private static async Task<int> Lots(Running running, string key)
    {
        using var client = running.Client(key);
        var answer = await client.Open("/api/sites/S1/lots");
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        using var document = JsonDocument.Parse(await answer.Text());
        return document.RootElement.GetProperty("lots").GetArrayLength();
    }

    /// <summary>The program on a port, with journal files that can be told to fail.</summary>
    private sealed class Running(WebApplication host, TraceApp app) : IAsyncDisposable
    {
        public TraceApp App => app;

        public static async Task<Running> Start(TraceSettings settings, TimeProvider clock, FaultyFile.Plan plan)
        {
            var app = new TraceApp(settings, clock, null, new StorageOptions { OpenFile = plan.Open });
            var host = TraceHost.Build(settings, "http://127.0.0.1:0", [], clock, app);
            await host.StartAsync(TestContext.Current.CancellationToken);
            return new Running(host, app);
        }

        /// <summary>A script with a key, or a browser.</summary>
        public HttpClient Client(string? key)
        {
            var address = host.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.First();
            var client = new HttpClient(new SocketsHttpHandler { AllowAutoRedirect = false }) { BaseAddress = new Uri(address) };
            if (key is null) client.DefaultRequestHeaders.Add("Accept", "text/html");
            else client.DefaultRequestHeaders.Authorization = new("Bearer", key);
            return client;
        }

        public async ValueTask DisposeAsync()
        {
            await host.StopAsync(TestContext.Current.CancellationToken);
            await host.DisposeAsync();
            app.Dispose();
        }
    }
}
