using Trace.Core.Access;
using Trace.Core.Operations;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Pages.Forms;
using Trace.Web.Problems;

namespace Trace.Web.Pages;

/// <summary>
/// Passkeys: made on the page My sign-ins, used on the sign-in page. Each takes two requests: the script asks for a challenge, and sends
/// the device's answer as an ordinary form.
/// </summary>
internal static class PasskeyRoutes
{
    /// <summary>Answers have some kilobytes.</summary>
    private const int LongestCredential = 32_768;

    internal static void MapPasskeys(this IEndpointRouteBuilder routes)
    {
        var open = routes.MapGroup("/sign-in/passkey").AllowAnonymous().ExcludeFromDescription();
        open.MapPost("begin", BeginSignIn).WithToken().RequireRateLimiting(SignInLimit.Policy);
        open.MapPost("", SignIn).WithToken().RequireRateLimiting(SignInLimit.Policy);
        var mine = routes.MapGroup(SessionRoutes.Path + "/passkeys").For(Roles.Office, "A passkey", personsOnly: true).ExcludeFromDescription();
        mine.MapPost("begin", BeginAdding).WithToken();
        mine.MapPost("add", Add).WithToken();
        mine.MapPost("remove", Remove).WithToken();
    }

    private static async Task<IResult> BeginSignIn(HttpContext context, PasskeyDesk desk) => Passkeys.WhyNot(context.Request) is { } why
        ? Problem.Result("passkey.not-here", why)
        : Options(await desk.BeginSignIn(context));

    private static async Task<IResult> SignIn(HttpContext context, PasskeyDesk desk)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted);
        if (await desk.SignIn(context, CredentialIn(form)) is not { } refusal) return new SeeOther(Page.LocalOr(form["returnUrl"], "/bench"));
        return Page.IsRead(context) ? SigningRoutes.ShowRefused(context, form["returnUrl"], refusal) : Problem.Result(refusal);
    }

    private static async Task<IResult> BeginAdding(HttpContext context, PasskeyDesk desk)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted);
        var name = form["name"].ToString().Trim();
        var me = SessionRoutes.Me(context);
        if (Passkeys.WhyNotAdd(context) is { } why) return Problem.Result("passkey.not-here", why);
        if (PersonName.Problem(name) is { } wrong) return Problem.Result("request.invalid", wrong, "name");
        if (me.Passkeys.Count >= Passkey.MostOfAPerson) return Problem.Result(PasskeyDesk.TooMany());
        if (await SecretAgain.Check(context, me, form["secret"].ToString()) is { } refusal) return Problem.Result(refusal);
        return Options(await desk.BeginAdding(context, me, name));
    }

    private static async Task<IResult> Add(HttpContext context, PasskeyDesk desk)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted);
        return await desk.Add(context, CredentialIn(form)) is { } refusal
            ? SessionRoutes.Refuse(context, refusal)
            : new SeeOther(SessionRoutes.Path);
    }

    private static async Task<IResult> Remove(HttpContext context, TraceApp app)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted);
        var me = SessionRoutes.Me(context);
        if (me.Passkeys.Find(passkey => passkey.Id == form["id"].ToString()) is not { } unwanted)
            return SessionRoutes.Refuse(context, new("passkey.unknown", RefusalCodes.All["passkey.unknown"].WayOut));
        var caller = context.Caller();
        await app.Access.Record(new PasskeyRemoved(me.Name, unwanted.Id, Signing.SessionOf(context)?.Id), caller.Person, caller.Device);
        return new SeeOther(SessionRoutes.Path);
    }

    private static string CredentialIn(IFormCollection form) => form["credential"].ToString() is { Length: <= LongestCredential } text ? text : "";

    private static IResult Options(string json) => Results.Text(json, "application/json");
}
