using System.Text.Json;
using System.Text.RegularExpressions;
using Xunit;

namespace Trace.Tests.CommandLine;

[Collection(CommandLineCollection.Name)]
public sealed class ServeTests(DemoRun demo)
{
    private static readonly string[] Asked = ["lots", "lots?kind=packed", "journal?limit=500", "products", "recalls/R01"];

    [Fact]
    public async Task From_an_empty_folder_to_a_served_site_and_a_clean_end()
    {
        using var folder = new Folder();
        var data = folder["data"];
        Assert.Contains("S2", (await TraceProcess.Must(0, "site", "add", "--code", "S2", "--name", "Second", "--zone", "Africa/Nairobi", "--data", data)).Output, StringComparison.Ordinal);
        Assert.Contains("exists", (await TraceProcess.Must(1, "site", "add", "--code", "S2", "--name", "Second", "--zone", "UTC", "--data", data)).Errors, StringComparison.Ordinal);
        var weak = await TraceProcess.Run("12345\n", "person", "add", "--name", "Chiku", "--role", "quality", "--data", data);
        Assert.Equal(1, weak.Exit);
        Assert.Contains("6 digits", weak.Errors, StringComparison.Ordinal);
        var added = await TraceProcess.Run("918273\n", "person", "add", "--name", "Chiku", "--role", "quality", "--data", data);
        Assert.True(added.Exit == 0, added.Errors);
        Assert.DoesNotContain("918273", added.Output + added.Errors, StringComparison.Ordinal);
        var key = (await TraceProcess.Must(0, "key", "add", "--name", "scale", "--role", "owner", "--data", data)).Output;
        Assert.Matches(@"\A[0-9a-f]{12}\.[A-Za-z0-9_-]{43}\n\z", key);
        key = key.Trim();

        await using var serving = await Serving.On(data);
        Assert.DoesNotContain("first-owner", serving.Said, StringComparison.Ordinal);
        Assert.Equal(200, (await serving.Get("/health/ready", null)).Status);
        Assert.Equal(200, (await serving.Get("/api/sites/S2/lots", key)).Status);
        Assert.Equal(401, (await serving.Get("/api/sites/S2/lots", "0123456789ab.wrong")).Status);

        // The program as it is shipped writes JSON without reflection; the description must work there too.
        var (status, text) = await serving.Get("/openapi/v1.json", key);
        Assert.True(status == 200, text);
        Assert.Contains("/api/sites/{site}/receiving/receive", text, StringComparison.Ordinal);

        var second = await TraceProcess.Must(1, "key", "add", "--name", "other", "--role", "owner", "--data", data);
        Assert.Empty(second.Output);
        Assert.Contains(data, second.Errors, StringComparison.Ordinal);
        Assert.Single(second.Errors.Trim().Split('\n'));
        await TraceProcess.Must(0, "verify", "--data", data);
        await TraceProcess.Must(0, "backup", folder["beside.zip"], "--data", data);
        Assert.Equal(0, await serving.Stop());
        TheLogIsWhole(Path.Combine(data, "logs"), key);
    }

    private static void TheLogIsWhole(string folder, string key)
    {
        var text = string.Concat(Directory.EnumerateFiles(folder, "trace-*.jsonl").Select(File.ReadAllText));
        foreach (var secret in new[] { key, key.Split('.')[1], "918273", "Bearer" }) Assert.DoesNotContain(secret, text, StringComparison.Ordinal);
        var lines = text.Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => JsonDocument.Parse(line).RootElement).ToList();
        var request = lines.Single(line => line.TryGetProperty("RequestPath", out var path) && path.GetString() == "/api/sites/S2/lots"
            && line.TryGetProperty("StatusCode", out var status) && status.GetInt32() == 200);

        // Compact log events (Serilog.Formatting.Compact): @t time, @tr trace identity.
        Assert.Matches("^[0-9a-f]{32}$", request.GetProperty("@tr").GetString());
        Assert.NotEmpty(request.GetProperty("RequestId").GetString()!);
        Assert.Equal("scale", request.GetProperty("Person").GetString());
        Assert.Equal("key " + key.Split('.')[0], request.GetProperty("Device").GetString());
    }

    [Fact]
    public async Task The_first_start_listens_on_this_machine_alone_and_prints_one_sign_in()
    {
        using var folder = new Folder();
        Serving serving;
        try
        {
            serving = await Serving.On(folder["data"], null);
        }
        catch (InvalidOperationException taken) when (taken.Message.Contains("address already in use", StringComparison.OrdinalIgnoreCase))
        {
            Assert.Skip("Port 5080 of this machine is taken.");
            throw;
        }

        await using (serving)
        {
            Assert.Equal("http://127.0.0.1:5080", serving.Address);
            Assert.Single(Regex.Matches(serving.Said, @"http://127\.0\.0\.1:5080/first-owner\?code=[0-9a-f]{32}"));
            var (status, text) = await serving.Get("/health/live", null);
            Assert.Equal((200, """{"status":"live"}"""), (status, text));
            Assert.Equal(0, await serving.Stop());
            var log = string.Concat(Directory.EnumerateFiles(Path.Combine(folder["data"], "logs")).Select(File.ReadAllText));
            Assert.DoesNotContain(Regex.Match(serving.Said, "[0-9a-f]{32}").Value, log, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task Without_the_index_the_same_answers_come()
    {
        using var folder = new Folder();
        var data = demo.CopyTo(folder["data"]);
        var key = (await TraceProcess.Must(0, "key", "add", "--name", "reader", "--role", "inspector", "--data", data)).Output.Trim();
        var before = await Answers(data, key);
        Directory.Delete(Path.Combine(data, "index"), recursive: true);
        Assert.Equal(before, await Answers(data, key));
    }

    [Fact]
    public async Task A_damaged_journal_stops_writing_and_says_where()
    {
        using var folder = new Folder();
        var data = demo.CopyTo(folder["data"]);
        var key = (await TraceProcess.Must(0, "key", "add", "--name", "owner script", "--role", "owner", "--data", data)).Output.Trim();
        var journal = Path.Combine(data, "sites", "S1.jsonl");
        var text = await File.ReadAllTextAsync(journal, TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(journal, text.Replace("\"massMilligrams\":4200000", "\"massMilligrams\":4200001", StringComparison.Ordinal), TestContext.Current.CancellationToken);
        await using var serving = await Serving.On(data);
        Assert.Equal(200, (await serving.Get("/health/live", null)).Status);
        var ready = await serving.Get("/health/ready", null);
        Assert.Equal(503, ready.Status);
        var refused = await serving.Post("/api/sites/S1/receiving/receive", key, """{"supplier":"F","massGrams":5,"happenedAt":"2026-01-05T08:00:00Z"}""");
        Assert.Equal(503, refused.Status);
        Assert.Contains("\"code\":\"journal.stopped\"", refused.Text, StringComparison.Ordinal);
        Assert.Contains("S1", refused.Text, StringComparison.Ordinal);
        Assert.DoesNotContain("Exception", refused.Text, StringComparison.Ordinal);
        Assert.Equal(0, await serving.Stop());
    }

    private static async Task<List<string>> Answers(string data, string key)
    {
        await using var serving = await Serving.On(data);
        var answers = new List<string>();
        foreach (var path in Asked)
        {
            var (status, text) = await serving.Get("/api/sites/S1/" + path, key);
            Assert.True(status == 200, text);
            answers.Add(Steady(text));
        }

        foreach (Match lot in Regex.Matches(answers[0], "\"lot\":\"([HTDCP][0-9]{6}-[0-9]{3}.)\",\"kind\":\"(?:packed|bulk)\""))
        {
            foreach (var of in new[] { "", "/trace", "/holds" }) answers.Add(Steady((await serving.Get($"/api/sites/S1/lots/{lot.Groups[1].Value}{of}", key)).Text));
        }

        Assert.True(answers.Count > 10);
        Assert.Equal(0, await serving.Stop());
        return answers;
    }

    /// <summary>What says only when it was asked is left out.</summary>
    private static string Steady(string text) => Regex.Replace(text, "\"(madeAt|elapsedMinutes)\":[^,}]+(?=[,}])", "");
}
