using System.Net;
using System.Net.Sockets;
using System.Text;
using System.Text.Json;
using Xunit;

namespace Trace.Tests.CommandLine;

/// <summary>The program's own log, as it lies on the disk when it ended.</summary>
[Collection(CommandLineCollection.Name)]
public sealed class LogTests
{
    [Fact]
    [Asvs("16.2.4", "16.3.2", "16.3.3", "16.4.1")]
    public async Task Refused_and_forged_requests_stand_in_the_log_and_forge_no_line_of_it()
    {
        using var folder = new Folder();
        var data = folder["data"];
        var key = (await TraceProcess.Must(0, "key", "add", "--name", "scale", "--role", "inspector", "--data", data)).Output.Trim();
        await using (var serving = await Serving.On(data))
        {
            const string delivery = """{"supplier":"F","massGrams":5,"happenedAt":"2026-01-05T08:00:00Z"}""";
            Assert.Equal(401, (await serving.Post("/api/sites/S1/receiving/receive", null, delivery)).Status);
            Assert.Equal(403, (await serving.Post("/api/sites/S1/receiving/receive", key, delivery)).Status);
            Assert.Equal(400, (await serving.Post("/sign-in", null, "{}")).Status);
            Assert.Equal(404, (await serving.Get("/lot/S1/X%0d%0a%7b%22@t%22%3a%22forged%22%7d%0a", null)).Status);
            Assert.StartsWith("HTTP/1.1 400 ", await Raw(serving, "POST /smuggled HTTP/1.1\r\nHost: x\r\nContent-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n"), StringComparison.Ordinal);
            Assert.Equal(0, await serving.Stop());
        }

        var text = string.Concat(Directory.EnumerateFiles(Path.Combine(data, "logs"), "trace-*.jsonl").Select(File.ReadAllText));
        var lines = text.Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => JsonDocument.Parse(line).RootElement).ToList();
        Assert.All(lines, line => Assert.True(line.GetProperty("@t").GetDateTimeOffset() > DateTimeOffset.UnixEpoch));
        var asked = lines.Where(line => line.TryGetProperty("StatusCode", out _))
            .Select(line => (line.GetProperty("RequestMethod").GetString(), line.GetProperty("RequestPath").GetString(), line.GetProperty("StatusCode").GetInt32(),
                line.TryGetProperty("Person", out var person) ? person.GetString() : null)).ToList();
        Assert.Equal(
            [
                ("POST", "/api/sites/S1/receiving/receive", 401, null), ("POST", "/api/sites/S1/receiving/receive", 403, "scale"), ("POST", "/sign-in", 400, null),
                ("GET", "/lot/S1/X\r\n{\"@t\":\"forged\"}\n", 404, null), ("POST", "/smuggled", 400, null),
            ],
            asked);
    }

    private static async Task<string> Raw(Serving serving, string request)
    {
        using var client = new TcpClient();
        await client.ConnectAsync(IPAddress.Loopback, new Uri(serving.Address).Port, TestContext.Current.CancellationToken);
        await client.GetStream().WriteAsync(Encoding.ASCII.GetBytes(request), TestContext.Current.CancellationToken);
        using var reader = new StreamReader(client.GetStream());
        return await reader.ReadToEndAsync(TestContext.Current.CancellationToken);
    }
}
