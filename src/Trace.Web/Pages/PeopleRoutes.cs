using System.Globalization;
using Microsoft.AspNetCore.Http.HttpResults;
using Trace.Core.Access;
using Trace.Core.Operations;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Pages.Forms;

namespace Trace.Web.Pages;

/// <summary>Persons and keys, for the owner.</summary>
internal static class PeopleRoutes
{
    private const string NoSuchPerson = "There is no such person.";

    internal static void MapPeople(this IEndpointRouteBuilder routes)
    {
        var people = routes.MapGroup("/people").For(Roles.Owner, "The page of persons and keys", personsOnly: true).ExcludeFromDescription();
        people.MapGet("", (HttpContext context, TraceApp app) => Show(context, app));
        Post(people, "add", Add);
        Post(people, "secret", NewSecret);
        Post(people, "role", NewRole);
        Post(people, "unlock", Unlock);
        Post(people, "sign-out", SignOut);
        Post(people, "remove", Remove);
        Post(people, "remove-passkeys", RemovePasskeys);
        Post(people, "add-key", AddKey);
        Post(people, "revoke-key", RevokeKey);
    }

    private static void Post(IEndpointRouteBuilder people, string verb, Func<HttpContext, TraceApp, IFormCollection, Task<IResult>> act) =>
        people.MapPost(verb, async (HttpContext context, TraceApp app) =>
            await act(context, app, await context.Request.ReadFormAsync(context.RequestAborted))).WithToken();

    private static async Task<IResult> Add(HttpContext context, TraceApp app, IFormCollection form)
    {
        var (name, secret) = (form["name"].ToString().Trim(), form["secret"].ToString());
        if (!RoleNames.TryParse(form["role"].ToString(), out var role)) return Show(context, app, "Choose a role.", name);
        if (PersonName.Problem(name) is { } wrong) return Show(context, app, wrong, name);
        if (app.Access.FindPerson(name) is { IsActive: true } other) return Show(context, app, $"There is {other.Name} already. Names differ in more than small and capital letters.", name);
        if (app.Access.FindPerson(name) is null && app.Access.IsNameTaken(name)) return Show(context, app, "A key has this name already; entries could not be told apart.", name);
        if (Secrets.Problem(secret, role) is { } weak) return Show(context, app, weak, name);
        await Record(context, app, new PersonAdded(name, role, Secrets.KindOf(secret), app.Secrets.Hash(secret)));
        return new SeeOther("/people");
    }

    private static async Task<IResult> NewSecret(HttpContext context, TraceApp app, IFormCollection form)
    {
        if (Named(app, form) is not { } person) return Show(context, app, NoSuchPerson);
        var secret = form["secret"].ToString();
        if (Secrets.Problem(secret, person.Role) is { } weak) return Show(context, app, $"{person.Name}: {weak}");
        await Record(context, app, new SecretSet(person.Name, Secrets.KindOf(secret), app.Secrets.Hash(secret)));
        return new SeeOther("/people");
    }

    private static async Task<IResult> NewRole(HttpContext context, TraceApp app, IFormCollection form)
    {
        if (Named(app, form) is not { } person) return Show(context, app, NoSuchPerson);
        if (!RoleNames.TryParse(form["role"].ToString(), out var role)) return Show(context, app, "Choose a role.");
        if (person.Name == context.Caller().Person) return Show(context, app, "You cannot change your own role. Another owner can.");
        if (role != person.Role) await Record(context, app, new RoleChanged(person.Name, role));
        return new SeeOther("/people");
    }

    private static async Task<IResult> Unlock(HttpContext context, TraceApp app, IFormCollection form)
    {
        if (Named(app, form) is not { } person) return Show(context, app, NoSuchPerson);
        await Record(context, app, new PersonUnlocked(person.Name));
        context.RequestServices.GetRequiredService<SignInGuard>().Unlock(person.Name);
        return new SeeOther("/people");
    }

    private static async Task<IResult> SignOut(HttpContext context, TraceApp app, IFormCollection form)
    {
        if (Named(app, form) is not { } person) return Show(context, app, NoSuchPerson);
        var caller = context.Caller();
        await context.RequestServices.GetRequiredService<SessionBook>().EndAll(person.Name, caller.Person, caller.Device);
        return new SeeOther("/people");
    }

    /// <summary>For a lost device whose owner cannot come in to remove it.</summary>
    private static async Task<IResult> RemovePasskeys(HttpContext context, TraceApp app, IFormCollection form)
    {
        if (Named(app, form) is not { } person) return Show(context, app, NoSuchPerson);
        foreach (var passkey in person.Passkeys) await Record(context, app, new PasskeyRemoved(person.Name, passkey.Id));
        return new SeeOther("/people");
    }

    private static Person? Named(TraceApp app, IFormCollection form) =>
        app.Access.FindPerson(form["name"].ToString()) is { IsActive: true } person ? person : null;

    private static async Task<IResult> Remove(HttpContext context, TraceApp app, IFormCollection form)
    {
        if (app.Access.FindPerson(form["name"].ToString()) is not { IsActive: true } person) return Show(context, app, "There is no such person.");

        // Also keeps the last owner in: the one who asks is an owner.
        if (person.Name == context.Caller().Person) return Show(context, app, "You cannot remove yourself. Another owner can.");
        await Record(context, app, new PersonRemoved(person.Name));
        return new SeeOther("/people");
    }

    private static async Task<IResult> AddKey(HttpContext context, TraceApp app, IFormCollection form)
    {
        var name = form["name"].ToString().Trim();
        if (!RoleNames.TryParse(form["role"].ToString(), out var role)) return Show(context, app, "Choose a role for the key.");
        if (PersonName.Problem(name) is { } wrong) return Show(context, app, wrong);
        if (app.Access.IsNameTaken(name)) return Show(context, app, "A person or key has this name already; entries could not be told apart.");
        var days = Secrets.KeyDays;
        if ((form["days"].ToString() is { Length: > 0 } text && !int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out days))
            || days is < 1 or > Secrets.MostKeyDays) return Show(context, app, $"A key is valid for 1 to {Secrets.MostKeyDays} days.");
        var (key, kept) = Secrets.NewKey(name, role, app.Clock.GetUtcNow(), days);
        await Record(context, app, kept);
        return Show(context, app, newKey: key);
    }

    private static async Task<IResult> RevokeKey(HttpContext context, TraceApp app, IFormCollection form)
    {
        if (app.Access.FindKey(form["id"].ToString()) is not { IsActive: true } key) return Show(context, app, "There is no such key.");
        await Record(context, app, new KeyRevoked(key.Id));
        return new SeeOther("/people");
    }

    private static Task Record(HttpContext context, TraceApp app, IAccessEvent happened) =>
        app.Access.Record(happened, context.Caller().Person, context.Caller().Device);

    /// <param name="newKey">Shown on this one page only: just its hash is kept, and no cache may keep the page.</param>
    private static RazorComponentResult Show(HttpContext context, TraceApp app, string? problem = null, string? name = null,
        string? newKey = null)
    {
        context.Response.Headers.CacheControl = "no-store";
        var guard = context.RequestServices.GetRequiredService<SignInGuard>();
        var sessions = context.RequestServices.GetRequiredService<SessionBook>();
        return Page.Show<PeoplePage>(
            new
            {
                Now = app.Clock.GetUtcNow(),
                LockedUntil = (Func<string, DateTimeOffset?>)guard.LockedUntil,
                SignIns = (Func<string, int>)(person => sessions.Of(person).Count),
                Persons = app.Access.Persons.Where(person => person.IsActive).ToList(),
                Keys = app.Access.Keys.Where(key => key.IsActive).ToList(),
                Me = context.Caller().Person,
                Problem = problem,
                Name = name,
                NewKey = newKey,
            },
            problem is null ? StatusCodes.Status200OK : StatusCodes.Status400BadRequest);
    }
}
