using System.Security.Claims;
using System.Text.Encodings.Web;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Authentication.Cookies;
using Microsoft.Extensions.Options;
using Trace.Core.Access;
using Trace.Core.Operations;
using Trace.Web.Hosting;
using Trace.Web.Pages;
using Trace.Web.Problems;

namespace Trace.Web.Access;

/// <summary>Pages sign in with a cookie, scripts with a bearer key. Everything else is turned away.</summary>
public static class Signing
{
    public const string Cookie = "page";
    public const string Key = "key";
    private const string Either = "page-or-key";
    private const string RoleClaim = "role";
    private const string DeviceClaim = "device";
    private const string StampClaim = "stamp";

    public static void AddSigning(this IServiceCollection services)
    {
        services.AddAuthentication(Either)
            .AddPolicyScheme(Either, null, options => options.ForwardDefaultSelector =
                context => context.Request.Headers.Authorization.Count > 0 ? Key : Cookie)
            .AddScheme<AuthenticationSchemeOptions, KeyHandler>(Key, null)
            .AddCookie(Cookie, options =>
            {
                options.LoginPath = "/sign-in";
                options.ReturnUrlParameter = "returnUrl";
                options.Cookie.Name = "trace";
                options.Cookie.HttpOnly = true;
                options.Cookie.SameSite = SameSiteMode.Strict;
                options.Cookie.SecurePolicy = CookieSecurePolicy.SameAsRequest;
                options.ExpireTimeSpan = TimeSpan.FromHours(10);
                options.SlidingExpiration = true;
                options.Events.OnRedirectToLogin = context => Away(context, 401);
                options.Events.OnRedirectToAccessDenied = context => Away(context, 403);
                options.Events.OnValidatePrincipal = StillAllowed;
            });
        services.AddAuthorizationBuilder().SetFallbackPolicy(new Microsoft.AspNetCore.Authorization.AuthorizationPolicyBuilder()
            .RequireAuthenticatedUser().Build());
    }

    public static ClaimsPrincipal Principal(string name, RoleName role, string device, string scheme) => new(new ClaimsIdentity(
        [new(ClaimTypes.Name, name), new(RoleClaim, role.ToString()), new(DeviceClaim, device)], scheme));

    /// <summary>A person signed in on a page, for as long as the PIN or password stays the same.</summary>
    public static ClaimsPrincipal Principal(Person person)
    {
        var principal = Principal(person.Name, person.Role, "page", Cookie);
        ((ClaimsIdentity)principal.Identity!).AddClaim(new(StampClaim, Secrets.Stamp(person)));
        return principal;
    }

    /// <summary>Who is asking. Only behind authorisation.</summary>
    public static Caller Caller(this HttpContext context)
    {
        var user = context.User;
        var device = context.Request.Headers["X-Device"].ToString() is { Length: > 0 and <= 60 } told
            && told.All(character => character is >= ' ' and <= '~')
            ? told
            : user.FindFirstValue(DeviceClaim) ?? "";
        return new Caller(user.Identity?.Name ?? "", device, RoleOf(user)?.ToRoles() ?? Roles.None);
    }

    public static RoleName? RoleOf(ClaimsPrincipal user) =>
        user.FindFirstValue(RoleClaim) is { } text && RoleNames.TryParse(text, out var role) ? role : null;

    /// <summary>API callers get a problem document, people the sign-in page.</summary>
    private static Task Away(RedirectContext<CookieAuthenticationOptions> context, int status)
    {
        var path = context.Request.Path;
        if (path.StartsWithSegments("/api", StringComparison.Ordinal) || path.StartsWithSegments("/openapi", StringComparison.Ordinal) || status == 403)
        {
            var code = status == 401 ? "sign-in.needed" : "role.not-allowed";
            return Page.WriteProblem(context.HttpContext, new Refusal(code, RefusalCodes.All[code].WayOut));
        }

        context.Response.Redirect(context.RedirectUri);
        return Task.CompletedTask;
    }

    /// <summary>Who was removed, or whose PIN or password was changed, is out at the next request.</summary>
    private static async Task StillAllowed(CookieValidatePrincipalContext context)
    {
        var book = context.HttpContext.RequestServices.GetRequiredService<TraceApp>().Access;
        if (context.Principal?.Identity?.Name is { } name && book.FindPerson(name) is { IsActive: true } person
            && RoleOf(context.Principal) == person.Role && context.Principal.FindFirstValue(StampClaim) == Secrets.Stamp(person)) return;
        context.RejectPrincipal();
        await context.HttpContext.SignOutAsync(Cookie);
    }

    internal sealed class KeyHandler(
        IOptionsMonitor<AuthenticationSchemeOptions> options, ILoggerFactory logger, UrlEncoder encoder, TraceApp app)
        : AuthenticationHandler<AuthenticationSchemeOptions>(options, logger, encoder)
    {
        protected override Task<AuthenticateResult> HandleAuthenticateAsync()
        {
            var header = Request.Headers.Authorization.ToString();
            if (!header.StartsWith("Bearer ", StringComparison.OrdinalIgnoreCase)
                || Secrets.FindKey(app.Access, header[7..].Trim()) is not { } key)
                return Task.FromResult(AuthenticateResult.Fail("No such key."));
            var principal = Principal(key.Name, key.Role, $"key {key.Id}", Key);
            return Task.FromResult(AuthenticateResult.Success(new AuthenticationTicket(principal, Key)));
        }

        protected override Task HandleChallengeAsync(AuthenticationProperties properties) =>
            Problem.Write(Context, new Refusal("sign-in.needed", RefusalCodes.All["sign-in.needed"].WayOut));

        protected override Task HandleForbiddenAsync(AuthenticationProperties properties) =>
            Problem.Write(Context, new Refusal("role.not-allowed", RefusalCodes.All["role.not-allowed"].WayOut));
    }
}
