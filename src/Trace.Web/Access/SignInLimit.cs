using System.Threading.RateLimiting;
using Trace.Web.Hosting;

namespace Trace.Web.Access;

/// <summary>How often an address may try a PIN. A PIN of four digits has only ten thousand values.</summary>
public static class SignInLimit
{
    public const string Policy = "sign-in";

    /// <summary>Tries in a minute from one address.</summary>
    public const int TriesPerMinute = 10;

    public static void AddSignInLimit(this IServiceCollection services) => services.AddRateLimiter(options =>
        options.AddPolicy(Policy, context => RateLimitPartition.GetFixedWindowLimiter(
            RateLimits.Caller(context.Connection.RemoteIpAddress),
            _ => new FixedWindowRateLimiterOptions { PermitLimit = TriesPerMinute, Window = TimeSpan.FromMinutes(1) })));
}
