using System.Globalization;
using System.Net;
using System.Text;
using System.Text.RegularExpressions;
using Trace.Tests.CommandLine;
using Xunit;

namespace Trace.Tests.Web.Edges;

/// <summary>The program as a process, logging all that it can; every secret that went in is then looked for in all that came out.</summary>
[Collection(CommandLineCollection.Name)]
public sealed class SecretLogTests
{
    [Fact]
    [Asvs("16.2.5")]
    public async Task No_secret_stands_in_a_log_or_on_the_console_at_the_most_talkative_level()
    {
        using var folder = new Folder();
        var data = folder["data"];
        const string password = "tansy-otter-quill-77", wrong = "wrong-lynx-harbor-12", changed = "884422";
        Assert.Equal(0, (await TraceProcess.Run(password + "\n", "person", "add", "--name", "Ama", "--role", "owner", "--data", data)).Exit);
        var key = (await TraceProcess.Must(0, "key", "add", "--name", "scale", "--role", "operator", "--data", data)).Output.Trim();
        using var process = TraceProcess.Start("serve", "--data", data, "--urls", "http://127.0.0.1:0", "--log-level", "Verbose");
        var said = new StringBuilder();
        var address = "";
        while (address.Length == 0 || !said.ToString().Contains("Data folder:", StringComparison.Ordinal))
        {
            var line = await process.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken) ?? throw new InvalidOperationException("It ended.");
            said.AppendLine(line);
            if (Regex.Match(line, "^Listening on (.+)$") is { Success: true } match) address = match.Groups[1].Value;
        }

        var rest = process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        var errors = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        var cookies = new CookieContainer();
        using var browser = new HttpClient(new SocketsHttpHandler { AllowAutoRedirect = false, CookieContainer = cookies }) { BaseAddress = new Uri(address) };
        browser.DefaultRequestHeaders.Add("Accept", "text/html");
        var token = Browsing.Filled(await browser.Html("/sign-in"), [])["__RequestVerificationToken"];
        Assert.Equal(HttpStatusCode.Unauthorized, (await browser.PostForm("/sign-in", new() { ["name"] = "Ama", ["secret"] = wrong })).StatusCode);
        Assert.Equal(HttpStatusCode.SeeOther, (await browser.PostForm("/sign-in", new() { ["name"] = "Ama", ["secret"] = password })).StatusCode);
        Assert.True((int)(await browser.PostForm("/people", new() { ["name"] = "Ben", ["role"] = "operator", ["secret"] = changed }, "/people/add")).StatusCode < 500);
        await browser.Open($"/first-owner?code={wrong}");
        await browser.Open($"/lot/S1/X?c={wrong}");
        await browser.Post("/sign-in", new() { ["secret"] = password });

        using var script = new HttpClient { BaseAddress = new Uri(address) };
        script.DefaultRequestHeaders.Authorization = new("Bearer", key);
        script.DefaultRequestHeaders.Add("X-Private", "private-header-4711");
        Assert.Equal(HttpStatusCode.OK, (await script.Open("/api/sites/S1/lots")).StatusCode);
        await script.PostJson("/api/sites/S1/receiving/receive", $$"""{"supplier":"{{password}}","massGrams":"broken"}""");
        await script.PostJson("/api/sites/S1/receiving/receive", "{" + changed);
        script.DefaultRequestHeaders.Authorization = new("Bearer", key + wrong);
        Assert.Equal(HttpStatusCode.Unauthorized, (await script.Open("/api/sites/S1/lots")).StatusCode);
        var session = cookies.GetCookies(new Uri(address)).Select(cookie => cookie.Value).ToList();
        Assert.True(session.Count >= 2);

        Kill(process.Id);
        await TraceProcess.End(process);
        var log = string.Concat(Directory.EnumerateFiles(Path.Combine(data, "logs")).Select(File.ReadAllText));
        Assert.True(log.Length > 20_000, $"{log.Length} characters are too few for the most talkative level.");
        Assert.Contains("RequestPath", log, StringComparison.Ordinal);
        var all = said + await rest + await errors + log;
        var keys = Directory.EnumerateFiles(Path.Combine(data, "keys")).Select(KeyIn).ToList();
        Assert.True(keys.Count >= 2, "The form key and the key of the sign-in secrets are expected.");
        foreach (var secret in new[] { password, wrong, changed, key, key.Split('.')[1], "private-header-4711", token }.Concat(session).Concat(keys))
            Assert.False(all.Contains(secret, StringComparison.Ordinal), Around(all, secret));
    }

    /// <summary>The secret in a key file: the framework's are XML, our own is nothing but the key.</summary>
    private static string KeyIn(string file)
    {
        var text = file.EndsWith(".xml", StringComparison.Ordinal)
            ? Regex.Match(File.ReadAllText(file), "<value>([^<]+)</value>").Groups[1].Value
            : Convert.ToBase64String(File.ReadAllBytes(file));
        Assert.NotEmpty(text);
        return text;
    }

    private static string Around(string all, string secret)
    {
        var at = all.IndexOf(secret, StringComparison.Ordinal);
        return at < 0 ? "" : string.Create(CultureInfo.InvariantCulture, $"A secret stands at {at}: {all[Math.Max(0, at - 300)..Math.Min(all.Length, at + secret.Length + 100)]}");
    }

    private static void Kill(int process) => System.Diagnostics.Process.Start("kill", ["-TERM", process.ToString(CultureInfo.InvariantCulture)]).WaitForExit();
}
