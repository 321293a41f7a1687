using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Http.HttpResults;
using Trace.Core.Access;
using Trace.Core.Operations;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Pages.Forms;

namespace Trace.Web.Pages;

/// <summary>Enrols the browser in hand as a tablet of the plant, and revokes tablets.</summary>
internal static class TabletRoutes
{
    internal static void MapTablets(this IEndpointRouteBuilder routes)
    {
        var tablets = routes.MapGroup("/tablets").For(Roles.Office, "The page of tablets", personsOnly: true).ExcludeFromDescription();
        tablets.MapGet("", (HttpContext context, TraceApp app) => Show(context, app, null));
        tablets.MapPost("enrol", Enrol).WithToken();
        tablets.MapPost("revoke", Revoke).WithToken();
    }

    /// <summary>Whoever enrols is signed out at once: the tablet stays at the bench, and nobody should find the office on it.</summary>
    private static async Task<IResult> Enrol(HttpContext context, TraceApp app, SessionBook sessions)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted);
        var name = form["name"].ToString().Trim();
        if (PersonName.Problem(name) is { } wrong) return Show(context, app, wrong);
        if (app.Access.Devices.Any(device => device.IsActive && AccessState.Fold(device.Name) == AccessState.Fold(name)))
            return Show(context, app, "A tablet has this name already; entries could not be told apart.");
        var caller = context.Caller();
        if (Signing.TabletOf(context) is { } before) await app.Access.Record(new DeviceRevoked(before.Id), caller.Person, caller.Device);
        var (cookie, kept) = Secrets.NewDevice(name);
        await app.Access.Record(kept, caller.Person, caller.Device);
        Signing.KeepTablet(context, cookie);
        if (Signing.SessionOf(context) is { } session) await sessions.End(session, caller.Person, caller.Device);
        await context.SignOutAsync(Signing.Cookie);
        return new SeeOther("/sign-in");
    }

    private static async Task<IResult> Revoke(HttpContext context, TraceApp app)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted);
        if (app.Access.FindDevice(form["id"].ToString()) is not { IsActive: true } device) return Show(context, app, "There is no such tablet.");
        var caller = context.Caller();
        await app.Access.Record(new DeviceRevoked(device.Id), caller.Person, caller.Device);
        return new SeeOther("/tablets");
    }

    private static RazorComponentResult Show(HttpContext context, TraceApp app, string? problem) => Page.Show<TabletsPage>(
        new
        {
            Tablets = app.Access.Devices.Where(device => device.IsActive).ToList(),
            Here = Signing.TabletOf(context)?.Id,
            Problem = problem,
        },
        problem is null ? StatusCodes.Status200OK : StatusCodes.Status400BadRequest);
}
