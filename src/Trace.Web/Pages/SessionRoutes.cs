using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Http.HttpResults;
using Trace.Core.Operations;
using Trace.Web.Access;
using Trace.Web.Pages.Forms;

namespace Trace.Web.Pages;

/// <summary>Where a person is signed in, and the way out of all of it.</summary>
internal static class SessionRoutes
{
    internal static void MapSessions(this IEndpointRouteBuilder routes)
    {
        var mine = routes.MapGroup("/my-sign-ins").For(Roles.All, personsOnly: true).ExcludeFromDescription();
        mine.MapGet("", Show);
        mine.MapPost("end", End).WithToken();
        mine.MapPost("end-all", EndAll).WithToken();
    }

    private static RazorComponentResult Show(HttpContext context, SessionBook sessions) => Page.Show<SessionsPage>(
        new { Sessions = sessions.Of(context.Caller().Person), Here = Signing.SessionOf(context)?.Id });

    private static async Task<IResult> End(HttpContext context, SessionBook sessions)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted);
        var caller = context.Caller();
        var wanted = sessions.Of(caller.Person).FirstOrDefault(open => open.Session.Id == form["id"].ToString());
        if (wanted is not null) await sessions.End(wanted.Session, caller.Person, caller.Device);
        return new SeeOther("/my-sign-ins");
    }

    private static async Task<IResult> EndAll(HttpContext context, SessionBook sessions)
    {
        var caller = context.Caller();
        await sessions.EndAll(caller.Person, caller.Person, caller.Device);
        await context.SignOutAsync(Signing.Cookie);
        return new SeeOther("/sign-in");
    }
}
