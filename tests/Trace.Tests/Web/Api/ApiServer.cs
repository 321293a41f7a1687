using System.Globalization;
using System.Net;
using System.Net.Http.Headers;
using System.Net.Sockets;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Mvc.Testing;
using Microsoft.AspNetCore.TestHost;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.DependencyInjection.Extensions;
using Microsoft.Extensions.Time.Testing;
using Trace.Core.Access;
using Trace.Web;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Xunit;

namespace Trace.Tests.Web.Api;

/// <summary>
/// The real program on a real socket with a real store in a folder of its own; only the clock is the test's. One server serves all tests of
/// the collection, one after the other: each makes its own lots.
/// </summary>
public sealed class ApiServer : WebApplicationFactory<Program>, IAsyncLifetime
{
    public const string Site = "S1";

    /// <summary>A GTIN of the demonstration prefix 952 (GS1 General Specifications: 952 is for demonstrations and examples; from memory).</summary>
    public const string Gtin = "09520123456788";

    private readonly DirectoryInfo folder = Directory.CreateTempSubdirectory("trace-api-");
    private readonly Dictionary<RoleName, string> keys = [];
    private readonly int port = FreePort();

    public FakeTimeProvider Clock { get; } = new(new DateTimeOffset(2026, 3, 2, 6, 0, 0, TimeSpan.Zero));

    /// <summary>The address that labels point to: the server's own, so that what a label says can be asked for.</summary>
    public string Address => $"http://127.0.0.1:{port}";

    public TraceApp App => Services.GetRequiredService<TraceApp>();

    public string DataFolder => folder.FullName;

    public IReadOnlyDictionary<RoleName, string> Keys => keys;

    public HttpClient Nobody { get; private set; } = null!;

    public long Head => App.Journal.Head(Site);

    public async ValueTask InitializeAsync()
    {
        UseKestrel(port);
        StartServer();
        Nobody = new HttpClient(new SocketsHttpHandler
        {
            AllowAutoRedirect = false,
            UseCookies = false,
            RequestHeaderEncodingSelector = (_, _) => Encoding.UTF8,
        })
        { BaseAddress = new Uri(Address) };
        foreach (var role in Enum.GetValues<RoleName>())
        {
            var (key, kept) = Secrets.NewKey($"{role} of the test", role, Clock.GetUtcNow(), Secrets.MostKeyDays);
            await App.Access.Record(kept, "test", "test");
            keys[role] = key;
        }

        await Do("products/specify", new { product = "DRIED", name = "Dried insect larvae", label = new { gtin = Gtin, cautions = new[] { "May cause an allergic reaction." } } }, RoleName.Owner);
        await Do("products/approve", new { product = "DRIED", version = 2 }, RoleName.Quality);
        await Do("site/describe", new { name = "Example plant", address = "1 Example Road", zone = "Africa/Nairobi" }, RoleName.Owner);
    }

    public override async ValueTask DisposeAsync()
    {
        Nobody.Dispose();
        var app = App;
        await base.DisposeAsync();
        // The program's own end closes the store too, and may not have done with it.
        app.Dispose();
        folder.Delete(recursive: true);
        GC.SuppressFinalize(this);
    }

    /// <summary>Time goes on, and is written as requests want it.</summary>
    public string Later(double minutes = 1)
    {
        Clock.Advance(TimeSpan.FromMinutes(minutes));
        return Now();
    }

    public string Now(double minutesFromNow = 0) =>
        Clock.GetUtcNow().AddMinutes(minutesFromNow).ToOffset(TimeSpan.FromHours(3)).ToString("yyyy-MM-dd'T'HH:mm:sszzz", CultureInfo.InvariantCulture);

    public HttpRequestMessage Request(HttpMethod method, string path, RoleName? role, HttpContent? content = null)
    {
        var request = new HttpRequestMessage(method, new Uri(Address + path, new UriCreationOptions { DangerousDisablePathAndQueryCanonicalization = true })) { Content = content };
        if (role is { } known) request.Headers.Authorization = new AuthenticationHeaderValue("Bearer", keys[known]);
        return request;
    }

    public Task<Reply> Get(string path, RoleName? role = RoleName.Inspector, string? accept = null)
    {
        var request = Request(HttpMethod.Get, path, role);
        if (accept is not null) request.Headers.Add("Accept", accept);
        return Send(request);
    }

    /// <summary>Posts to an operation of the site: an object, or a text as it stands.</summary>
    public Task<Reply> Post(
        string operation, object body, RoleName? role = RoleName.Owner, string? key = null, string site = Site, string mediaType = "application/json",
        string? device = null)
    {
        var text = body as string ?? JsonSerializer.Serialize(body);
        var content = new ByteArrayContent(Encoding.UTF8.GetBytes(text));
        content.Headers.TryAddWithoutValidation("Content-Type", mediaType);
        var request = Request(HttpMethod.Post, $"/api/sites/{site}/{operation}", role, content);
        if (key is not null) request.Headers.TryAddWithoutValidation("Idempotency-Key", key);
        if (device is not null) request.Headers.TryAddWithoutValidation("X-Device", device);
        return Send(request);
    }

    /// <summary>Posts what must be recorded.</summary>
    public async Task<JsonNode> Do(string operation, object body, RoleName role = RoleName.Operator)
    {
        var reply = await Post(operation, body, role);
        Assert.True(reply.Status == HttpStatusCode.Created, $"{operation}: {(int)reply.Status} {reply.Text}");
        Assert.Equal("application/json", reply.MediaType);
        return reply.Json;
    }

    /// <summary>Posts what must be refused, and checks all that every refusal promises.</summary>
    public async Task<JsonNode> Refused(
        HttpStatusCode status, string code, string operation, object body, RoleName role = RoleName.Owner, string? key = null,
        string mediaType = "application/json", string site = Site)
    {
        var head = Head;
        var reply = await Post(operation, body, role, key, site, mediaType);
        reply.MustBeProblem(status, code);
        Assert.Equal(head, Head);
        return reply.Json;
    }

    public async Task<Reply> Send(HttpRequestMessage request)
    {
        using (request)
        using (var response = await Nobody.SendAsync(request, TestContext.Current.CancellationToken))
        {
            var bytes = await response.Content.ReadAsByteArrayAsync(TestContext.Current.CancellationToken);
            return new Reply(response.StatusCode, response.Content.Headers.ContentType?.MediaType, bytes, response.Headers.Location);
        }
    }

    protected override void ConfigureWebHost(IWebHostBuilder builder)
    {
        builder.UseSetting("data", folder.FullName).UseSetting("public-url", Address);
        builder.ConfigureTestServices(services => services.Replace(ServiceDescriptor.Singleton<TimeProvider>(Clock)));
    }

    private static int FreePort()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }
}

/// <summary>An answer, read to its end.</summary>
public sealed record Reply(HttpStatusCode Status, string? MediaType, byte[] Bytes, Uri? Location)
{
    public string Text => Encoding.UTF8.GetString(Bytes);

    public JsonNode Json => JsonNode.Parse(Bytes) ?? throw new InvalidOperationException("The body is null.");

    /// <summary>RFC 9457: status, media type, type, title and detail; and nothing of the program's inside.</summary>
    public void MustBeProblem(HttpStatusCode status, string code)
    {
        Assert.True(status == Status, $"{(int)status} was wanted: {(int)Status} {Text}");
        Assert.Equal("application/problem+json", MediaType);
        Assert.Equal(code, (string?)Json["code"]);
        Assert.Equal("/problems/" + code, (string?)Json["type"]);
        Assert.Equal((int)status, (int?)Json["status"]);
        Assert.False(string.IsNullOrWhiteSpace((string?)Json["title"]));
        Assert.False(string.IsNullOrWhiteSpace((string?)Json["detail"]));
        Assert.Matches("^[0-9a-f]{32}$|^[0-9A-Z]+(:[0-9A-F]+)?$", (string?)Json["traceId"]);
        MustNotTellOfItself();
    }

    /// <summary>No exception's text, no name of a type, no stack.</summary>
    public void MustNotTellOfItself() => Assert.DoesNotMatch(@"Exception|System\.|Trace\.(Core|Web|Storage)|\bat \w+\.\w+\(|Utf8JsonReader|\$\.", Text);
}

[CollectionDefinition(Name)]
public sealed class ApiCollection : ICollectionFixture<ApiServer>
{
    public const string Name = "api";
}
