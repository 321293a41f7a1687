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
    private const string SessionClaim = "session";

    /// <summary>Device of entries from a browser that is no enrolled tablet.</summary>
    public const string OtherDevice = "other device";

    private const string TabletCookie = "trace-tablet";

    /// <summary>With TLS a name that a browser takes from this host alone (RFC 6265bis §4.1.3.2; from memory).</summary>
    private const string TabletCookieOverTls = "__Host-" + TabletCookie;

    /// <summary>A cookie lives 400 days at most in today's browsers; each sign-in renews it.</summary>
    private static readonly TimeSpan TabletLife = TimeSpan.FromDays(400);

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

                // When a session ends is the session book's to say.
                options.ExpireTimeSpan = SessionBook.Longest(onTablet: true);
                options.SlidingExpiration = false;
                options.Events.OnRedirectToLogin = context => Away(context, 401);
                options.Events.OnRedirectToAccessDenied = context => Away(context, 403);
                options.Events.OnValidatePrincipal = StillAllowed;
            });
        services.AddAuthorizationBuilder().SetFallbackPolicy(new Microsoft.AspNetCore.Authorization.AuthorizationPolicyBuilder()
            .RequireAuthenticatedUser().Build());
    }

    public static ClaimsPrincipal Principal(string name, RoleName role, string device, string scheme) => new(new ClaimsIdentity(
        [new(ClaimTypes.Name, name), new(RoleClaim, role.ToString()), new(DeviceClaim, device)], scheme));

    /// <summary>Starts a session of the person in this browser, in place of the one that was there.</summary>
    public static async Task Enter(HttpContext context, Person person, string how)
    {
        var sessions = context.RequestServices.GetRequiredService<SessionBook>();
        if (SessionOf(context) is { } old) await sessions.End(old, old.Person, old.Device);
        var tablet = TabletOf(context);
        var token = await sessions.Start(person, tablet, how);
        if (tablet is not null) KeepTablet(context, context.Request.Cookies[TabletCookieOf(context)]!);
        await context.SignInAsync(Cookie, new ClaimsPrincipal(new ClaimsIdentity([new(SessionClaim, token)], Cookie)));
    }

    public static Session? SessionOf(HttpContext context) =>
        context.RequestServices.GetRequiredService<SessionBook>().Find(context.User.FindFirstValue(SessionClaim));

    /// <summary>The enrolled tablet that this browser is; null elsewhere.</summary>
    public static Device? TabletOf(HttpContext context) =>
        Secrets.FindDevice(context.RequestServices.GetRequiredService<TraceApp>().Access, context.Request.Cookies[TabletCookieOf(context)]);

    public static void KeepTablet(HttpContext context, string value) =>
        context.Response.Cookies.Append(TabletCookieOf(context), value, new CookieOptions
        {
            Path = "/",
            HttpOnly = true,
            SameSite = SameSiteMode.Strict,
            Secure = context.Request.IsHttps,
            MaxAge = TabletLife,
            IsEssential = true,
        });

    private static string TabletCookieOf(HttpContext context) => context.Request.IsHttps ? TabletCookieOverTls : TabletCookie;

    /// <summary>Who is asking. Only behind authorisation. The device is the enrolled tablet or the key, never what a header says.</summary>
    public static Caller Caller(this HttpContext context)
    {
        var user = context.User;
        return new Caller(user.Identity?.Name ?? "", user.FindFirstValue(DeviceClaim) ?? "", RoleOf(user)?.ToRoles() ?? Roles.None);
    }

    /// <summary>True for a person on a page, false for a key.</summary>
    public static bool IsPerson(ClaimsPrincipal user) => user.HasClaim(claim => claim.Type == SessionClaim);

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

    /// <summary>
    /// The cookie holds the session's random text alone; person, role and device are looked up at each request. So whoever was removed,
    /// signed out elsewhere, or works in another role now, is out at the next request.
    /// </summary>
    private static async Task StillAllowed(CookieValidatePrincipalContext context)
    {
        var services = context.HttpContext.RequestServices;
        var token = context.Principal?.FindFirstValue(SessionClaim);
        if (services.GetRequiredService<SessionBook>().Find(token) is { } session
            && services.GetRequiredService<TraceApp>().Access.FindPerson(session.Person) is { IsActive: true } person)
        {
            var principal = Principal(person.Name, person.Role, session.Device, Cookie);
            ((ClaimsIdentity)principal.Identity!).AddClaim(new(SessionClaim, token!));
            context.ReplacePrincipal(principal);
            return;
        }

        context.RejectPrincipal();
        await context.HttpContext.SignOutAsync(Cookie);
    }

    internal sealed class KeyHandler(
        IOptionsMonitor<AuthenticationSchemeOptions> options, ILoggerFactory logger, UrlEncoder encoder, TraceApp app)
        : AuthenticationHandler<AuthenticationSchemeOptions>(options, logger, encoder)
    {
        private DateTimeOffset? expiredAt;

        protected override Task<AuthenticateResult> HandleAuthenticateAsync()
        {
            var header = Request.Headers.Authorization.ToString();
            if (!header.StartsWith("Bearer ", StringComparison.OrdinalIgnoreCase)
                || Secrets.FindKey(app.Access, header[7..].Trim()) is not { } key)
                return Task.FromResult(AuthenticateResult.Fail("No such key."));
            var now = app.Clock.GetUtcNow();
            if (key.IsExpired(now))
            {
                expiredAt = key.ExpiresAt;
                return Task.FromResult(AuthenticateResult.Fail("The key has expired."));
            }

            if (key.LastUsedAt?.UtcDateTime.Date != now.UtcDateTime.Date) app.Access.Note(new KeyUsed(key.Id), key.Name, $"key {key.Id}");
            var principal = Principal(key.Name, key.Role, $"key {key.Id}", Key);
            return Task.FromResult(AuthenticateResult.Success(new AuthenticationTicket(principal, Key)));
        }

        protected override Task HandleChallengeAsync(AuthenticationProperties properties) =>
            Problem.Write(Context, expiredAt is { } since
                ? new Refusal("sign-in.key-expired", FormattableString.Invariant($"The key expired at {since:yyyy-MM-dd HH:mm} UTC. The owner makes a new one on the page People."))
                : new Refusal("sign-in.needed", RefusalCodes.All["sign-in.needed"].WayOut));

        protected override Task HandleForbiddenAsync(AuthenticationProperties properties) =>
            Problem.Write(Context, new Refusal("role.not-allowed", RefusalCodes.All["role.not-allowed"].WayOut));
    }
}
