using System.Net;
using System.Text.Json.Nodes;
using Trace.Core.Access;
using Trace.Web.Access;
using Xunit;

namespace Trace.Tests.Web.Passkeys;

/// <summary>Passkeys as a person meets them, with a device written in software and the real program.</summary>
public sealed class PasskeyTests
{
    [Theory]
    [InlineData(RoleName.Quality)]
    [InlineData(RoleName.Owner)]
    public async Task Quality_and_owner_add_a_passkey_and_sign_in_with_it(RoleName role)
    {
        await using var site = await RunningSite.Start();
        var first = await site.LocalSignedIn(role);
        using var device = await first.AddDevice("Office laptop");
        var page = await first.Html("/my-sign-ins");
        foreach (var shown in new[] { "Office laptop", "Added 2026-11-25, last used never" }) Assert.Contains(shown, page, StringComparison.Ordinal);
        site.Clock.Advance(TimeSpan.FromDays(2));
        var second = site.LocalScript();
        var entered = await second.SignIn(device);
        Assert.Equal((HttpStatusCode.SeeOther, "/quality"), (entered.StatusCode, entered.Headers.Location?.OriginalString));
        Assert.Contains($"Ama · {role.ToString().ToLowerInvariant()}", await second.Html("/bench"), StringComparison.Ordinal);
        Assert.Contains("last used 2026-11-27", await second.Html("/my-sign-ins"), StringComparison.Ordinal);
        var session = Assert.Single(site.App.Access.State.Sessions.Values);
        Assert.Equal(("Ama", "passkey", Signing.OtherDevice), (session.Person, session.How, session.Device));
        Assert.Equal(device.Count, Assert.Single(site.App.Access.FindPerson("Ama")!.Passkeys).SignCount);
    }

    [Fact]
    public async Task The_device_is_asked_for_its_users_finger_or_PIN_and_told_nothing_that_names_a_person_to_others()
    {
        await using var site = await RunningSite.Start();
        var officer = await site.LocalSignedIn(RoleName.Quality);
        using var device = await officer.AddDevice();
        var make = JsonNode.Parse(await (await officer.BeginAdding("Phone")).Options())!;
        Assert.Equal(("localhost", "required", "required", "none"), (
            (string?)make["rp"]!["id"], (string?)make["authenticatorSelection"]!["userVerification"],
            (string?)make["authenticatorSelection"]!["residentKey"], (string?)make["attestation"]));
        Assert.Equal([-7, -257], make["pubKeyCredParams"]!.AsArray().Select(one => (int)one!["alg"]!));
        Assert.Equal(Microsoft.AspNetCore.WebUtilities.WebEncoders.Base64UrlEncode(device.Id), (string?)make["excludeCredentials"]!.AsArray().Single()!["id"]);
        Assert.DoesNotContain("Ama", device.Handle!, StringComparison.OrdinalIgnoreCase);
        var use = JsonNode.Parse(await (await site.LocalScript().BeginPasskey()).Options())!;
        Assert.Equal(("localhost", "required", 0), ((string?)use["rpId"], (string?)use["userVerification"], use["allowCredentials"]!.AsArray().Count));
        Assert.Equal(32, Microsoft.AspNetCore.WebUtilities.WebEncoders.Base64UrlDecode((string)use["challenge"]!).Length);
    }

    [Fact]
    [Asvs("7.4.3")]
    public async Task A_removed_passkey_signs_nobody_in_and_ends_all_sessions_but_the_one_that_removed_it()
    {
        await using var site = await RunningSite.Start();
        var here = await site.LocalSignedIn(RoleName.Owner);
        using var lost = await here.AddDevice("Lost phone");
        using var kept = await here.AddDevice("Laptop");
        var thief = site.LocalScript();
        await thief.SignIn(lost);
        await thief.MustBeIn(true);
        var id = site.App.Access.FindPerson("Ama")!.Passkeys.Single(passkey => passkey.Name == "Lost phone").Id;
        Assert.Equal(HttpStatusCode.SeeOther, (await here.PostForm("/my-sign-ins", new() { ["id"] = id }, "/my-sign-ins/passkeys/remove")).StatusCode);
        await here.MustBeIn(true);
        await thief.MustBeIn(false);
        await (await site.LocalScript().SignIn(lost)).MustRefuse(HttpStatusCode.Unauthorized, "passkey.failed");
        Assert.Equal(HttpStatusCode.SeeOther, (await site.LocalScript().SignIn(kept)).StatusCode);
        await (await here.PostForm("/my-sign-ins", new() { ["id"] = id }, "/my-sign-ins/passkeys/remove")).MustRefuse(HttpStatusCode.NotFound, "passkey.unknown");
    }

    [Fact]
    public async Task Nobody_removes_the_passkey_of_another_but_the_owner_all_of_one()
    {
        await using var site = await RunningSite.Start();
        var quality = await site.LocalSignedIn(RoleName.Quality, "Kofi");
        using var device = await quality.AddDevice();
        var owner = await site.LocalSignedIn(RoleName.Owner);
        var id = site.App.Access.FindPerson("Kofi")!.Passkeys.Single().Id;
        await (await owner.PostForm("/my-sign-ins", new() { ["id"] = id }, "/my-sign-ins/passkeys/remove")).MustRefuse(HttpStatusCode.NotFound, "passkey.unknown");
        Assert.Contains("Password, 1 passkey.", await owner.Html("/people"), StringComparison.Ordinal);
        await owner.PostForm("/people", new() { ["name"] = "Kofi" }, "/people/remove-passkeys");
        await quality.MustBeIn(false);
        await owner.MustBeIn(true);
        await (await site.LocalScript().SignIn(device)).MustRefuse(HttpStatusCode.Unauthorized, "passkey.failed");
    }

    [Fact]
    [Asvs("7.4.2", "7.4.3")]
    public async Task A_removed_person_cannot_sign_in_nor_with_the_old_passkey_when_added_again()
    {
        await using var site = await RunningSite.Start();
        using var device = await (await site.LocalSignedIn(RoleName.Quality)).AddDevice();
        await site.App.Access.Record(new PersonRemoved("Ama"), "test", "test");
        await (await site.LocalScript().SignIn(device)).MustRefuse(HttpStatusCode.Unauthorized, "passkey.failed");
        await site.AddPerson("Ama", RoleName.Quality);
        await (await site.LocalScript().SignIn(device)).MustRefuse(HttpStatusCode.Unauthorized, "passkey.failed");
        Assert.Empty(site.App.Access.State.Sessions);
    }

    [Fact]
    public async Task Other_roles_have_no_passkeys_and_lose_those_they_had()
    {
        await using var site = await RunningSite.Start();
        foreach (var role in new[] { RoleName.Operator, RoleName.Packer, RoleName.Inspector })
        {
            var other = await site.LocalSignedIn(role, $"{role}");
            await (await other.BeginAdding()).MustRefuse(HttpStatusCode.Forbidden, "role.not-allowed");
            await (await other.Add("{}")).MustRefuse(HttpStatusCode.Forbidden, "role.not-allowed");
            Assert.DoesNotContain("asskey", await other.Html("/my-sign-ins"), StringComparison.Ordinal);
            using var device = await (await site.LocalSignedIn(RoleName.Quality, $"Once {role}")).AddDevice();
            await site.App.Access.Record(new RoleChanged($"Once {role}", role), "test", "test");
            await (await site.LocalScript().SignIn(device)).MustRefuse(HttpStatusCode.Unauthorized, "passkey.failed");
            await site.App.Access.Record(new RoleChanged($"Once {role}", RoleName.Quality), "test", "test");
            await (await site.LocalScript().SignIn(device)).MustRefuse(HttpStatusCode.Unauthorized, "passkey.failed");
        }
    }

    [Fact]
    public async Task Passkeys_outlive_a_restart_and_a_role_that_has_them_too()
    {
        await using var site = await RunningSite.Start();
        using var device = await (await site.LocalSignedIn(RoleName.Quality)).AddDevice();
        await site.App.Access.Record(new RoleChanged("Ama", RoleName.Owner), "test", "test");
        await site.LocalScript().SignIn(device);
        using var again = new AccessBook(site.App.Journal, site.Clock);
        var (before, after) = (site.App.Access.FindPerson("Ama")!, again.FindPerson("Ama")!);
        Assert.Equal(before.PasskeyHandle, after.PasskeyHandle);
        Assert.Equal(Assert.Single(before.Passkeys), Assert.Single(after.Passkeys));
        Assert.Equal(2u, after.Passkeys[0].SignCount);
    }

    [Fact]
    public async Task An_eleventh_passkey_and_one_without_a_name_are_refused()
    {
        await using var site = await RunningSite.Start();
        var officer = await site.LocalSignedIn(RoleName.Quality);
        await (await officer.BeginAdding(name: " ")).MustRefuse(HttpStatusCode.BadRequest, "request.invalid");
        for (var made = 0; made < Passkey.MostOfAPerson - 1; made++)
            await site.App.Access.Record(new PasskeyAdded("Ama", "handle", $"aWQ{made}", "Old", "a2V5", 0, false, false), "test", "test");
        var begun = await (await officer.BeginAdding()).Options();
        await site.App.Access.Record(new PasskeyAdded("Ama", "handle", "aWRl", "Old", "a2V5", 0, false, false), "test", "test");
        using var device = new PasskeyDevice();
        await (await officer.Add(device.Create(begun))).MustRefuse(HttpStatusCode.UnprocessableEntity, "passkey.not-added");
        await (await officer.BeginAdding()).MustRefuse(HttpStatusCode.UnprocessableEntity, "passkey.not-added");
        Assert.Equal(10, site.App.Access.FindPerson("Ama")!.Passkeys.Count);
    }

    [Theory]
    [InlineData("127.0.0.1", "number")]
    [InlineData("[::1]:5080", "number")]
    [InlineData("trace.example.org", "needs https")]
    [InlineData("localhost.example.org", "needs https")]
    [InlineData("localhost:5080", null)]
    public async Task Where_no_passkey_works_the_pages_say_so_or_offer_none(string host, string? why)
    {
        await using var site = await RunningSite.Start();
        var officer = await site.SignedIn(RoleName.Quality);
        var stranger = site.Visitor();
        foreach (var client in new[] { officer, stranger }) client.DefaultRequestHeaders.Host = host;
        var (mine, signIn) = (await officer.Html("/my-sign-ins"), await stranger.Html("/sign-in"));
        Assert.Equal(why is null, signIn.Contains("Sign in with a passkey", StringComparison.Ordinal));
        foreach (var page in new[] { mine, signIn }) Assert.Equal(why is null, page.Contains("<script src=\"/passkey.js\" type=\"module\"></script>", StringComparison.Ordinal));
        if (why is null)
        {
            Assert.Equal(HttpStatusCode.OK, (await stranger.BeginPasskey()).StatusCode);
            Assert.Equal(HttpStatusCode.OK, (await stranger.Open("/passkey.js")).StatusCode);
            return;
        }

        Assert.Contains(why, mine, StringComparison.Ordinal);
        await (await stranger.BeginPasskey()).MustRefuse(HttpStatusCode.UnprocessableEntity, "passkey.not-here");
        await (await officer.BeginAdding()).MustRefuse(HttpStatusCode.UnprocessableEntity, "passkey.not-here");
    }

    [Fact]
    public async Task A_tablet_that_several_people_unlock_gets_no_passkey_but_takes_one_from_elsewhere()
    {
        await using var site = await RunningSite.Start();
        using var device = await (await site.LocalSignedIn(RoleName.Quality)).AddDevice();
        var tablet = (await site.Tablet()).AtLocalhost();
        await tablet.SignIn(device);
        Assert.Contains("enrolled tablet, which several people unlock", await tablet.Html("/my-sign-ins"), StringComparison.Ordinal);
        await (await tablet.BeginAdding()).MustRefuse(HttpStatusCode.UnprocessableEntity, "passkey.not-here");
        Assert.Equal("Bench 1", Assert.Single(site.App.Access.State.Sessions.Values, session => session.How == "passkey").Device);
    }

    [Fact]
    public async Task Without_a_script_the_pages_show_names_and_passwords_and_a_refusal_is_a_page()
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Ama", RoleName.Owner);
        var browser = site.Visitor().AtLocalhost();
        Assert.Matches("<form[^>]*data-passkey=\"get\"[^>]* hidden", await browser.Html("/sign-in"));
        var refused = await browser.Passkey("{}");
        Assert.Equal((HttpStatusCode.Gone, "text/html"), (refused.StatusCode, refused.Content.Headers.ContentType?.MediaType));
        Assert.Matches("role=\"alert\"><p>This was begun too long ago", await refused.Text());
        await browser.PostForm("/sign-in", new() { ["name"] = "Ama", ["secret"] = RunningSite.Password });
        Assert.Matches("<form[^>]*data-passkey=\"create\"[^>]* hidden", await browser.Html("/my-sign-ins"));
        var notAdded = await browser.Add("{}");
        Assert.Equal((HttpStatusCode.Gone, "text/html"), (notAdded.StatusCode, notAdded.Content.Headers.ContentType?.MediaType));
        Assert.Contains("Nothing was changed.", await notAdded.Text(), StringComparison.Ordinal);
    }
}
