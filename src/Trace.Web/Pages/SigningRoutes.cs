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
        open.MapGet("/sign-in", (TraceApp app, string? returnUrl) => ShowSignIn(app, null, returnUrl, null));
        open.MapPost("/sign-in", SignIn).WithToken().RequireRateLimiting(SignInLimit.Policy);
        open.MapGet("/first-owner", (FirstOwner first, string? code) => first.Fits(code ?? "")
            ? Page.Show<FirstOwnerPage>(new { Code = code })
            : WrongCode());
        open.MapPost("/first-owner", BecomeOwner).WithToken().RequireRateLimiting(SignInLimit.Policy);
        open.MapPost("/sign-out", (Delegate)SignOut).WithToken();
    }

    private static async Task<IResult> SignIn(HttpContext context, TraceApp app)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted);
        var (name, secret) = (form["name"].ToString().Trim(), form["secret"].ToString());
        var person = name.Length <= PersonName.Longest ? app.Access.FindPerson(name) : null;
        if (secret.Length > 100 || !Secrets.Fits(person, secret))
            return ShowSignIn(app, name, form["returnUrl"], RefusalCodes.All["sign-in.failed"].Title + ". " + RefusalCodes.All["sign-in.failed"].WayOut);
        await Enter(context, person!);
        return new SeeOther(Page.LocalOr(form["returnUrl"], "/bench"));
    }

    private static async Task<IResult> BecomeOwner(HttpContext context, TraceApp app, FirstOwner first)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted);
        var (code, name, secret) = (form["code"].ToString(), form["name"].ToString().Trim(), form["secret"].ToString());
        if (!first.Fits(code)) return WrongCode();
        if ((PersonName.Problem(name) ?? Secrets.Problem(secret, RoleName.Owner)) is { } problem)
            return Page.Show<FirstOwnerPage>(new { Code = code, Name = name, Problem = problem }, StatusCodes.Status400BadRequest);
        if (!await first.Add(name, secret)) return WrongCode();
        await Enter(context, app.Access.FindPerson(name)!);
        return new SeeOther("/bench");
    }

    private static async Task<IResult> SignOut(HttpContext context)
    {
        await context.SignOutAsync(Signing.Cookie);
        return new SeeOther("/sign-in");
    }

    private static Task Enter(HttpContext context, Person person) =>
        context.SignInAsync(Signing.Cookie, Signing.Principal(person));

    private static RazorComponentResult ShowSignIn(TraceApp app, string? name, string? returnUrl, string? problem) => Page.Show<SignInPage>(
        new { Name = name, ReturnUrl = Page.LocalOr(returnUrl, "/bench"), Problem = problem, NobodyYet = !app.Access.HasPersons },
        problem is null ? StatusCodes.Status200OK : StatusCodes.Status401Unauthorized);

    private static RazorComponentResult WrongCode() => Page.Refuse(
        "role.not-allowed", "The address has no valid one-time code. It is printed where the program was started, and is void as soon as a person exists.");
}
