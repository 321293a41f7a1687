using System.Net;
using System.Net.Sockets;
using System.Text;
using System.Text.RegularExpressions;
using Trace.Core.Access;
using Trace.Web.Access;
using Xunit;

namespace Trace.Tests.Web.Edges;

/// <summary>What comes over the wire when nobody keeps to the rules: refused or cut off, at once, and without a trace in the journal.</summary>
public sealed partial class RawSocketTests(ITestOutputHelper output)
{
    /// <summary>No answer in this time is a hang; all of these are whole, or broken in a way that is seen at once.</summary>
    private static readonly TimeSpan Longest = TimeSpan.FromSeconds(5);

    [Fact]
    [Asvs("4.2.1", "5.3.2", "13.4.4", "16.5.1")]
    public async Task A_message_that_breaks_the_rules_is_refused_or_cut_off_and_records_nothing()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000, HeadTimeout = TimeSpan.FromSeconds(2), SlowGrace = TimeSpan.FromSeconds(2) });
        var requests = await RequestsOf(site);
        var (head, people) = (site.Head, site.App.Journal.Head("access"));
        var wrong = new List<string>();
        var count = 0;
        foreach (var (name, bytes) in requests.Bad())
        {
            count++;
            var answer = await Send(site, bytes);
            if (Fault(answer) is { } fault) wrong.Add($"{name}: {fault}: {Short(answer)}");
            if (site.Head != head) wrong.Add($"{name}: recorded");
            head = site.Head;
            output.WriteLine($"{name}: {Short(answer)}");
        }

        Assert.True(wrong.Count == 0, string.Join('\n', wrong));
        Assert.True(count > 120, $"{count}");

        // That the key was used today is noted, by itself and a moment later.
        Assert.All(site.App.Journal.Read("access", people + 1), entry => Assert.Equal(KeyUsed.Type, entry.Entry.Type));

        // The twins, which keep to the rules: what was refused was not refused for something else.
        foreach (var good in new[] { requests.Good, requests.GoodChunked }.Concat(requests.Tolerated().Select(one => one.Bytes)))
        {
            var answer = await Send(site, good);
            Assert.StartsWith("HTTP/1.1 201 ", answer, StringComparison.Ordinal);
            Assert.Single(Status().Matches(answer!));
            Assert.Equal(++head, site.Head);
        }
    }

    [Theory]
    [InlineData("a slow request line", "GET /lot/S1/", "a")]
    [InlineData("a slow head", "GET /lot/S1/X HTTP/1.1\r\nHost: x\r\nX-Slow: ", "a")]
    [InlineData("a head that stops", "GET /lot/S1/X HTTP/1.1\r\nHost: x\r\n", "")]
    [InlineData("a slow body", "POST {0} HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer {1}\r\nContent-Type: application/json\r\nContent-Length: 5000\r\n\r\n", " ")]
    [InlineData("a body that stops", "POST {0} HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer {1}\r\nContent-Type: application/json\r\nContent-Length: 5000\r\n\r\n{{", "")]
    [InlineData("slow chunks", "POST {0} HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer {1}\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n", "1\r\n \r\n")]
    [InlineData("a slow chunk size", "POST {0} HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer {1}\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n", "0")]
    [Asvs("15.2.2")]
    public async Task Whoever_dawdles_is_cut_off_in_the_time_that_was_set(string what, string begin, string drop)
    {
        await using var site = await RunningSite.Start(edges: new() { HeadTimeout = TimeSpan.FromSeconds(2), SlowGrace = TimeSpan.FromSeconds(2) });
        var (key, kept) = Secrets.NewKey("dawdler", RoleName.Operator, site.Clock.GetUtcNow());
        await site.App.Access.Record(kept, "test", "test");
        var head = site.Head;
        using var client = await Connect(site);
        var stream = client.GetStream();
        await stream.WriteAsync(RawRequests.BytesOf(string.Format(null, begin, "/api/sites/S1/receiving/receive", key)), TestContext.Current.CancellationToken);
        var answer = ReadToEnd(stream);

        // Some times what was set: a busy machine may take them, and they end before the server's own times would help out (30 s).
        for (var wait = 0; wait < 100 && !answer.IsCompleted; wait++)
        {
            await Task.WhenAny(answer, Task.Delay(100, TestContext.Current.CancellationToken));
            try
            {
                if (drop.Length > 0 && !answer.IsCompleted) await stream.WriteAsync(RawRequests.BytesOf(drop), TestContext.Current.CancellationToken);
            }
            catch (IOException)
            {
                break;
            }
        }

        Assert.True(await Task.WhenAny(answer, Task.Delay(Longest, TestContext.Current.CancellationToken)) == answer, what);
        Assert.True(Fault(await answer) is null, $"{what}: {await answer}");
        Assert.Equal(head, site.Head);
    }

    private static async Task<RawRequests> RequestsOf(RunningSite site)
    {
        var (key, kept) = Secrets.NewKey("raw", RoleName.Owner, site.Clock.GetUtcNow());
        await site.App.Access.Record(kept, "test", "test");
        return new(key, site.Clock.GetUtcNow().ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", System.Globalization.CultureInfo.InvariantCulture));
    }

    /// <summary>What is wrong with an answer; null when it refuses once, or is none.</summary>
    private static string? Fault(string? answer)
    {
        if (answer is null) return "hangs";
        var statuses = Status().Matches(answer);
        if (statuses.Count > 1) return "answered more than once";

        // 505 is the answer that RFC 9110 §15.6.6 has for a version that is not spoken.
        if (statuses.Count == 1 && statuses[0].Groups[1].Value is var status && status[0] != '4' && status != "505") return "not refused";
        return Inside().IsMatch(answer) ? "tells of the inside" : null;
    }

    private static string Short(string? answer) => answer is null ? "nothing in time" : answer.Length == 0 ? "closed" : answer.Split('\r')[0];

    private static async Task<TcpClient> Connect(RunningSite site)
    {
        var client = new TcpClient();
        await client.ConnectAsync(IPAddress.Loopback, site.Address.Port, TestContext.Current.CancellationToken);
        return client;
    }

    /// <summary>All that came until the server closed; null when it did not in time.</summary>
    private static async Task<string?> Send(RunningSite site, string request)
    {
        using var client = await Connect(site);
        var answer = ReadToEnd(client.GetStream());
        try
        {
            await client.GetStream().WriteAsync(RawRequests.BytesOf(request), TestContext.Current.CancellationToken);
        }
        catch (IOException)
        {
            // Cut off before all was sent.
        }

        return await Task.WhenAny(answer, Task.Delay(Longest, TestContext.Current.CancellationToken)) == answer ? await answer : null;
    }

    private static async Task<string> ReadToEnd(NetworkStream stream)
    {
        var text = new StringBuilder();
        var buffer = new byte[4096];
        try
        {
            while (await stream.ReadAsync(buffer, TestContext.Current.CancellationToken) is > 0 and var count) text.Append(Encoding.Latin1.GetString(buffer, 0, count));
        }
        catch (Exception cut) when (cut is IOException or ObjectDisposedException)
        {
            // Cut off hard: what came before counts.
        }

        return text.ToString();
    }

    [GeneratedRegex(@"HTTP/1\.[01] ([0-9]{3}) ")]
    private static partial Regex Status();

    [GeneratedRegex(@"Exception|System\.|Microsoft\.|Kestrel|   at |\.cs:line")]
    private static partial Regex Inside();
}
