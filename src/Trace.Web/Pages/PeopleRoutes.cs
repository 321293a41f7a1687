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
    internal static void MapPeople(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/people", (HttpContext context, TraceApp app) => Guard(context) ?? Show(context, app)).ExcludeFromDescription();
        Post(routes, "add", Add);
        Post(routes, "secret", NewSecret);
        Post(routes, "remove", Remove);
        Post(routes, "add-key", AddKey);
        Post(routes, "revoke-key", RevokeKey);
    }

    private static void Post(IEndpointRouteBuilder routes, string verb, Func<HttpContext, TraceApp, IFormCollection, Task<IResult>> act) =>
        routes.MapPost($"/people/{verb}", async (HttpContext context, TraceApp app) => Guard(context) is { } refused
            ? refused
            : await act(context, app, await context.Request.ReadFormAsync(context.RequestAborted))).WithToken().ExcludeFromDescription();

    private static RazorComponentResult? Guard(HttpContext context) => (context.Caller().Role & Roles.Owner) != 0
        ? null
        : Page.Refuse("role.not-allowed", "Persons and keys are for the owner.");

    private static async Task<IResult> Add(HttpContext context, TraceApp app, IFormCollection form)
    {
        var (name, secret) = (form["name"].ToString().Trim(), form["secret"].ToString());
        if (!RoleNames.TryParse(form["role"].ToString() is { Length: > 0 } text ? text : "-", out var role)) return Show(context, app, "Choose a role.", name);
        if (PersonName.Problem(name) is { } wrong) return Show(context, app, wrong, name);
        if (app.Access.FindPerson(name) is { IsActive: true } other) return Show(context, app, $"There is {other.Name} already. Names differ in more than small and capital letters.", name);
        if (Secrets.Problem(secret, role) is { } weak) return Show(context, app, weak, name);
        await Record(context, app, new PersonAdded(name, role, Secrets.Hash(secret)));
        return new SeeOther("/people");
    }

    private static async Task<IResult> NewSecret(HttpContext context, TraceApp app, IFormCollection form)
    {
        if (app.Access.FindPerson(form["name"].ToString()) is not { IsActive: true } person) return Show(context, app, "There is no such person.");
        if (Secrets.Problem(form["secret"].ToString(), person.Role) is { } weak) return Show(context, app, $"{person.Name}: {weak}");
        await Record(context, app, new PersonAdded(person.Name, person.Role, Secrets.Hash(form["secret"].ToString())));
        return new SeeOther("/people");
    }

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
        if (!RoleNames.TryParse(form["role"].ToString() is { Length: > 0 } text ? text : "-", out var role)) return Show(context, app, "Choose a role for the key.");
        if (PersonName.Problem(name) is { } wrong) return Show(context, app, wrong);
        if (app.Access.FindPerson(name) is not null
            || app.Access.Keys.Any(key => key.IsActive && string.Equals(key.Name, name, StringComparison.OrdinalIgnoreCase)))
            return Show(context, app, "A person or key has this name already; entries could not be told apart.");
        var (key, kept) = Secrets.NewKey(name, role);
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
        return Page.Show<PeoplePage>(
            new
            {
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
