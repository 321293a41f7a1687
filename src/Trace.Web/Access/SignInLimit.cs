using System.Threading.RateLimiting;
using Trace.Web.Hosting;

namespace Trace.Web.Access;

/// <summary>How often an address may try. Gentler than the lock by name, since a whole plant may share one address.</summary>
public static class SignInLimit
{
    public const string Policy = "sign-in";

    /// <summary>Tries in a minute from one address.</summary>
    public const int TriesPerMinute = 30;

    public static void AddSignInLimit(this IServiceCollection services) => services.AddRateLimiter(options =>
        options.AddPolicy(Policy, context => RateLimitPartition.GetFixedWindowLimiter(
            RateLimits.Caller(context.Connection.RemoteIpAddress),
            _ => new FixedWindowRateLimiterOptions { PermitLimit = TriesPerMinute, Window = TimeSpan.FromMinutes(1) })));
}
