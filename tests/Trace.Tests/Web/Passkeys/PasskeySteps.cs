using System.Net;
using System.Text.Json.Nodes;
using Trace.Core.Access;
using Xunit;

namespace Trace.Tests.Web.Passkeys;

/// <summary>What the script on our pages does, as requests.</summary>
internal static class PasskeySteps
{
    public static HttpClient AtLocalhost(this HttpClient client)
    {
        client.DefaultRequestHeaders.Host = "localhost";
        return client;
    }

    /// <summary>A browser at localhost that is told refusals as problem documents.</summary>
    public static HttpClient LocalScript(this RunningSite site) => site.Visitor(asBrowser: false).AtLocalhost();

    public static async Task<HttpClient> LocalSignedIn(this RunningSite site, RoleName role, string name = "Ama")
    {
        await site.AddPerson(name, role);
        return await site.LocalPassword(name);
    }

    public static async Task<HttpClient> LocalPassword(this RunningSite site, string name = "Ama")
    {
        var client = site.LocalScript();
        var answer = await client.PostForm("/sign-in", new() { ["name"] = name, ["secret"] = RunningSite.Password });
        Assert.Equal(HttpStatusCode.SeeOther, answer.StatusCode);
        return client;
    }

    public static Task<HttpResponseMessage> BeginAdding(this HttpClient client, string name = "Laptop", string secret = RunningSite.Password) =>
        client.PostForm("/my-sign-ins", new() { ["name"] = name, ["secret"] = secret }, "/my-sign-ins/passkeys/begin");

    public static Task<HttpResponseMessage> Add(this HttpClient client, string credential) =>
        client.PostForm("/my-sign-ins", new() { ["credential"] = credential }, "/my-sign-ins/passkeys/add");

    /// <summary>Adds a passkey to whoever is signed in; it must succeed.</summary>
    public static async Task<PasskeyDevice> AddDevice(this HttpClient client, string name = "Laptop")
    {
        var device = new PasskeyDevice();
        var added = await client.Add(device.Create(await (await client.BeginAdding(name)).Options()));
        Assert.Equal((HttpStatusCode.SeeOther, "/my-sign-ins"), (added.StatusCode, added.Headers.Location?.OriginalString));
        return device;
    }

    public static Task<HttpResponseMessage> BeginPasskey(this HttpClient client) => client.PostForm("/sign-in", [], "/sign-in/passkey/begin");

    public static Task<HttpResponseMessage> Passkey(this HttpClient client, string credential) =>
        client.PostForm("/sign-in", new() { ["credential"] = credential, ["returnUrl"] = "/quality" }, "/sign-in/passkey");

    /// <summary>A whole try to sign in.</summary>
    public static async Task<HttpResponseMessage> SignIn(this HttpClient client, PasskeyDevice device, Answering? how = null) =>
        await client.Passkey(device.Get(await (await client.BeginPasskey()).Options(), how));

    public static async Task<string> Options(this HttpResponseMessage answer)
    {
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        return await answer.Text();
    }

    public static async Task MustRefuse(this HttpResponseMessage answer, HttpStatusCode status, string code)
    {
        var text = await answer.Text();
        Assert.True(answer.StatusCode == status, $"{answer.StatusCode}: {text}");
        Assert.Equal("application/problem+json", answer.Content.Headers.ContentType?.MediaType);
        Assert.Equal(code, (string?)JsonNode.Parse(text)!["code"]);
    }

    public static async Task MustBeIn(this HttpClient client, bool isIn) =>
        Assert.Equal(isIn ? HttpStatusCode.OK : HttpStatusCode.Redirect, (await client.Open("/bench")).StatusCode);
}
