using System.Threading.RateLimiting;
using Trace.Core.Operations;
using Trace.Web.Pages;

namespace Trace.Web.Access;

/// <summary>How often an address may try. Gentler than the lock by name, since a whole plant may share one address.</summary>
public static class SignInLimit
{
    public const string Policy = "sign-in";

    /// <summary>Tries in a minute from one address.</summary>
    public const int TriesPerMinute = 30;

    public static void AddSignInLimit(this IServiceCollection services) => services.AddRateLimiter(options =>
    {
        options.AddPolicy(Policy, context => RateLimitPartition.GetFixedWindowLimiter(
            context.Connection.RemoteIpAddress?.ToString() ?? "",
            _ => new FixedWindowRateLimiterOptions { PermitLimit = TriesPerMinute, Window = TimeSpan.FromMinutes(1) }));
        options.OnRejected = (rejected, _) =>
        {
            rejected.HttpContext.Response.Headers.RetryAfter = "60";
            return new ValueTask(Page.WriteProblem(
                rejected.HttpContext, new Refusal("request.rate", $"{TriesPerMinute} tries in a minute are allowed. Wait a minute and try again.")));
        };
    });
}
