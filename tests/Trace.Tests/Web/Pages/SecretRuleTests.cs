using System.Net;
using System.Text.RegularExpressions;
using Microsoft.AspNetCore.WebUtilities;
using Trace.Core.Access;
using Trace.Web.Access;
using Xunit;

namespace Trace.Tests.Web.Pages;

/// <summary>Passwords as people and their password managers type them, and the random text that stands for a sign-in.</summary>
public sealed partial class SecretRuleTests
{
    [Fact]
    [Asvs("6.2.8", "6.2.9", "6.2.10")]
    public async Task A_long_password_counts_to_the_letter_and_for_years()
    {
        await using var site = await RunningSite.Start();
        var owner = await site.SignedIn(RoleName.Owner);
        var secret = " Twelve Geese crossed the Ford, and nobody counted Them at dusk. ";
        Assert.True(secret.Length >= 64);
        Assert.Equal(HttpStatusCode.SeeOther, (await owner.PostForm("/people", new() { ["name"] = "Esi", ["role"] = "operator", ["secret"] = secret }, "/people/add")).StatusCode);
        var browser = site.Visitor();
        foreach (var almost in new[] { secret[..^1], secret.TrimStart(), secret.ToLowerInvariant(), secret + "x" })
            Assert.Equal(HttpStatusCode.Unauthorized, (await SignIn(browser, almost)).StatusCode);
        Assert.Equal(HttpStatusCode.SeeOther, (await SignIn(browser, secret)).StatusCode);
        site.Clock.Advance(TimeSpan.FromDays(3 * 365));
        Assert.Equal(HttpStatusCode.SeeOther, (await SignIn(site.Visitor(), secret)).StatusCode);
    }

    [Fact]
    [Asvs("6.2.6", "6.2.7")]
    public async Task A_field_for_a_secret_is_masked_and_open_to_password_managers()
    {
        await using var site = await RunningSite.Start();
        var pages = new List<string> { await site.Visitor().Html($"/first-owner?code={site.FirstOwner.Code}"), await site.Visitor().Html("/sign-in") };
        pages.Add(await (await site.SignedIn(RoleName.Owner)).Html("/people"));
        foreach (var page in pages)
        {
            var fields = Secret().Matches(page).Select(match => match.Value).ToList();
            Assert.NotEmpty(fields);
            Assert.All(fields, field => Assert.Contains("type=\"password\"", field, StringComparison.Ordinal));
            Assert.All(fields, field => Assert.Matches("autocomplete=\"(?:current|new)-password\"", field));

            // Without a script nothing can hinder pasting; a short field could.
            Assert.All(fields, field => Assert.DoesNotContain("maxlength", field, StringComparison.Ordinal));
            Assert.DoesNotContain("<script", page, StringComparison.OrdinalIgnoreCase);
        }
    }

    [Fact]
    [Asvs("7.2.2", "7.2.4")]
    public async Task A_new_sign_in_makes_a_new_cookie_and_ends_the_old_one()
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Esi", RoleName.Operator);
        var browser = site.Visitor();
        var first = CookieOf(await SignIn(browser, RunningSite.Password));
        var thief = site.Visitor(cookie: first);
        Assert.Equal(HttpStatusCode.OK, (await thief.Open("/bench")).StatusCode);
        var second = CookieOf(await SignIn(browser, RunningSite.Password));
        Assert.NotEqual(first, second);
        Assert.Equal(HttpStatusCode.OK, (await browser.Open("/bench")).StatusCode);
        Assert.Equal(HttpStatusCode.Redirect, (await thief.Open("/bench")).StatusCode);
        Assert.Single(site.App.Access.State.Sessions);
    }

    [Fact]
    [Asvs("7.2.3", "11.5.1")]
    public void Tokens_and_codes_are_long_and_never_the_same()
    {
        var tokens = Enumerable.Range(0, 1000).Select(_ => Secrets.NewToken()).ToList();
        Assert.Equal(1000, tokens.Distinct().Count());
        Assert.All(tokens, token => Assert.Equal(256, WebEncoders.Base64UrlDecode(token).Length * 8));
        var codes = Enumerable.Range(0, 1000).Select(_ => Secrets.NewCode()).ToList();
        Assert.Equal(1000, codes.Distinct().Count());
        Assert.All(codes, code => Assert.Equal(128, Convert.FromHexString(code).Length * 8));
    }

    [Fact]
    [Asvs("7.4.4")]
    public async Task Every_page_behind_the_sign_in_has_the_sign_out()
    {
        await using var site = await RunningSite.Start();
        var owner = await site.SignedIn(RoleName.Owner);
        foreach (var page in new[] { "/bench", "/quality", "/people", "/tablets", "/my-sign-ins", "/sites/S1/record", "/sites/S1/record/receiving/receive" })
            Assert.Contains("action=\"/sign-out\"", await owner.Html(page), StringComparison.Ordinal);
    }

    private static Task<HttpResponseMessage> SignIn(HttpClient browser, string secret) =>
        browser.PostForm("/sign-in", new() { ["name"] = "Esi", ["secret"] = secret });

    private static string CookieOf(HttpResponseMessage entered) =>
        entered.Headers.GetValues("Set-Cookie").Last(text => text.StartsWith("trace=", StringComparison.Ordinal)).Split(';')[0];

    [GeneratedRegex("<input[^>]*name=\"secret\"[^>]*>")]
    private static partial Regex Secret();
}
