using System.Net;
using System.Net.Http.Headers;
using System.Text;
using System.Text.Json;
using System.Text.RegularExpressions;
using Trace.Core.Access;
using Trace.Core.Journal;
using Trace.Tests.CommandLine;
using Trace.Tests.Web;
using Xunit;

namespace Trace.Tests.Torture.Killing;

/// <summary>
/// The owner at a browser while the program is killed: signs in and out, adds persons and keys. What was answered is kept, and after each
/// start all of it must be there and do what it was told to: a key opens, a session goes on, an ended one does not.
/// </summary>
internal sealed partial class KilledOffice : IDisposable
{
    public const string Owner = "Olivia";
    public const string Password = "plum-barrow-47-kettle";

    private readonly Random chance;
    private readonly List<string> persons = [];
    private readonly List<(string Name, string Key)> keys = [];
    private readonly List<Browser> open = [];
    private readonly List<Browser> ended = [];
    private readonly HashSet<string> asked = new(StringComparer.Ordinal);
    private int made;

    public KilledOffice(Random chance) => this.chance = new Random(chance.Next());

    /// <summary>Persons, keys, sign-ins and sign-outs that were answered.</summary>
    public int Answered => persons.Count + keys.Count + open.Count + ended.Count;

    /// <summary>Works until the program is dead.</summary>
    public async Task Work(string address)
    {
        try
        {
            var browser = new Browser(address);
            await browser.SignIn();
            open.Add(browser);
            while (true)
            {
                if (chance.Next(8) == 0) await AddPerson(browser);
                else await AddKey(browser);
                if (chance.Next(12) != 0) continue;

                // A session that is not known to be over may be either.
                open.Remove(browser);
                await browser.SignOut();
                ended.Add(browser);
                browser = new Browser(address);
                await browser.SignIn();
                open.Add(browser);
            }
        }
        catch (Exception lost) when (lost is HttpRequestException or IOException or TaskCanceledException)
        {
            // Killed.
        }
    }

    /// <summary>All that must be true after a start.</summary>
    public async Task Check(string data, Serving serving)
    {
        var lines = File.ReadLines(Path.Combine(data, "access.jsonl")).Select(line => EntryText.Read(Encoding.UTF8.GetBytes(line), out var problem)
            ?? throw new InvalidOperationException(problem)).ToList();
        var names = lines.Where(line => line.Entry.Type is PersonAdded.Type or KeyAdded.Type).Select(line => NameIn(line)!).ToList();
        Assert.Equal(names.Count, names.Distinct(StringComparer.Ordinal).Count());
        foreach (var name in persons.Concat(keys.Select(key => key.Name))) Assert.True(names.Contains(name), $"{name} was answered and is gone.");
        foreach (var (_, key) in keys.TakeLast(3).Concat(keys.Take(1)))
            Assert.Equal(200, (await serving.Get("/api/sites/S1/lots?limit=1", key)).Status);
        foreach (var browser in ended.TakeLast(3)) Assert.False(await browser.IsIn(serving.Address), "A session that had been ended goes on.");
        foreach (var browser in open.TakeLast(3)) Assert.True(await browser.IsIn(serving.Address), "A session is lost.");
        if (open.Count == 0) return;

        // What is served is the fold of the file.
        var page = await open[^1].People(serving.Address);
        foreach (var name in names.Where(asked.Contains)) Assert.Contains($">{name}<", page, StringComparison.Ordinal);
    }

    /// <summary>Behind the last answered entry of the access stream the disk promised nothing: the end is cut at any byte.</summary>
    public void CutThePower(string data)
    {
        var path = Path.Combine(data, "access.jsonl");
        var bytes = File.ReadAllBytes(path);
        var known = persons.Concat(keys.Select(key => key.Name)).ToHashSet(StringComparer.Ordinal);
        var safe = FlushedPart.Length(data, JournalStreams.Access, bytes);
        for (var at = safe; at < bytes.Length;)
        {
            var length = bytes.AsSpan(at).IndexOf((byte)'\n') + 1;
            if (length == 0) break;
            var isOpen = EntryText.Read(bytes.AsSpan(at, length - 1), out _) is { } line
                && (line.Entry.Type == KeyUsed.Type || (NameIn(line) is { } name && asked.Contains(name) && !known.Contains(name)));
            if (!isOpen) safe = at + length;
            at += length;
        }

        File.WriteAllBytes(path, bytes[..chance.Next(safe, bytes.Length + 1)]);
    }

    public void Dispose()
    {
        foreach (var browser in open.Concat(ended)) browser.Dispose();
    }

    private async Task AddPerson(Browser browser)
    {
        var name = Ask("Packer");
        await browser.Post("/people/add", new() { ["name"] = name, ["role"] = "packer", ["secret"] = Password + made }, HttpStatusCode.SeeOther);
        persons.Add(name);
    }

    private async Task AddKey(Browser browser)
    {
        var name = Ask("Scale");
        var page = await browser.Post("/people/add-key", new() { ["name"] = name, ["role"] = "operator", ["days"] = "30" }, HttpStatusCode.OK);
        keys.Add((name, KeyOnPage().Match(page).Groups[1].Value));
    }

    private string Ask(string word)
    {
        var name = $"{word} {++made}";
        asked.Add(name);
        return name;
    }

    private static string? NameIn(JournalEntry line)
    {
        using var payload = JsonDocument.Parse(line.Entry.Payload);
        return payload.RootElement.TryGetProperty("name", out var name) ? name.GetString() : null;
    }

    [GeneratedRegex("<code class=\"key\">([^<]+)</code>")]
    private static partial Regex KeyOnPage();

    /// <summary>A browser with its cookies; the program has another port after each start.</summary>
    private sealed class Browser : IDisposable
    {
        private readonly HttpClient client;
        private readonly string address;
        private string people = "";

        public Browser(string address)
        {
            this.address = address;
            client = new HttpClient(new SocketsHttpHandler { AllowAutoRedirect = false, UseProxy = false }) { Timeout = TimeSpan.FromSeconds(30) };
            client.DefaultRequestHeaders.Accept.Add(new MediaTypeWithQualityHeaderValue("text/html"));
        }

        public async Task SignIn()
        {
            var page = await client.GetStringAsync(address + "/sign-in");
            await Send("/sign-in", page, new() { ["name"] = Owner, ["secret"] = Password }, HttpStatusCode.SeeOther);
            people = await client.GetStringAsync(address + "/people");
        }

        public async Task SignOut() => await Send("/sign-out", people, [], HttpStatusCode.SeeOther);

        public Task<string> Post(string path, Dictionary<string, string> fields, HttpStatusCode expected) => Send(path, people, fields, expected);

        public async Task<bool> IsIn(string now)
        {
            using var answer = await client.GetAsync(new Uri(now + "/people"));
            return answer.StatusCode == HttpStatusCode.OK;
        }

        public Task<string> People(string now) => client.GetStringAsync(now + "/people");

        public void Dispose() => client.Dispose();

        private async Task<string> Send(string path, string page, Dictionary<string, string> fields, HttpStatusCode expected)
        {
            using var content = new FormUrlEncodedContent(Browsing.Filled(page, fields));
            using var answer = await client.PostAsync(new Uri(address + path), content);
            var text = await answer.Content.ReadAsStringAsync();
            return answer.StatusCode == expected ? text : throw new InvalidOperationException($"{path}: {answer.StatusCode} {text}");
        }
    }
}
