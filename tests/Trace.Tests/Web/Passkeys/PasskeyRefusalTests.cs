using System.Net;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.Http;
using Trace.Core.Access;
using Trace.Web.Access;
using Xunit;

namespace Trace.Tests.Web.Passkeys;

/// <summary>
/// Whoever has not the device, or not at this address, or not now, stays outside. Each answer is right but for one thing. The checks are
/// those of W3C Web Authentication Level 3 §7.1 and §7.2.
/// </summary>
public sealed class PasskeyRefusalTests
{
    private static readonly Dictionary<string, Answering> Wrong = new()
    {
        ["another host"] = new() { Origin = "http://evil.example.org" },
        ["another port"] = new() { Origin = "http://localhost:8080" },
        ["another scheme"] = new() { Origin = "https://localhost" },
        ["inside a page of another host"] = new() { IsCrossOrigin = true },
        ["another challenge"] = new() { Challenge = "AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA" },
        ["another RP id"] = new() { RpId = "evil.example.org" },
        ["the other ceremony"] = new() { Type = "webauthn.other" },
        ["user not verified"] = new() { Flags = Answering.Present },
        ["user not present"] = new() { Flags = Answering.Verified },
        ["backed up but never eligible"] = new() { Flags = Answering.Present | Answering.Verified | Answering.BackedUp },
    };

    public static TheoryData<string> Wrongs => [.. Wrong.Keys];

    [Theory]
    [MemberData(nameof(Wrongs))]
    public async Task An_answer_that_is_wrong_in_one_thing_signs_nobody_in(string what)
    {
        await using var site = await RunningSite.Start();
        using var device = await (await site.LocalSignedIn(RoleName.Owner)).AddDevice();
        var stranger = site.LocalScript();
        await (await stranger.SignIn(device, Wrong[what])).MustRefuse(HttpStatusCode.Unauthorized, "passkey.failed");
        await stranger.MustBeIn(false);
        Assert.Equal(1u, site.App.Access.FindPerson("Ama")!.Passkeys.Single().SignCount);

        // The same device, asked again, is right: it was that one thing.
        Assert.Equal(HttpStatusCode.SeeOther, (await stranger.SignIn(device)).StatusCode);
    }

    [Fact]
    public async Task An_answer_that_is_wrong_in_one_thing_adds_no_passkey()
    {
        await using var site = await RunningSite.Start();
        var officer = await site.LocalSignedIn(RoleName.Owner);
        using var device = new PasskeyDevice();
        foreach (var how in Wrong.Values)
        {
            await (await officer.Add(device.Create(await (await officer.BeginAdding()).Options(), how)))
                .MustRefuse(HttpStatusCode.UnprocessableEntity, "passkey.not-added");
            Assert.Empty(site.App.Access.FindPerson("Ama")!.Passkeys);
        }

        Assert.Equal(HttpStatusCode.SeeOther, (await officer.Add(device.Create(await (await officer.BeginAdding()).Options()))).StatusCode);
    }

    [Fact]
    public async Task A_passkey_of_somebody_else_and_another_identity_are_not_added()
    {
        await using var site = await RunningSite.Start();
        using var device = await (await site.LocalSignedIn(RoleName.Owner)).AddDevice();
        var other = await site.LocalSignedIn(RoleName.Quality, "Kofi");
        await (await other.Add(device.Create(await (await other.BeginAdding()).Options()))).MustRefuse(HttpStatusCode.UnprocessableEntity, "passkey.not-added");
        using var second = new PasskeyDevice();
        await (await other.Add(second.Create(await (await other.BeginAdding()).Options(), new() { Id = new byte[32] })))
            .MustRefuse(HttpStatusCode.UnprocessableEntity, "passkey.not-added");
        Assert.Empty(site.App.Access.FindPerson("Kofi")!.Passkeys);
    }

    [Fact]
    public async Task Another_device_that_signs_and_another_persons_handle_sign_nobody_in()
    {
        await using var site = await RunningSite.Start();
        using var device = await (await site.LocalSignedIn(RoleName.Owner)).AddDevice();
        using var others = await (await site.LocalSignedIn(RoleName.Quality, "Kofi")).AddDevice();
        var stranger = site.LocalScript();
        foreach (var how in new[] { new Answering { Signer = others }, new() { Handle = others.Handle }, new() { Handle = "nobody" }, new() { Handle = "Ama" } })
            await (await stranger.SignIn(device, how)).MustRefuse(HttpStatusCode.Unauthorized, "passkey.failed");
        foreach (var text in new[] { "", "{}", "[]", "null", "{\"response\":{\"userHandle\":7}}", "{\"response\":{\"userHandle\":\"%%\"}}", "no JSON" })
        {
            await stranger.BeginPasskey();
            await (await stranger.Passkey(text)).MustRefuse(HttpStatusCode.Unauthorized, "passkey.failed");
        }

        await stranger.MustBeIn(false);
    }

    [Fact]
    public async Task A_count_that_stands_still_or_goes_back_is_a_copy_of_the_device()
    {
        await using var site = await RunningSite.Start();
        using var device = await (await site.LocalSignedIn(RoleName.Owner)).AddDevice();
        var client = site.LocalScript();
        Assert.Equal(HttpStatusCode.SeeOther, (await client.SignIn(device, new() { Count = 9 })).StatusCode);
        foreach (var count in new uint[] { 9, 8, 0 })
            await (await client.SignIn(device, new() { Count = count })).MustRefuse(HttpStatusCode.Unauthorized, "passkey.failed");
        Assert.Equal(HttpStatusCode.SeeOther, (await client.SignIn(device, new() { Count = 10 })).StatusCode);
    }

    [Fact]
    public async Task A_device_that_does_not_count_may_sign_in_again()
    {
        await using var site = await RunningSite.Start();
        var officer = await site.LocalSignedIn(RoleName.Owner);
        using var device = new PasskeyDevice();
        await officer.Add(device.Create(await (await officer.BeginAdding()).Options(), new() { Count = 0 }));
        foreach (var _ in new[] { 1, 2 }) Assert.Equal(HttpStatusCode.SeeOther, (await site.LocalScript().SignIn(device, new() { Count = 0 })).StatusCode);
    }

    [Fact]
    public async Task A_challenge_and_an_answer_count_once()
    {
        await using var site = await RunningSite.Start();
        using var device = await (await site.LocalSignedIn(RoleName.Owner)).AddDevice();
        var begun = await site.LocalScript().BeginPasskey();
        var cookie = begun.Headers.GetValues("Set-Cookie").Single(text => text.StartsWith(PasskeyChallenges.CookieName, StringComparison.Ordinal)).Split(';')[0];
        var options = await begun.Options();
        var answer = device.Get(options);
        Assert.Equal(HttpStatusCode.SeeOther, (await WithCookie().Passkey(answer)).StatusCode);

        // The cookie is still at hand to whoever kept it: neither the same answer nor a fresh one of the device counts a second time.
        await (await WithCookie().Passkey(answer)).MustRefuse(HttpStatusCode.Gone, "passkey.challenge-void");
        await (await WithCookie().Passkey(device.Get(options))).MustRefuse(HttpStatusCode.Gone, "passkey.challenge-void");

        // And an answer does not fit another challenge.
        var other = site.LocalScript();
        await other.BeginPasskey();
        await (await other.Passkey(answer)).MustRefuse(HttpStatusCode.Unauthorized, "passkey.failed");

        HttpClient WithCookie() => site.Visitor(asBrowser: false, cookie).AtLocalhost();
    }

    [Fact]
    public async Task A_wrong_answer_spends_the_challenge_too()
    {
        await using var site = await RunningSite.Start();
        using var device = await (await site.LocalSignedIn(RoleName.Owner)).AddDevice();
        var begun = await site.LocalScript().BeginPasskey();
        var cookie = begun.Headers.GetValues("Set-Cookie").Single(text => text.StartsWith(PasskeyChallenges.CookieName, StringComparison.Ordinal)).Split(';')[0];
        var options = await begun.Options();
        await (await site.Visitor(asBrowser: false, cookie).AtLocalhost().Passkey("{}")).MustRefuse(HttpStatusCode.Unauthorized, "passkey.failed");
        await (await site.Visitor(asBrowser: false, cookie).AtLocalhost().Passkey(device.Get(options))).MustRefuse(HttpStatusCode.Gone, "passkey.challenge-void");
    }

    [Fact]
    public async Task A_challenge_ends_after_five_minutes_and_counts_in_its_own_browser_and_session_for_its_own_purpose()
    {
        await using var site = await RunningSite.Start();
        var officer = await site.LocalSignedIn(RoleName.Owner);
        using var device = await officer.AddDevice();
        var client = site.LocalScript();
        var options = await (await client.BeginPasskey()).Options();
        await (await site.LocalScript().Passkey(device.Get(options))).MustRefuse(HttpStatusCode.Gone, "passkey.challenge-void");
        site.Clock.Advance(PasskeyChallenges.Life);
        await (await client.Passkey(device.Get(options))).MustRefuse(HttpStatusCode.Gone, "passkey.challenge-void");
        options = await (await client.BeginPasskey()).Options();
        site.Clock.Advance(PasskeyChallenges.Life - TimeSpan.FromSeconds(1));
        Assert.Equal(HttpStatusCode.SeeOther, (await client.Passkey(device.Get(options))).StatusCode);

        // Begun to add, it lets nobody in; begun in one session, it adds nothing in the next.
        using var second = new PasskeyDevice();
        options = await (await officer.BeginAdding()).Options();
        await (await officer.Passkey(device.Get(options))).MustRefuse(HttpStatusCode.Gone, "passkey.challenge-void");
        options = await (await officer.BeginAdding()).Options();
        await officer.PostForm("/sign-in", new() { ["name"] = "Ama", ["secret"] = RunningSite.Password });
        await (await officer.Add(second.Create(options))).MustRefuse(HttpStatusCode.Gone, "passkey.challenge-void");
    }

    [Fact]
    public void A_challenge_of_an_earlier_run_of_the_program_or_made_by_hand_is_void()
    {
        var (protection, clock) = (new EphemeralDataProtectionProvider(), TimeProvider.System);
        var before = new DefaultHttpContext();
        var first = new PasskeyChallenges(protection, clock);
        first.Keep(before, "sign in", "state");
        var cookie = before.Response.Headers.SetCookie.ToString().Split(';')[0];
        Assert.Null(new PasskeyChallenges(protection, clock).Spend(Coming(cookie), "sign in"));
        Assert.Null(first.Spend(Coming(PasskeyChallenges.CookieName + "={\"Purpose\":\"sign in\"}"), "sign in"));
        Assert.Null(first.Spend(Coming(""), "sign in"));
        Assert.Equal("state", first.Spend(Coming(cookie), "sign in")!.State);

        static DefaultHttpContext Coming(string cookie)
        {
            var context = new DefaultHttpContext();
            context.Request.Headers.Cookie = cookie;
            return context;
        }
    }

    [Fact]
    [Asvs("3.3.2", "3.3.4")]
    public async Task The_challenges_cookie_is_for_no_script_and_no_other_site_and_short_lived()
    {
        await using var site = await RunningSite.Start(edges: new() { KnownProxies = ["127.0.0.1"] });
        var client = site.LocalScript();
        var plain = Assert.Single((await client.BeginPasskey()).Headers.GetValues("Set-Cookie"), text => text.Contains("passkey", StringComparison.Ordinal));
        Assert.Matches("(?i)^trace-passkey=(?=.*; path=/;)(?=.*; httponly)(?=.*; samesite=strict)(?=.*max-age=300)(?!.*secure)", plain);
        var fields = Browsing.Filled(await client.Html("/sign-in"), []);
        client.DefaultRequestHeaders.Add("X-Forwarded-Proto", "https");
        var safe = Assert.Single((await client.Post("/sign-in/passkey/begin", fields)).Headers.GetValues("Set-Cookie"), text => text.Contains("passkey", StringComparison.Ordinal));
        Assert.Matches("(?i)^__Host-trace-passkey=(?=.*; path=/;)(?=.*; secure)(?!.*domain=)", safe);
    }

    [Fact]
    [Asvs("6.3.1")]
    public async Task Wrong_tries_with_a_passkey_lock_the_name_and_a_locked_name_does_not_come_in_by_passkey()
    {
        await using var site = await RunningSite.Start();
        using var device = await (await site.LocalSignedIn(RoleName.Owner)).AddDevice();
        var client = site.LocalScript();
        for (var attempt = 0; attempt < SignInGuard.FreeTries; attempt++)
            await (await client.SignIn(device, new() { Flags = 1 })).MustRefuse(HttpStatusCode.Unauthorized, "passkey.failed");
        var locked = await client.SignIn(device);
        await locked.MustRefuse(HttpStatusCode.TooManyRequests, "sign-in.locked");
        Assert.Equal("30", locked.Headers.GetValues("Retry-After").Single());
        site.Clock.Advance(TimeSpan.FromSeconds(30));
        Assert.Equal(HttpStatusCode.SeeOther, (await client.SignIn(device)).StatusCode);
        Assert.Empty(site.App.Access.State.Locks);
    }

    [Fact]
    [Asvs("7.5.1")]
    public async Task Adding_a_passkey_asks_for_the_secret_again_and_counts_wrong_ones()
    {
        await using var site = await RunningSite.Start();
        var officer = await site.LocalSignedIn(RoleName.Owner);
        await (await officer.BeginAdding(secret: "")).MustRefuse(HttpStatusCode.Unauthorized, "sign-in.failed");
        for (var attempt = 0; attempt < SignInGuard.FreeTries; attempt++)
            await (await officer.BeginAdding(secret: "three wrong words")).MustRefuse(HttpStatusCode.Unauthorized, "sign-in.failed");
        await (await officer.BeginAdding()).MustRefuse(HttpStatusCode.TooManyRequests, "sign-in.locked");
        using var device = new PasskeyDevice();
        await (await officer.Add("{}")).MustRefuse(HttpStatusCode.Gone, "passkey.challenge-void");
        site.Clock.Advance(TimeSpan.FromSeconds(30));
        Assert.Equal(HttpStatusCode.OK, (await officer.BeginAdding()).StatusCode);
    }

    [Fact]
    [Asvs("3.5.1")]
    public async Task Without_the_forms_token_nothing_begins_and_nothing_is_taken()
    {
        await using var site = await RunningSite.Start();
        var officer = await site.LocalSignedIn(RoleName.Owner);
        using var device = await officer.AddDevice();
        foreach (var address in new[] { "/sign-in/passkey/begin", "/sign-in/passkey", "/my-sign-ins/passkeys/begin", "/my-sign-ins/passkeys/add", "/my-sign-ins/passkeys/remove" })
        {
            var answer = await officer.Post(address, new() { ["id"] = site.App.Access.FindPerson("Ama")!.Passkeys[0].Id, ["name"] = "X", ["secret"] = RunningSite.Password });
            Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
            Assert.False(answer.Headers.Contains("Set-Cookie"), address);
        }

        Assert.Single(site.App.Access.FindPerson("Ama")!.Passkeys);
    }

    [Fact]
    public async Task Two_first_passkeys_begun_side_by_side_do_not_name_a_person_twice()
    {
        await using var site = await RunningSite.Start();
        var (one, two) = (await site.LocalSignedIn(RoleName.Owner), await site.LocalPassword());
        using var left = new PasskeyDevice();
        using var right = new PasskeyDevice();
        var (first, second) = (left.Create(await (await one.BeginAdding()).Options()), right.Create(await (await two.BeginAdding()).Options()));
        Assert.NotEqual(left.Handle, right.Handle);
        Assert.Equal(HttpStatusCode.SeeOther, (await one.Add(first)).StatusCode);
        await (await two.Add(second)).MustRefuse(HttpStatusCode.Gone, "passkey.challenge-void");
        Assert.Equal(HttpStatusCode.SeeOther, (await two.Add(right.Create(await (await two.BeginAdding()).Options()))).StatusCode);
        Assert.Equal(left.Handle, right.Handle);
    }
}
