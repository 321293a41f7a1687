using System.Net;
using Trace.Core.Access;
using Xunit;

namespace Trace.Tests.Web.Pages;

public sealed class SignInPageTests
{
    [Fact]
    [Asvs("6.3.2", "6.4.1")]
    public async Task The_first_owner_signs_in_once_with_the_printed_code()
    {
        await using var site = await RunningSite.Start();
        var browser = site.Visitor();
        var code = site.FirstOwner.Code!;
        Assert.Equal(HttpStatusCode.Gone, (await browser.Open("/first-owner?code=wrong")).StatusCode);
        var weak = await browser.PostForm($"/first-owner?code={code}", new() { ["code"] = code, ["name"] = "Ama", ["secret"] = "135790" });
        Assert.Equal(HttpStatusCode.BadRequest, weak.StatusCode);
        Assert.False(site.App.Access.HasPersons);
        var done = await browser.PostForm($"/first-owner?code={code}", new() { ["code"] = code, ["name"] = "Ama", ["secret"] = RunningSite.Password });
        Assert.Equal(HttpStatusCode.SeeOther, done.StatusCode);
        Assert.Contains("Ama · owner", await browser.Html("/bench"), StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.Gone, (await site.Visitor().Open($"/first-owner?code={code}")).StatusCode);
    }

    [Fact]
    [Asvs("1.2.2")]
    public async Task A_page_leads_to_the_sign_in_and_back()
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Esi", RoleName.Operator);
        var browser = site.Visitor();
        var away = await browser.Open("/bench?site=S1");
        Assert.Equal(HttpStatusCode.Redirect, away.StatusCode);
        Assert.Equal("/sign-in?returnUrl=%2Fbench%3Fsite%3DS1", away.Headers.Location!.PathAndQuery);
        var inside = await browser.PostForm(
            away.Headers.Location.PathAndQuery, new() { ["name"] = "esi", ["secret"] = RunningSite.Password, ["returnUrl"] = "/bench?site=S1" });
        Assert.Equal("/bench?site=S1", inside.Headers.Location!.OriginalString);
        Assert.Contains("Esi · operator", await browser.Html("/bench?site=S1"), StringComparison.Ordinal);
        var signedOut = await browser.PostForm("/bench", [], "/sign-out");
        Assert.Equal(HttpStatusCode.SeeOther, signedOut.StatusCode);
        Assert.Equal(HttpStatusCode.Redirect, (await browser.Open("/bench")).StatusCode);
    }

    [Fact]
    public async Task A_wrong_PIN_keeps_the_name_but_never_the_secret()
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Esi", RoleName.Operator);
        var browser = site.Visitor();
        var wrong = await browser.PostForm("/sign-in", new() { ["name"] = "Esi", ["secret"] = "secret-typed" });
        var html = await wrong.Text();
        Assert.Equal(HttpStatusCode.Unauthorized, wrong.StatusCode);
        Assert.Contains("value=\"Esi\"", html, StringComparison.Ordinal);
        Assert.Contains("role=\"alert\"", html, StringComparison.Ordinal);
        Assert.DoesNotContain("secret-typed", html, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("https://evil.example.org/")]
    [InlineData("//evil.example.org/")]
    [InlineData("/\\evil.example.org/")]
    [InlineData("javascript:alert(1)")]
    [Asvs("1.2.2", "3.7.2")]
    public async Task Signing_in_never_leads_to_another_host(string returnUrl)
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Esi", RoleName.Operator);
        var inside = await site.Visitor().PostForm("/sign-in", new() { ["name"] = "Esi", ["secret"] = RunningSite.Password, ["returnUrl"] = returnUrl });
        Assert.Equal("/bench", inside.Headers.Location!.OriginalString);
    }

    [Fact]
    [Asvs("2.4.1", "6.3.1")]
    public async Task An_address_that_tries_all_names_is_stopped()
    {
        await using var site = await RunningSite.Start();
        var browser = site.Visitor();
        var fields = Browsing.Filled(await browser.Html("/sign-in"), new() { ["secret"] = "a wrong password" });
        for (var attempt = 0; attempt < Trace.Web.Access.SignInLimit.TriesPerMinute; attempt++)
            Assert.Equal(HttpStatusCode.Unauthorized, (await browser.Post("/sign-in", new(fields) { ["name"] = $"Name {attempt}" })).StatusCode);
        var stopped = await browser.Post("/sign-in", new(fields) { ["name"] = "Another" });
        Assert.Equal(HttpStatusCode.TooManyRequests, stopped.StatusCode);
        Assert.NotNull(stopped.Headers.RetryAfter);
        Assert.Contains("request.rate", await stopped.Text(), StringComparison.Ordinal);
    }

    [Fact]
    [Asvs("3.5.1")]
    public async Task Signing_in_or_out_without_the_forms_token_is_refused()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Operator);
        Assert.Equal(HttpStatusCode.BadRequest, (await browser.Post("/sign-in", new() { ["name"] = "Operator", ["secret"] = RunningSite.Password })).StatusCode);
        Assert.Equal(HttpStatusCode.BadRequest, (await browser.Post("/sign-out", [])).StatusCode);
        Assert.Equal(HttpStatusCode.OK, (await browser.Open("/bench")).StatusCode);
    }

    [Fact]
    [Asvs("7.4.2")]
    public async Task A_removed_person_is_out_at_the_next_page()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Operator, "Esi");
        await site.App.Access.Record(new PersonRemoved("Esi"), "test", "test");
        Assert.Equal(HttpStatusCode.Redirect, (await browser.Open("/bench")).StatusCode);
    }

    [Fact]
    [Asvs("7.4.3")]
    public async Task Whoever_signed_in_with_an_old_PIN_is_out_when_it_is_changed()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Operator, "Esi");
        Assert.Equal(HttpStatusCode.OK, (await browser.Open("/bench")).StatusCode);
        await site.App.Access.Record(new SecretSet("Esi", SecretKind.Pin, site.App.Secrets.Hash("7294")), "test", "test");
        Assert.Equal(HttpStatusCode.Redirect, (await browser.Open("/bench")).StatusCode);
    }
}
