using System.Net;
using System.Text.Json;
using System.Text.RegularExpressions;
using Trace.Core.Access;
using Trace.Core.Labels;
using Trace.Storage;
using Trace.Tests.Web;
using Trace.Web.Access;
using Xunit;

namespace Trace.Tests.CommandLine;

/// <summary>What a plant has again after its computer burned: with the keys, and without.</summary>
[Collection(CommandLineCollection.Name)]
public sealed class KeyBackupCommandTests(DemoRun demo)
{
    [Fact]
    public async Task The_command_writes_two_files_warns_and_puts_both_back()
    {
        using var folder = new Folder();
        var data = demo.CopyTo(folder["data"]);
        await TraceProcess.Must(0, "certificate", "--name", "trace.example.org", "--data", data);
        var made = await TraceProcess.Must(0, "backup", folder["week.zip"], "--with-keys", "--data", data);
        Assert.Contains("WARNING: ", made.Errors, StringComparison.Ordinal);
        Assert.Contains("week.keys.zip is secret", made.Errors, StringComparison.Ordinal);
        await TraceProcess.Must(1, "backup", folder["other.zip"], "--with-keys", "--data", folder["none"]);
        Assert.Contains("week.keys.zip exists", (await TraceProcess.Must(1, "backup", folder["week.zip"], "--with-keys", "--data", data)).Errors, StringComparison.Ordinal);

        // Without being asked no keys are written.
        Assert.Empty((await TraceProcess.Must(0, "backup", folder["plain.zip"], "--data", data)).Errors);
        Assert.False(File.Exists(folder["plain.keys.zip"]));

        await TraceProcess.Must(0, "restore", folder["week.zip"], "--data", folder["new"]);
        Assert.False(Directory.Exists(Path.Combine(folder["new"], "keys")));
        await TraceProcess.Must(0, "restore", folder["week.keys.zip"], "--data", folder["new"]);
        foreach (var name in Directory.EnumerateFiles(Path.Combine(data, "keys")).Concat(Directory.EnumerateFiles(Path.Combine(data, "certificates"))).Select(path => Path.GetRelativePath(data, path)))
        {
            Assert.Equal(
                await File.ReadAllBytesAsync(Path.Combine(data, name), TestContext.Current.CancellationToken),
                await File.ReadAllBytesAsync(Path.Combine(folder["new"], name), TestContext.Current.CancellationToken));
        }

        var refused = await TraceProcess.Must(1, "restore", folder["week.keys.zip"], "--data", folder["new"]);
        Assert.DoesNotContain("   at ", refused.Errors, StringComparison.Ordinal);
        await TraceProcess.Must(0, "restore", folder["week.keys.zip"], "--data", folder["new"], "--force");
        await TraceProcess.Must(0, "verify", "--data", folder["new"]);
    }

    [Fact]
    [Asvs("13.3.1")]
    public async Task With_the_keys_everybody_goes_on_and_without_them_labels_alone_lead_on()
    {
        using var folder = new Folder();
        string session, tablet, address;
        DateTimeOffset now;
        await using (var site = await RunningSite.Start())
        {
            await site.AddPerson("Esi", RoleName.Operator, RunningSite.Pin);
            var (secret, kept) = Secrets.NewDevice("Bench 1");
            await site.App.Access.Record(kept, "test", "test");
            tablet = $"trace-tablet={secret}";
            session = CookieOf(await SignIn(site.Visitor(cookie: tablet)));
            var owner = await site.WithKey(RoleName.Owner);
            var story = await BenchStory.Begin(site);
            Assert.True((await owner.PostJson("/api/sites/S1/site/describe", """{"name":"Test site","address":"1 Test Road","zone":"Africa/Nairobi","publicCodes":"unguessable"}""")).IsSuccessStatusCode);
            var packed = await story.Packed();
            await story.Do("labels/print", $$"""{"lot":"{{packed}}","copies":1}""");
            var print = site.App.Journal.Read("S1").Last(entry => entry.Entry.Type == LabelsPrinted.Type).Entry.Payload;
            address = new Uri(JsonDocument.Parse(print).RootElement.GetProperty("label").GetProperty("uri").GetString()!).PathAndQuery;
            TraceStorage.Backup(site.DataFolder, folder["b.zip"]);
            TraceStorage.BackupKeys(site.DataFolder, folder["b.keys.zip"]);
            now = site.Clock.GetUtcNow();
        }

        TraceStorage.Restore(folder["b.zip"], folder["with"]);
        TraceStorage.RestoreKeys(folder["b.keys.zip"], folder["with"]);
        await using (var site = await RunningSite.Start(now: now, dataFolder: folder["with"]))
        {
            Assert.Equal(HttpStatusCode.OK, (await site.Visitor(cookie: session).Open("/bench")).StatusCode);
            Assert.Equal(HttpStatusCode.SeeOther, (await SignIn(site.Visitor(cookie: tablet))).StatusCode);
            Assert.Equal(HttpStatusCode.OK, (await site.Visitor().Open(address)).StatusCode);
        }

        TraceStorage.Restore(folder["b.zip"], folder["without"]);
        await using (var site = await RunningSite.Start(now: now, dataFolder: folder["without"]))
        {
            Assert.Equal(HttpStatusCode.Redirect, (await site.Visitor(cookie: session).Open("/bench")).StatusCode);
            Assert.Equal(HttpStatusCode.Unauthorized, (await SignIn(site.Visitor(cookie: tablet))).StatusCode);
            Assert.Equal(HttpStatusCode.OK, (await site.Visitor().Open(address)).StatusCode);
        }
    }

    private static Task<HttpResponseMessage> SignIn(HttpClient browser) =>
        browser.PostForm("/sign-in", new() { ["name"] = "Esi", ["secret"] = RunningSite.Pin });

    private static string CookieOf(HttpResponseMessage entered) =>
        entered.Headers.GetValues("Set-Cookie").Last(text => Regex.IsMatch(text, "^trace=")).Split(';')[0];
}
