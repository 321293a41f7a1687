using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Http.HttpResults;
using Trace.Core.Access;
using Trace.Core.Operations;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Pages.Forms;

namespace Trace.Web.Pages;

/// <summary>Where a person is signed in, the way out of all of it, and how they come in the next time.</summary>
internal static class SessionRoutes
{
    public const string Path = "/my-sign-ins";

    internal static void MapSessions(this IEndpointRouteBuilder routes)
    {
        var mine = routes.MapGroup(Path).For(Roles.All, personsOnly: true).ExcludeFromDescription();
        mine.MapGet("", (HttpContext context) => Show(context));
        mine.MapPost("end", End).WithToken();
        mine.MapPost("end-all", EndAll).WithToken();
        mine.MapPost("secret", ChangeSecret).WithToken();
    }

    internal static RazorComponentResult Show(HttpContext context, string? problem = null, int status = StatusCodes.Status200OK)
    {
        var caller = context.Caller();
        var person = Me(context);
        return Page.Show<SessionsPage>(
            new
            {
                Sessions = context.RequestServices.GetRequiredService<SessionBook>().Of(caller.Person),
                Here = Signing.SessionOf(context)?.Id,
                Me = person,
                NoPasskeyHere = Passkeys.WhyNotAdd(context),
                Host = context.Request.Host.Host,
                Problem = problem,
            },
            status);
    }

    /// <summary>Who asks: signed in, so known and not removed.</summary>
    internal static Person Me(HttpContext context) =>
        context.RequestServices.GetRequiredService<TraceApp>().Access.FindPerson(context.Caller().Person)!;

    /// <summary>The page with what is wrong for whoever reads it, a problem document for everybody else.</summary>
    internal static IResult Refuse(HttpContext context, Refusal refusal) => Page.IsRead(context)
        ? Show(context, $"{RefusalCodes.All[refusal.Code].Title}. {refusal.Detail}", RefusalCodes.All[refusal.Code].Status)
        : Problems.Problem.Result(refusal);

    private static async Task<IResult> End(HttpContext context, SessionBook sessions)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted);
        var caller = context.Caller();
        var wanted = sessions.Of(caller.Person).FirstOrDefault(open => open.Session.Id == form["id"].ToString());
        if (wanted is not null) await sessions.End(wanted.Session, caller.Person, caller.Device);
        return new SeeOther(Path);
    }

    private static async Task<IResult> EndAll(HttpContext context, SessionBook sessions)
    {
        var caller = context.Caller();
        await sessions.EndAll(caller.Person, caller.Person, caller.Device);
        await context.SignOutAsync(Signing.Cookie);
        return new SeeOther("/sign-in");
    }

    /// <summary>
    /// The old one first, and no weaker than what it opens: whoever saw a PIN typed at the bench must not make a password of it that
    /// counts everywhere.
    /// </summary>
    private static async Task<IResult> ChangeSecret(HttpContext context, TraceApp app)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted);
        var (old, secret) = (form["old"].ToString(), form["secret"].ToString());
        var me = Me(context);
        if (Secrets.Problem(secret, me.Role) is { } weak) return Wrong(weak);
        if (secret == old) return Wrong("The new one is the old one.");
        if (Secrets.KindOf(secret) == SecretKind.Password && Secrets.KindOf(old) == SecretKind.Pin)
            return Wrong("A new password needs the old password. If you have none, the owner sets it.");
        if (await SecretAgain.Check(context, me, old) is { } refusal) return Refuse(context, refusal);
        var caller = context.Caller();
        await app.Access.Record(
            new SecretSet(me.Name, Secrets.KindOf(secret), app.Secrets.Hash(secret), Signing.SessionOf(context)?.Id),
            caller.Person, caller.Device);
        return new SeeOther(Path);

        IResult Wrong(string what) => Refuse(context, new("request.invalid", what));
    }
}
