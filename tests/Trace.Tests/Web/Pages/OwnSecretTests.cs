using System.Net;
using Trace.Core.Access;
using Trace.Web.Access;
using Xunit;

namespace Trace.Tests.Web.Pages;

/// <summary>A person changes their own PIN or password.</summary>
public sealed class OwnSecretTests
{
    private const string NewPassword = "four quite other words";

    [Fact]
    [Asvs("6.2.2", "6.2.3", "7.4.3")]
    public async Task A_person_changes_their_password_and_stays_signed_in_here_alone()
    {
        await using var site = await RunningSite.Start();
        var here = await site.SignedIn(RoleName.Operator, "Esi");
        var elsewhere = site.Visitor();
        await SignIn(elsewhere, RunningSite.Password);
        var other = await site.SignedIn(RoleName.Packer, "Kofi");
        var done = await Change(here, RunningSite.Password, NewPassword);
        Assert.Equal((HttpStatusCode.SeeOther, "/my-sign-ins"), (done.StatusCode, done.Headers.Location?.OriginalString));
        Assert.Equal(HttpStatusCode.OK, (await here.Open("/bench")).StatusCode);
        Assert.Equal(HttpStatusCode.Redirect, (await elsewhere.Open("/bench")).StatusCode);
        Assert.Equal(HttpStatusCode.OK, (await other.Open("/bench")).StatusCode);
        Assert.Equal(HttpStatusCode.Unauthorized, (await SignIn(elsewhere, RunningSite.Password)).StatusCode);
        Assert.Equal(HttpStatusCode.SeeOther, (await SignIn(elsewhere, NewPassword)).StatusCode);
        var entry = site.App.Journal.Read("access").Last(one => one.Entry.Type == SecretSet.Type).Entry;
        Assert.Equal(("Esi", Signing.OtherDevice), (entry.Person, entry.Device));
        Assert.DoesNotContain(NewPassword, entry.Payload, StringComparison.Ordinal);
        using var again = new AccessBook(site.App.Journal, site.Clock);
        Assert.Equal(site.App.Access.State.Sessions.Keys.Order(), again.State.Sessions.Keys.Order());
    }

    [Fact]
    [Asvs("6.2.3", "6.3.1")]
    public async Task A_wrong_old_one_changes_nothing_and_counts_as_a_wrong_try()
    {
        await using var site = await RunningSite.Start();
        var here = await site.SignedIn(RoleName.Operator, "Esi");
        for (var attempt = 0; attempt < SignInGuard.FreeTries; attempt++)
        {
            var wrong = await Change(here, "three wrong words", NewPassword);
            Assert.Equal(HttpStatusCode.Unauthorized, wrong.StatusCode);
            var html = await wrong.Text();
            Assert.Contains("Nothing was changed.", html, StringComparison.Ordinal);
            Assert.DoesNotContain("three wrong words", html, StringComparison.Ordinal);
        }

        var locked = await Change(here, RunningSite.Password, NewPassword);
        Assert.Equal(HttpStatusCode.TooManyRequests, locked.StatusCode);
        Assert.Equal("30", locked.Headers.GetValues("Retry-After").Single());
        Assert.Equal(HttpStatusCode.TooManyRequests, (await SignIn(site.Visitor(), RunningSite.Password)).StatusCode);
        site.Clock.Advance(TimeSpan.FromSeconds(30));
        Assert.Equal(HttpStatusCode.SeeOther, (await Change(here, RunningSite.Password, NewPassword)).StatusCode);
    }

    [Theory]
    [InlineData("short words", "at least 12 characters")]
    [InlineData("aaaaaaaaaaaaab", "too plain")]
    [InlineData("48261", "at least 6 digits")]
    [InlineData("123456", "guessed first")]
    [InlineData("777777", "guessed first")]
    [InlineData(RunningSite.Password, "is the old one")]
    [InlineData("", "at least 12 characters")]
    public async Task The_new_one_keeps_the_rules_of_all_new_ones(string secret, string told)
    {
        await using var site = await RunningSite.Start();
        var here = await site.SignedIn(RoleName.Quality, "Ama");
        var before = site.App.Journal.Head("access");
        var wrong = await Change(here, RunningSite.Password, secret);
        Assert.Equal(HttpStatusCode.BadRequest, wrong.StatusCode);
        Assert.Contains(told, await wrong.Text(), StringComparison.Ordinal);
        Assert.Equal(before, site.App.Journal.Head("access"));
    }

    [Fact]
    public async Task A_PIN_makes_another_PIN_on_a_tablet_but_never_a_password()
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Esi", RoleName.Operator, RunningSite.Pin);
        var tablet = await site.Tablet();
        await SignIn(tablet, RunningSite.Pin);
        var refused = await Change(tablet, RunningSite.Pin, NewPassword);
        Assert.Equal(HttpStatusCode.BadRequest, refused.StatusCode);
        Assert.Contains("needs the old password", await refused.Text(), StringComparison.Ordinal);
        Assert.Null(site.App.Access.FindPerson("Esi")!.PasswordHash);
        Assert.Equal(HttpStatusCode.SeeOther, (await Change(tablet, RunningSite.Pin, "7294")).StatusCode);
        Assert.Equal(HttpStatusCode.SeeOther, (await SignIn(tablet, "7294")).StatusCode);
    }

    [Fact]
    public async Task Away_from_a_tablet_a_PIN_changes_nothing_and_the_password_makes_a_PIN()
    {
        await using var site = await RunningSite.Start();
        var here = await site.SignedIn(RoleName.Operator, "Esi");
        await site.App.Access.Record(new SecretSet("Esi", SecretKind.Pin, site.App.Secrets.Hash(RunningSite.Pin)), "test", "test");
        await SignIn(here, RunningSite.Password);
        Assert.Equal(HttpStatusCode.Unauthorized, (await Change(here, RunningSite.Pin, "7294")).StatusCode);
        Assert.Equal(HttpStatusCode.SeeOther, (await Change(here, RunningSite.Password, "7294")).StatusCode);
        Assert.Equal(HttpStatusCode.SeeOther, (await SignIn(await site.Tablet(), "7294")).StatusCode);
        Assert.Equal(HttpStatusCode.SeeOther, (await SignIn(site.Visitor(), RunningSite.Password)).StatusCode);
    }

    [Fact]
    [Asvs("3.5.1")]
    public async Task Without_the_forms_token_nothing_is_changed()
    {
        await using var site = await RunningSite.Start();
        var here = await site.SignedIn(RoleName.Operator, "Esi");
        Assert.Equal(HttpStatusCode.BadRequest, (await here.Post("/my-sign-ins/secret", new() { ["old"] = RunningSite.Password, ["secret"] = NewPassword })).StatusCode);
        Assert.Equal(HttpStatusCode.SeeOther, (await SignIn(site.Visitor(), RunningSite.Password)).StatusCode);
    }

    /// <summary>Written before the program knew of sessions that stay.</summary>
    [Fact]
    public void An_older_entry_of_a_changed_secret_reads_as_before()
    {
        var read = System.Text.Json.JsonSerializer.Deserialize("""{"name":"Esi","kind":"pin","secretHash":"x"}""", AccessJson.Default.SecretSet)!;
        Assert.Null(read.KeptSession);
        Assert.Equal("""{"name":"Esi","kind":"pin","secretHash":"x"}""", System.Text.Json.JsonSerializer.Serialize(read, AccessJson.Default.SecretSet));
    }

    private static Task<HttpResponseMessage> SignIn(HttpClient client, string secret) => client.PostForm("/sign-in", new() { ["name"] = "Esi", ["secret"] = secret });

    private static Task<HttpResponseMessage> Change(HttpClient client, string old, string secret) =>
        client.PostForm("/my-sign-ins", new() { ["old"] = old, ["secret"] = secret }, "/my-sign-ins/secret");
}
