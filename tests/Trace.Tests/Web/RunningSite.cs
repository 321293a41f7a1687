using System.Net;
using System.Text.RegularExpressions;
using System.Text;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Identity;
using Microsoft.AspNetCore.Routing;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Time.Testing;
using Trace.Core.Access;
using Trace.Core.Sites;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Xunit;

namespace Trace.Tests.Web;

/// <summary>The real program on a port and a data folder of its own, with a clock that stands still until it is moved.</summary>
public sealed partial class RunningSite : IAsyncDisposable
{
    public const string Zone = "Africa/Nairobi";

    /// <summary>Counts on enrolled tablets alone.</summary>
    public const string Pin = "135790";

    public const string Password = "three plain words";

    private readonly DirectoryInfo folder;
    private readonly TraceSettings settings;
    private readonly List<IDisposable> clients = [];

    private WebApplication host;
    private TraceApp? own;

    private RunningSite(WebApplication host, TraceApp? own, DirectoryInfo folder, TraceSettings settings, FakeTimeProvider clock)
    {
        this.host = host;
        this.own = own;
        this.folder = folder;
        this.settings = settings;
        Clock = clock;
    }

    /// <summary>Stands at 09:00 at the site (UTC + 3 h) at first.</summary>
    public FakeTimeProvider Clock { get; }

    public TraceApp App => host.Services.GetRequiredService<TraceApp>();

    public string DataFolder => folder.FullName;

    /// <summary>All that answers.</summary>
    public IReadOnlyList<RouteEndpoint> Routes => [.. host.Services.GetServices<EndpointDataSource>().SelectMany(source => source.Endpoints).OfType<RouteEndpoint>()];

    public FirstOwner FirstOwner => host.Services.GetRequiredService<FirstOwner>();

    public Uri Address => new(host.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.First());

    /// <param name="dataFolder">A folder with a site in it, that is gone afterwards; else one with the first site is made.</param>
    /// <param name="slowHasher">In place of the hasher of PINs and passwords.</param>
    public static async Task<RunningSite> Start(
        string name = "Test site", DateTimeOffset? now = null, string zone = Zone, EdgeSettings? edges = null, string? dataFolder = null,
        IPasswordHasher<Person>? slowHasher = null, Trace.Web.Printers.PrinterLimits? printers = null,
        Trace.Web.Mail.MailSettings? mail = null)
    {
        var folder = dataFolder is null ? Directory.CreateTempSubdirectory("trace-test-") : new DirectoryInfo(dataFolder);
        var clock = new FakeTimeProvider(now ?? new DateTimeOffset(2026, 11, 25, 6, 0, 0, TimeSpan.Zero));
        var settings = new TraceSettings(folder.FullName, "https://trace.example.org", Path.Combine(AppContext.BaseDirectory, "label-templates"))
        {
            Edges = edges ?? new EdgeSettings(),
            Printers = printers ?? new Trace.Web.Printers.PrinterLimits(),
            Mail = mail,
        };
        var own = slowHasher is null ? null : new TraceApp(settings, clock, secrets: new SecretHasher(folder.FullName, slowHasher));
        var host = TraceHost.Build(settings, "http://127.0.0.1:0", [], clock, own);
        var site = new RunningSite(host, own, folder, settings, clock);
        if (site.App.Sites.Count == 0)
            await site.App.AddSite(new SiteDescribed(TraceApp.FirstSite, name, "1 Test Road, Example Town", zone, "EX 123", null), "setup");
        await host.StartAsync();
        return site;
    }

    /// <summary>Ends the program and starts it again on the same folder.</summary>
    /// <param name="samePort">Else on another port, so clients from before lead nowhere.</param>
    /// <param name="meanwhile">Done while nothing runs.</param>
    public async Task Restart(bool samePort = false, Func<Task>? meanwhile = null)
    {
        var address = samePort ? Address.ToString() : "http://127.0.0.1:0";
        await Stop();
        if (meanwhile is not null) await meanwhile();
        (host, own) = (TraceHost.Build(settings, address, [], Clock), null);
        await host.StartAsync();
    }

    /// <summary>A browser without cookies that follows no redirect by itself.</summary>
    /// <param name="cookie">A cookie that it has from before.</param>
    public HttpClient Visitor(bool asBrowser = true, string? cookie = null)
    {
        var jar = new CookieContainer();
        if (cookie is not null) jar.SetCookies(Address, cookie);
        var client = new HttpClient(new SocketsHttpHandler { AllowAutoRedirect = false, CookieContainer = jar }) { BaseAddress = Address };
        if (asBrowser) client.DefaultRequestHeaders.Add("Accept", "text/html,application/xhtml+xml");
        clients.Add(client);
        return client;
    }

    public Task AddPerson(string name, RoleName role, string secret = Password) =>
        App.Access.Record(new PersonAdded(name, role, Secrets.KindOf(secret), App.Secrets.Hash(secret)), "test", "test");

    /// <summary>A browser that is an enrolled tablet; nobody has signed in.</summary>
    public async Task<HttpClient> Tablet(string name = "Bench 1")
    {
        var (cookie, kept) = Secrets.NewDevice(name);
        await App.Access.Record(kept, "test", "test");
        return Visitor(cookie: $"trace-tablet={cookie}");
    }

    /// <summary>A browser in which a new person of this role has signed in.</summary>
    public async Task<HttpClient> SignedIn(RoleName role, string? name = null)
    {
        name ??= role.ToString();
        await AddPerson(name, role);
        var client = Visitor();
        var answer = await client.PostForm("/sign-in", new() { ["name"] = name, ["secret"] = Password });
        Assert.Equal(HttpStatusCode.SeeOther, answer.StatusCode);
        return client;
    }

    /// <summary>A script's client with a key of this role.</summary>
    public async Task<HttpClient> WithKey(RoleName role)
    {
        var (key, kept) = Secrets.NewKey($"{role} script", role, Clock.GetUtcNow());
        await App.Access.Record(kept, "test", "test");
        var client = Visitor(asBrowser: false);
        client.DefaultRequestHeaders.Authorization = new("Bearer", key);
        return client;
    }

    /// <summary>Number of entries in the site's journal.</summary>
    public long Head => App.Journal.Head(TraceApp.FirstSite);

    public async ValueTask DisposeAsync()
    {
        foreach (var client in clients) client.Dispose();
        await Stop();
        folder.Delete(recursive: true);
    }

    private async Task Stop()
    {
        await host.StopAsync();
        await host.DisposeAsync();
        own?.Dispose();
    }
}

public static partial class Browsing
{
    /// <summary>Opens the page, takes its form's hidden fields, fills in the rest and sends it.</summary>
    /// <param name="action">Where the form posts to, when not to its own page.</param>
    public static async Task<HttpResponseMessage> PostForm(this HttpClient client, string page, Dictionary<string, string> fields, string? action = null)
    {
        var html = await client.Html(page);
        return await client.Post(action ?? page.Split('?')[0], Filled(html, fields));
    }

    /// <summary>The hidden fields of the page's last token-bearing form with this content, and the given ones.</summary>
    public static Dictionary<string, string> Filled(string html, Dictionary<string, string> fields)
    {
        var all = new Dictionary<string, string>(fields);
        foreach (Match hidden in Hidden().Matches(html))
        {
            if (hidden.Groups[1].Value is var name && (name.StartsWith("__", StringComparison.Ordinal) || name == "requestKey")) all.TryAdd(name, hidden.Groups[2].Value);
        }

        return all;
    }

    public static async Task<HttpResponseMessage> Post(this HttpClient client, string address, Dictionary<string, string> fields)
    {
        using var content = new FormUrlEncodedContent(fields);
        return await client.PostAsync(new Uri(address, UriKind.Relative), content);
    }

    public static async Task<HttpResponseMessage> PostJson(this HttpClient client, string address, string json)
    {
        using var content = new StringContent(json, Encoding.UTF8, "application/json");
        return await client.PostAsync(new Uri(address, UriKind.Relative), content);
    }

    public static async Task<HttpResponseMessage> Open(this HttpClient client, string address) => await client.GetAsync(new Uri(address, UriKind.Relative));

    public static async Task<string> Html(this HttpClient client, string address)
    {
        var answer = await client.Open(address);
        var html = await answer.Content.ReadAsStringAsync();
        Assert.True(answer.IsSuccessStatusCode, $"{address}: {answer.StatusCode}\n{html}");
        return html;
    }

    public static async Task<string> Text(this HttpResponseMessage answer) => await answer.Content.ReadAsStringAsync();

    [GeneratedRegex("<input type=\"hidden\" name=\"([^\"]+)\" value=\"([^\"]*)\"")]
    private static partial Regex Hidden();
}
