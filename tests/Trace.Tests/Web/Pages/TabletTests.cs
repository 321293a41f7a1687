using System.Net;
using Trace.Core.Access;
using Trace.Web.Access;
using Xunit;

namespace Trace.Tests.Web.Pages;

/// <summary>Enrolled tablets, PINs on them, locks and sessions, as a browser meets them.</summary>
public sealed class TabletTests
{
    [Fact]
    [Asvs("6.3.3", "6.3.4")]
    public async Task A_PIN_counts_on_an_enrolled_tablet_and_nowhere_else()
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Esi", RoleName.Operator, RunningSite.Pin);
        Assert.Equal(HttpStatusCode.Unauthorized, (await SignIn(site.Visitor())).StatusCode);
        Assert.Equal(HttpStatusCode.Unauthorized, (await SignIn(site.Visitor(cookie: "trace-tablet=0123456789ab.invented"))).StatusCode);
        Assert.Equal(HttpStatusCode.SeeOther, (await SignIn(await site.Tablet())).StatusCode);
    }

    [Fact]
    [Asvs("4.1.3", "16.2.1")]
    public async Task What_is_recorded_on_a_tablet_carries_its_name_whatever_a_header_says()
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Esi", RoleName.Operator, RunningSite.Pin);
        var tablet = await site.Tablet("Bench 7");
        await SignIn(tablet);
        tablet.DefaultRequestHeaders.Add("X-Device", "Bench of somebody else");
        var answer = await tablet.PostForm("/sites/S1/record/receiving/receive", new() { ["supplier"] = "Example Farm", ["massGrams"] = "1000", ["happenedAt"] = "2026-11-25 08:59" });
        Assert.Equal(HttpStatusCode.SeeOther, answer.StatusCode);
        var entry = site.App.Journal.Get("S1", site.Head)!.Entry;
        Assert.Equal(("Esi", "Bench 7"), (entry.Person, entry.Device));
    }

    [Fact]
    [Asvs("3.3.2", "3.3.4")]
    public async Task Enrolling_leaves_a_strict_cookie_and_signs_the_officer_out()
    {
        await using var site = await RunningSite.Start();
        var officer = await site.SignedIn(RoleName.Quality);
        var done = await officer.PostForm("/tablets", new() { ["name"] = "Bench 1" }, "/tablets/enrol");
        Assert.Equal("/sign-in", done.Headers.Location!.OriginalString);
        var cookie = done.Headers.GetValues("Set-Cookie").Single(text => text.StartsWith("trace-tablet=", StringComparison.Ordinal));
        foreach (var flag in new[] { "httponly", "samesite=strict", "max-age=34560000" }) Assert.Contains(flag, cookie, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("secure", cookie, StringComparison.OrdinalIgnoreCase);
        Assert.Equal(HttpStatusCode.Redirect, (await officer.Open("/bench")).StatusCode);
        var secret = cookie.Split(';')[0].Split('.')[1];
        var kept = Assert.Single(site.App.Access.Devices);
        Assert.Equal(Secrets.HashOf(secret), kept.SecretHash);
        Assert.DoesNotContain(site.App.Journal.Read("access"), entry => entry.Entry.Payload.Contains(secret, StringComparison.Ordinal));
        Assert.Contains("Bench 1", await officer.Html("/sign-in"), StringComparison.Ordinal);
    }

    [Fact]
    [Asvs("3.3.1", "3.3.3")]
    public async Task Over_TLS_the_tablets_cookie_is_secure_and_of_this_host_alone()
    {
        await using var site = await RunningSite.Start(edges: new() { KnownProxies = ["127.0.0.1"] });
        var officer = await site.SignedIn(RoleName.Quality);
        var fields = Browsing.Filled(await officer.Html("/tablets"), new() { ["name"] = "Bench 1" });
        ThroughTls(officer);
        var done = await officer.Post("/tablets/enrol", fields);
        var cookie = done.Headers.GetValues("Set-Cookie").Single(text => text.Contains("trace-tablet=", StringComparison.Ordinal));
        Assert.StartsWith("__Host-trace-tablet=", cookie, StringComparison.Ordinal);
        Assert.Matches("(?i)(?=.*; secure)(?=.*; path=/(;|$))(?!.*domain=)", cookie);

        // Over TLS nothing but that name counts: a neighbouring host or an unencrypted answer could have set the other.
        var value = cookie.Split(';')[0].Split('=', 2)[1];
        Assert.Contains("Bench 1", await ThroughTls(site.Visitor(cookie: $"__Host-trace-tablet={value}")).Html("/sign-in"), StringComparison.Ordinal);
        Assert.DoesNotContain("Bench 1", await ThroughTls(site.Visitor(cookie: $"trace-tablet={value}")).Html("/sign-in"), StringComparison.Ordinal);
    }

    [Fact]
    [Asvs("6.4.4")]
    public async Task A_revoked_tablet_puts_everybody_on_it_out_and_takes_no_PIN()
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Esi", RoleName.Operator, RunningSite.Pin);
        var tablet = await site.Tablet();
        await SignIn(tablet);
        Assert.Equal(HttpStatusCode.OK, (await tablet.Open("/bench")).StatusCode);
        var owner = await site.SignedIn(RoleName.Owner);
        await owner.PostForm("/tablets", new() { ["id"] = site.App.Access.Devices[0].Id }, "/tablets/revoke");
        Assert.Equal(HttpStatusCode.Redirect, (await tablet.Open("/bench")).StatusCode);
        Assert.Equal(HttpStatusCode.Unauthorized, (await SignIn(tablet)).StatusCode);
    }

    [Theory]
    [InlineData("Esi")]
    [InlineData("Nobody Known")]
    [Asvs("6.3.1")]
    public async Task Wrong_tries_lock_a_name_whether_it_exists_or_not(string name)
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Esi", RoleName.Operator, RunningSite.Pin);
        var tablet = await site.Tablet();
        for (var attempt = 0; attempt < SignInGuard.FreeTries; attempt++)
            Assert.Equal(HttpStatusCode.Unauthorized, (await SignIn(tablet, name, "9999")).StatusCode);
        var locked = await SignIn(tablet, name);
        Assert.Equal(HttpStatusCode.TooManyRequests, locked.StatusCode);
        Assert.Equal(TimeSpan.FromSeconds(30), locked.Headers.RetryAfter!.Delta);
        site.Clock.Advance(TimeSpan.FromSeconds(30));
        Assert.Equal(HttpStatusCode.Unauthorized, (await SignIn(tablet, name, "9999")).StatusCode);
        Assert.Equal(TimeSpan.FromSeconds(60), (await SignIn(tablet, name)).Headers.RetryAfter!.Delta);
    }

    [Fact]
    [Asvs("6.3.1")]
    public void Waits_grow_to_a_quarter_of_an_hour() => Assert.Equal(
        [30, 60, 120, 240, 480, 900, 900], Enumerable.Range(5, 7).Select(failures => (int)SignInGuard.WaitAfter(failures).TotalSeconds));

    [Fact]
    [Asvs("6.3.1")]
    public async Task Tries_without_a_tablet_do_not_lock_the_bench_and_the_owner_unlocks()
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Esi", RoleName.Operator, RunningSite.Pin);
        var (stranger, tablet) = (site.Visitor(), await site.Tablet());
        for (var attempt = 0; attempt < SignInGuard.FreeTries; attempt++) await SignIn(stranger, secret: "not the password");
        Assert.Equal(HttpStatusCode.TooManyRequests, (await SignIn(stranger)).StatusCode);
        Assert.Equal(HttpStatusCode.SeeOther, (await SignIn(tablet)).StatusCode);
        var owner = await site.SignedIn(RoleName.Owner);
        Assert.Contains("Locked", await owner.Html("/people"), StringComparison.Ordinal);
        await owner.PostForm("/people", new() { ["name"] = "Esi" }, "/people/unlock");
        Assert.Equal(HttpStatusCode.Unauthorized, (await SignIn(stranger)).StatusCode);
    }

    [Fact]
    [Asvs("6.3.1", "16.3.1")]
    public async Task Locks_of_persons_and_sessions_outlive_a_restart()
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Esi", RoleName.Operator, RunningSite.Pin);
        await site.AddPerson("Ben", RoleName.Packer);
        var (cookie, kept) = Secrets.NewDevice("Bench 1");
        await site.App.Access.Record(kept, "test", "test");
        cookie = $"trace-tablet={cookie}";
        for (var attempt = 0; attempt < SignInGuard.FreeTries; attempt++)
        {
            foreach (var name in new[] { "Esi", "Nobody Known" })
                Assert.Equal(HttpStatusCode.Unauthorized, (await SignIn(site.Visitor(cookie: cookie), name, "9999")).StatusCode);
        }

        var inside = await SignIn(site.Visitor(), "Ben", RunningSite.Password);
        var session = inside.Headers.GetValues("Set-Cookie").Single(text => text.StartsWith("trace=", StringComparison.Ordinal)).Split(';')[0];
        site.Clock.Advance(TimeSpan.FromSeconds(10));
        await site.Restart();

        Assert.Equal(HttpStatusCode.OK, (await site.Visitor(cookie: session).Open("/bench")).StatusCode);
        var tablet = site.Visitor(cookie: cookie);
        Assert.Equal(TimeSpan.FromSeconds(20), (await SignIn(tablet)).Headers.RetryAfter!.Delta);

        // The lock of a name that nobody has is forgotten: only memory knew of it.
        Assert.Equal(HttpStatusCode.Unauthorized, (await SignIn(tablet, "Nobody Known", "9999")).StatusCode);

        // Waits go on growing where they were.
        site.Clock.Advance(TimeSpan.FromSeconds(20));
        Assert.Equal(HttpStatusCode.Unauthorized, (await SignIn(tablet, secret: "9999")).StatusCode);
        Assert.Equal(TimeSpan.FromSeconds(60), (await SignIn(tablet)).Headers.RetryAfter!.Delta);
    }

    [Fact]
    [Asvs("7.4.5", "7.5.2")]
    public async Task A_person_signs_out_everywhere_and_the_owner_can_do_it_too()
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Esi", RoleName.Operator);
        HttpClient[] browsers = [site.Visitor(), site.Visitor(), await site.Tablet()];
        foreach (var browser in browsers) Assert.Equal(HttpStatusCode.SeeOther, (await SignIn(browser, secret: RunningSite.Password)).StatusCode);
        var page = await browsers[0].Html("/my-sign-ins");
        Assert.Contains("Bench 1", page, StringComparison.Ordinal);
        Assert.Contains(Signing.OtherDevice, page, StringComparison.Ordinal);
        await browsers[0].PostForm("/my-sign-ins", [], "/my-sign-ins/end-all");
        foreach (var browser in browsers) Assert.Equal(HttpStatusCode.Redirect, (await browser.Open("/bench")).StatusCode);
        await SignIn(browsers[1], secret: RunningSite.Password);
        var owner = await site.SignedIn(RoleName.Owner);
        await owner.PostForm("/people", new() { ["name"] = "Esi" }, "/people/sign-out");
        Assert.Equal(HttpStatusCode.Redirect, (await browsers[1].Open("/bench")).StatusCode);
    }

    [Fact]
    [Asvs("3.3.2", "3.3.4", "7.2.1", "7.4.1")]
    public async Task A_stolen_cookie_is_worth_nothing_after_the_sign_out()
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Esi", RoleName.Operator);
        var browser = site.Visitor();
        var inside = await SignIn(browser, secret: RunningSite.Password);
        var cookie = inside.Headers.GetValues("Set-Cookie").Single(text => text.StartsWith("trace=", StringComparison.Ordinal));
        foreach (var flag in new[] { "httponly", "samesite=strict" }) Assert.Contains(flag, cookie, StringComparison.OrdinalIgnoreCase);
        var thief = site.Visitor(cookie: cookie.Split(';')[0]);
        Assert.Equal(HttpStatusCode.OK, (await thief.Open("/bench")).StatusCode);
        await browser.PostForm("/bench", [], "/sign-out");
        Assert.Equal(HttpStatusCode.Redirect, (await thief.Open("/bench")).StatusCode);
    }

    [Theory]
    [InlineData(false, 59, 8)]
    [InlineData(true, 239, 12)]
    [Asvs("7.3.1", "7.3.2", "7.4.1")]
    public async Task A_session_ends_after_a_pause_or_a_shift(bool onTablet, int pauseMinutes, int hours)
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Esi", RoleName.Operator);
        var browser = onTablet ? await site.Tablet() : site.Visitor();
        await SignIn(browser, secret: RunningSite.Password);
        site.Clock.Advance(TimeSpan.FromMinutes(pauseMinutes));
        Assert.Equal(HttpStatusCode.OK, (await browser.Open("/bench")).StatusCode);
        site.Clock.Advance(TimeSpan.FromMinutes(pauseMinutes + 1));
        Assert.Equal(HttpStatusCode.Redirect, (await browser.Open("/bench")).StatusCode);
        await SignIn(browser, secret: RunningSite.Password);
        for (var minutes = 30; minutes < hours * 60; minutes += 30)
        {
            site.Clock.Advance(TimeSpan.FromMinutes(30));
            Assert.Equal(HttpStatusCode.OK, (await browser.Open("/bench")).StatusCode);
        }

        site.Clock.Advance(TimeSpan.FromMinutes(30));
        Assert.Equal(HttpStatusCode.Redirect, (await browser.Open("/bench")).StatusCode);
    }

    [Fact]
    public async Task Another_role_ends_the_sessions_and_takes_a_short_PIN_away()
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Esi", RoleName.Operator, "2749");
        var tablet = await site.Tablet();
        await SignIn(tablet, secret: "2749");
        var owner = await site.SignedIn(RoleName.Owner);
        Assert.Equal(HttpStatusCode.SeeOther, (await owner.PostForm("/people", new() { ["name"] = "Esi", ["role"] = "quality" }, "/people/role")).StatusCode);
        Assert.Equal(HttpStatusCode.Redirect, (await tablet.Open("/bench")).StatusCode);
        Assert.Equal(HttpStatusCode.Unauthorized, (await SignIn(tablet, secret: "2749")).StatusCode);
    }

    [Fact]
    [Asvs("13.3.1", "13.3.2")]
    public async Task Without_the_servers_key_a_hash_is_worth_nothing()
    {
        await using var site = await RunningSite.Start();
        var path = Path.Combine(site.App.Settings.DataFolder, "keys", "sign-in.key");
        Assert.Equal(32, new FileInfo(path).Length);
        if (!OperatingSystem.IsWindows()) Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(path));
        var person = new Person("Esi", RoleName.Operator, site.App.Secrets.Hash("2749"), null, true);
        Assert.True(new SecretHasher(site.App.Settings.DataFolder).Fits(person, "2749", pinsCount: true));
        var elsewhere = Directory.CreateTempSubdirectory("trace-test-");
        Assert.False(new SecretHasher(elsewhere.FullName).Fits(person, "2749", pinsCount: true));
        elsewhere.Delete(recursive: true);
    }

    private static HttpClient ThroughTls(HttpClient browser)
    {
        browser.DefaultRequestHeaders.Add("X-Forwarded-For", "192.0.2.10");
        browser.DefaultRequestHeaders.Add("X-Forwarded-Proto", "https");
        return browser;
    }

    private static Task<HttpResponseMessage> SignIn(HttpClient browser, string name = "Esi", string secret = RunningSite.Pin) =>
        browser.PostForm("/sign-in", new() { ["name"] = name, ["secret"] = secret });
}
