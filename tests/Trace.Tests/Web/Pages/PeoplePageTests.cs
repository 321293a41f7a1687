using System.Net;
using System.Text.RegularExpressions;
using Trace.Core.Access;
using Xunit;

namespace Trace.Tests.Web.Pages;

public sealed partial class PeoplePageTests
{
    [Fact]
    public async Task The_owner_adds_and_removes_persons()
    {
        await using var site = await RunningSite.Start();
        var owner = await site.SignedIn(RoleName.Owner, "Ama");
        Assert.Equal(HttpStatusCode.SeeOther, (await Add(owner, "Esi", "operator", "2749")).StatusCode);
        Assert.Contains(">Esi</bdi>", await owner.Html("/people"), StringComparison.Ordinal);
        var removed = await owner.PostForm("/people", new() { ["name"] = "Esi" }, "/people/remove");
        Assert.Equal(HttpStatusCode.SeeOther, removed.StatusCode);
        Assert.False(site.App.Access.FindPerson("Esi")!.IsActive);
    }

    [Theory]
    [InlineData("ama", "operator", "2749")]
    [InlineData("", "operator", "2749")]
    [InlineData("Zero\u200BWidth", "operator", "2749")]
    [InlineData("A name of more than forty characters is too long", "operator", "2749")]
    [InlineData("Esi", "operator", "123")]
    [InlineData("Esi", "quality", "12345")]
    [InlineData("Esi", "operator", "1111")]
    [InlineData("Esi", "operator", "4567")]
    [InlineData("Esi", "operator", "8901")]
    [InlineData("Esi", "operator", "9876")]
    [InlineData("Esi", "quality", "654321")]
    [InlineData("Esi", "operator", "short words")]
    [InlineData("Esi", "operator", "ababababababab")]
    [InlineData("Esi", "king", "135790")]
    [InlineData("Esi", "3", "135790")]
    [InlineData("Esi", "", "135790")]
    [Asvs("6.2.1")]
    public async Task A_name_role_or_PIN_that_will_not_do_is_refused(string name, string role, string pin)
    {
        await using var site = await RunningSite.Start();
        var owner = await site.SignedIn(RoleName.Owner, "Ama");
        Assert.Equal(HttpStatusCode.BadRequest, (await Add(owner, name, role, pin)).StatusCode);
        Assert.Equal(["Ama"], site.App.Access.Persons.Select(person => person.Name));
    }

    [Fact]
    public async Task The_owner_cannot_lock_everybody_out()
    {
        await using var site = await RunningSite.Start();
        var owner = await site.SignedIn(RoleName.Owner, "Ama");
        Assert.Equal(HttpStatusCode.BadRequest, (await owner.PostForm("/people", new() { ["name"] = "Ama" }, "/people/remove")).StatusCode);
        Assert.True(site.App.Access.FindPerson("Ama")!.IsActive);
    }

    [Fact]
    public async Task A_key_is_shown_once_works_and_stops_when_revoked()
    {
        await using var site = await RunningSite.Start();
        var owner = await site.SignedIn(RoleName.Owner, "Ama");
        var made = await owner.PostForm("/people", new() { ["name"] = "Balance 1", ["role"] = "operator" }, "/people/add-key");
        var key = Key().Match(await made.Text()).Groups[1].Value;
        Assert.NotEmpty(key);
        Assert.True(made.Headers.CacheControl!.NoStore);
        Assert.DoesNotContain(key, await owner.Html("/people"), StringComparison.Ordinal);
        var script = site.Visitor(asBrowser: false);
        script.DefaultRequestHeaders.Authorization = new("Bearer", key);
        Assert.Equal(HttpStatusCode.OK, (await script.Open("/api/sites/S1/lots")).StatusCode);
        await owner.PostForm("/people", new() { ["id"] = key.Split('.')[0] }, "/people/revoke-key");
        Assert.Equal(HttpStatusCode.Unauthorized, (await script.Open("/api/sites/S1/lots")).StatusCode);
    }

    [Fact]
    [Asvs("6.2.5", "6.4.3")]
    public async Task A_new_PIN_replaces_the_old_one()
    {
        await using var site = await RunningSite.Start();
        var owner = await site.SignedIn(RoleName.Owner, "Ama");
        await site.AddPerson("Esi", RoleName.Operator, "the first secret");
        Assert.Equal(HttpStatusCode.SeeOther, (await owner.PostForm("/people", new() { ["name"] = "Esi", ["secret"] = "the second secret" }, "/people/secret")).StatusCode);
        var browser = site.Visitor();
        Assert.Equal(HttpStatusCode.Unauthorized, (await browser.PostForm("/sign-in", new() { ["name"] = "Esi", ["secret"] = "the first secret" })).StatusCode);
        Assert.Equal(HttpStatusCode.SeeOther, (await browser.PostForm("/sign-in", new() { ["name"] = "Esi", ["secret"] = "the second secret" })).StatusCode);
    }

    [Fact]
    [Asvs("6.4.3")]
    public async Task Nobody_but_the_owner_changes_persons()
    {
        await using var site = await RunningSite.Start();
        var quality = await site.SignedIn(RoleName.Quality, "Kofi");
        var fields = Browsing.Filled(await quality.Html("/bench"), new() { ["name"] = "Eve", ["role"] = "owner", ["secret"] = "123456" });
        Assert.Equal(HttpStatusCode.Forbidden, (await quality.Post("/people/add", fields)).StatusCode);
        Assert.Null(site.App.Access.FindPerson("Eve"));
    }

    private static Task<HttpResponseMessage> Add(HttpClient owner, string name, string role, string pin) =>
        owner.PostForm("/people", new() { ["name"] = name, ["role"] = role, ["secret"] = pin }, "/people/add");

    [GeneratedRegex("<code class=\"key\">([^<]+)</code>")]
    private static partial Regex Key();
}
