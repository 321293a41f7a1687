using System.Net;
using System.Net.Sockets;
using System.Text;
using System.Text.RegularExpressions;
using Trace.Core.Access;
using Trace.Web.Hosting;
using Xunit;

namespace Trace.Tests.Web.Edges;

public sealed class LimitTests
{
    [Fact]
    [Asvs("2.4.1", "4.1.3", "15.2.2")]
    public async Task Too_many_buyers_pages_from_one_address_are_told_to_wait()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 5, PublicPerSecond = 1 });
        using var other = site.Visitor(asBrowser: false);
        var answers = new List<HttpResponseMessage>();
        for (var time = 0; time < 12; time++) answers.Add(await other.Open("/lot/S1/X"));
        Assert.All(answers.Take(5), answer => Assert.Equal(HttpStatusCode.NotFound, answer.StatusCode));
        var refused = answers.Last(answer => answer.StatusCode == HttpStatusCode.TooManyRequests);
        Assert.Equal("application/problem+json", refused.Content.Headers.ContentType!.MediaType);
        Assert.Contains("request.rate", await refused.Text(), StringComparison.Ordinal);
        Assert.InRange(refused.Headers.RetryAfter!.Delta!.Value.TotalSeconds, 1, 60);

        // An address typed into a header is nobody's word: there is no known proxy.
        using var forged = new HttpRequestMessage(HttpMethod.Get, "/lot/S1/X");
        forged.Headers.Add("X-Forwarded-For", "192.0.2.77");
        Assert.Equal(HttpStatusCode.TooManyRequests, (await other.SendAsync(forged, TestContext.Current.CancellationToken)).StatusCode);
        Assert.Equal(HttpStatusCode.OK, (await other.Open("/health/live")).StatusCode);
    }

    [Fact]
    [Asvs("15.3.4")]
    public async Task A_known_proxy_is_believed_about_who_asks()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 2, KnownProxies = ["127.0.0.1"] });
        using var proxy = site.Visitor(asBrowser: false);
        for (var caller = 1; caller < 9; caller++)
        {
            using var request = new HttpRequestMessage(HttpMethod.Get, "/lot/S1/X");
            request.Headers.Add("X-Forwarded-For", $"192.0.2.{caller}");
            request.Headers.Add("X-Forwarded-Proto", "https");
            using var answer = await proxy.SendAsync(request, TestContext.Current.CancellationToken);
            Assert.Equal(HttpStatusCode.NotFound, answer.StatusCode);
            Assert.True(answer.Headers.Contains("Strict-Transport-Security"));
        }
    }

    [Fact]
    [Asvs("4.1.3", "15.3.4")]
    public async Task A_proxy_that_is_not_the_known_one_is_not_believed()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 2, PublicPerSecond = 1, KnownProxies = ["192.0.2.200"] });
        using var other = site.Visitor(asBrowser: false);
        var last = HttpStatusCode.OK;
        for (var caller = 1; caller < 9; caller++)
        {
            using var request = new HttpRequestMessage(HttpMethod.Get, "/lot/S1/X");
            request.Headers.Add("X-Forwarded-For", $"192.0.2.{caller}");
            request.Headers.Add("X-Forwarded-Proto", "https");
            using var answer = await other.SendAsync(request, TestContext.Current.CancellationToken);
            Assert.False(answer.Headers.Contains("Strict-Transport-Security"));
            last = answer.StatusCode;
        }

        Assert.Equal(HttpStatusCode.TooManyRequests, last);
    }

    [Theory]
    [InlineData("192.0.2.1", "192.0.2.1")]
    [InlineData("::ffff:192.0.2.1", "192.0.2.1")]
    [InlineData("2001:db8:1:2:3:4:5:6", "20010DB800010002")]
    [InlineData("2001:db8:1:2::1", "20010DB800010002")]
    [InlineData(null, "")]
    public void A_caller_is_an_address_and_with_version_6_a_network(string? address, string caller) =>
        Assert.Equal(caller, RateLimits.Caller(address is null ? null : IPAddress.Parse(address)));

    [Theory]
    [InlineData(9000, 0, 414)]
    [InlineData(1, 20_000, 431)]
    public async Task A_long_address_and_a_large_head_are_refused(int path, int header, int status)
    {
        await using var site = await RunningSite.Start();
        var answer = await Raw(site, $"GET /{new string('a', path)} HTTP/1.1\r\nHost: x\r\n{(header > 0 ? $"X-Big: {new string('b', header)}\r\n" : "")}Connection: close\r\n\r\n");
        Assert.StartsWith($"HTTP/1.1 {status} ", answer, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_form_larger_than_any_of_ours_is_refused()
    {
        await using var site = await RunningSite.Start();
        var browser = site.Visitor();
        using var answer = await browser.PostForm("/sign-in", new() { ["name"] = new string('x', ConnectionLimits.LargestForm + 1), ["secret"] = "1234" });
        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
    }

    [Theory]
    [InlineData("POST /api/sites/S1/receiving/receive HTTP/1.1\r\nHost: x\r\nX-Slow: ", "a")]
    [InlineData("POST /sign-in HTTP/1.1\r\nHost: x\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 5000\r\n\r\n", "a")]
    [Asvs("15.2.2")]
    public async Task A_slow_sender_is_cut_off_and_others_are_served_meanwhile(string begin, string drop)
    {
        await using var site = await RunningSite.Start(edges: new() { HeadTimeout = TimeSpan.FromSeconds(2), SlowGrace = TimeSpan.FromSeconds(2) });
        var script = await site.WithKey(RoleName.Inspector);
        using var slow = await Connect(site);
        var stream = slow.GetStream();
        await stream.WriteAsync(Encoding.ASCII.GetBytes(begin), TestContext.Current.CancellationToken);
        var cut = ReadToEnd(stream);
        var served = 0;
        while (!cut.IsCompleted && served < 100)
        {
            try
            {
                await stream.WriteAsync(Encoding.ASCII.GetBytes(drop), TestContext.Current.CancellationToken);
            }
            catch (IOException)
            {
                break;
            }

            Assert.Equal(HttpStatusCode.OK, (await script.Open("/api/sites/S1/lots")).StatusCode);
            served++;
            await Task.WhenAny(cut, Task.Delay(200, TestContext.Current.CancellationToken));
        }

        var answer = await cut.WaitAsync(TimeSpan.FromSeconds(10), TestContext.Current.CancellationToken);
        Assert.True(answer.Length == 0 || Regex.IsMatch(answer, "^HTTP/1.1 4[0-9][0-9] "), answer);
        Assert.InRange(served, 3, 99);
    }

    private static async Task<TcpClient> Connect(RunningSite site)
    {
        var client = new TcpClient();
        await client.ConnectAsync(IPAddress.Loopback, site.Address.Port, TestContext.Current.CancellationToken);
        return client;
    }

    private static async Task<string> Raw(RunningSite site, string request)
    {
        using var client = await Connect(site);
        await client.GetStream().WriteAsync(Encoding.ASCII.GetBytes(request), TestContext.Current.CancellationToken);
        return await ReadToEnd(client.GetStream());
    }

    private static async Task<string> ReadToEnd(NetworkStream stream)
    {
        var text = new StringBuilder();
        var buffer = new byte[4096];
        try
        {
            while (await stream.ReadAsync(buffer, TestContext.Current.CancellationToken) is > 0 and var count) text.Append(Encoding.ASCII.GetString(buffer, 0, count));
        }
        catch (IOException)
        {
            // Cut off hard: what came before counts.
        }

        return text.ToString();
    }
}
