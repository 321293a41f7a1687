using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Http.HttpResults;
using Trace.Core.Access;
using Trace.Core.Operations;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Pages.Forms;

namespace Trace.Web.Pages;

/// <summary>Signing in and out, and the one-time sign-in of the first owner.</summary>
internal static class SigningRoutes
{
    internal static void MapSigning(this IEndpointRouteBuilder routes)
    {
        var open = routes.MapGroup("").AllowAnonymous().ExcludeFromDescription();
        open.MapGet("/sign-in", (HttpContext context, TraceApp app, string? returnUrl, string? name) =>
            ShowSignIn(context, app, name, returnUrl, null));
        open.MapPost("/sign-in", SignIn).WithToken().RequireRateLimiting(SignInLimit.Policy);
        open.MapGet("/first-owner", (FirstOwner first, string? code) => first.Fits(code ?? "")
            ? Page.Show<FirstOwnerPage>(new { Code = code })
            : WrongCode());
        open.MapPost("/first-owner", BecomeOwner).WithToken().RequireRateLimiting(SignInLimit.Policy);
        open.MapPost("/sign-out", SignOut).WithToken();
    }

    /// <summary>Whether the name is nobody's, the secret wrong, or a PIN typed away from a tablet: answer and work are the same.</summary>
    private static async Task<IResult> SignIn(HttpContext context, TraceApp app, SignInGuard guard)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted);
        var (name, secret) = (form["name"].ToString().Trim(), form["secret"].ToString());
        if (name.Length is 0 or > PersonName.Longest || secret.Length is 0 or > 100) return Failed();
        var tablet = Signing.TabletOf(context);
        if (guard.Begin(name, tablet is not null) is { } wait)
        {
            var seconds = (int)Math.Ceiling(wait.TotalSeconds);
            context.Response.Headers.RetryAfter = seconds.ToString(System.Globalization.CultureInfo.InvariantCulture);
            return ShowSignIn(context, app, name, form["returnUrl"],
                $"{RefusalCodes.All["sign-in.locked"].Title} under this name. Wait {seconds} s, or ask the owner to unlock it.",
                RefusalCodes.All["sign-in.locked"].Status);
        }

        var person = app.Access.FindPerson(name);
        if (!await guard.Fits(person, secret, tablet is not null))
        {
            guard.Failed(person, tablet is not null, tablet?.Name ?? Signing.OtherDevice);
            return Failed();
        }

        guard.Succeeded(name, tablet is not null);
        await Signing.Enter(context, person!, Secrets.KindOf(secret) == SecretKind.Pin ? "pin" : "password");
        return new SeeOther(Page.LocalOr(form["returnUrl"], "/bench"));

        RazorComponentResult Failed() => ShowSignIn(context, app, name, form["returnUrl"],
            RefusalCodes.All["sign-in.failed"].Title + ". " + RefusalCodes.All["sign-in.failed"].WayOut, StatusCodes.Status401Unauthorized);
    }

    private static async Task<IResult> BecomeOwner(HttpContext context, TraceApp app, FirstOwner first)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted);
        var (code, name, secret) = (form["code"].ToString(), form["name"].ToString().Trim(), form["secret"].ToString());
        if (!first.Fits(code)) return WrongCode();
        if ((PersonName.Problem(name) ?? Secrets.PasswordProblem(secret, RoleName.Owner)) is { } problem)
            return Page.Show<FirstOwnerPage>(new { Code = code, Name = name, Problem = problem }, StatusCodes.Status400BadRequest);
        if (!await first.Add(name, secret)) return WrongCode();
        await Signing.Enter(context, app.Access.FindPerson(name)!, "password");
        return new SeeOther("/bench");
    }

    private static async Task<IResult> SignOut(HttpContext context, SessionBook sessions)
    {
        if (Signing.SessionOf(context) is { } session) await sessions.End(session, session.Person, session.Device);
        await context.SignOutAsync(Signing.Cookie);
        return new SeeOther("/sign-in");
    }

    /// <summary>The page again, with why the passkey did not do.</summary>
    internal static RazorComponentResult ShowRefused(HttpContext context, string? returnUrl, Refusal refusal)
    {
        var code = RefusalCodes.All[refusal.Code];
        return ShowSignIn(context, context.RequestServices.GetRequiredService<TraceApp>(), null, returnUrl, $"{code.Title}. {refusal.Detail}", code.Status);
    }

    /// <summary>On an enrolled tablet the names are there to be touched; elsewhere nobody learns them.</summary>
    private static RazorComponentResult ShowSignIn(
        HttpContext context, TraceApp app, string? name, string? returnUrl, string? problem, int status = StatusCodes.Status200OK)
    {
        var tablet = Signing.TabletOf(context);
        return Page.Show<SignInPage>(
            new
            {
                Name = name is { Length: <= PersonName.Longest } ? name : null,
                ReturnUrl = Page.LocalOr(returnUrl, "/bench"),
                Problem = problem,
                NobodyYet = !app.Access.HasPersons,
                OffersPasskey = Passkeys.WhyNot(context.Request) is null,
                Tablet = tablet?.Name,
                Names = tablet is null ? [] : app.Access.Persons.Where(person => person.IsActive).Select(person => person.Name).ToList(),
            },
            status);
    }

    private static RazorComponentResult WrongCode() => Page.Refuse("sign-in.code-void");
}
