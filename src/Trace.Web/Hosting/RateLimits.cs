using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Threading.RateLimiting;
using Trace.Core.Operations;
using Trace.Web.Pages;

namespace Trace.Web.Hosting;

/// <summary>How often one address may ask for what needs no sign-in, and how a caller is told to wait.</summary>
internal static class RateLimits
{
    /// <summary>Buyer's pages.</summary>
    public const string Public = "public";

    public static void AddRateLimits(this IServiceCollection services, EdgeSettings edges) => services.AddRateLimiter(options =>
    {
        options.AddPolicy(Public, context => RateLimitPartition.GetTokenBucketLimiter(
            Caller(context.Connection.RemoteIpAddress),
            _ => new TokenBucketRateLimiterOptions
            {
                TokenLimit = edges.PublicBurst,
                TokensPerPeriod = edges.PublicPerSecond,
                ReplenishmentPeriod = TimeSpan.FromSeconds(1),
            }));
        options.OnRejected = (rejected, _) =>
        {
            var isTold = rejected.Lease.TryGetMetadata(MetadataName.RetryAfter, out var told);
            var wait = isTold ? Math.Max(1, (int)Math.Ceiling(told.TotalSeconds)) : 60;
            rejected.HttpContext.Response.Headers.RetryAfter = wait.ToString(CultureInfo.InvariantCulture);
            return new ValueTask(Page.WriteProblem(rejected.HttpContext, new Refusal(
                "request.rate", $"There were too many requests from your address. Wait {wait} s and try again.")));
        };
    });

    /// <summary>One caller of IPv6 has a whole /64 of addresses to ask from.</summary>
    internal static string Caller(IPAddress? address)
    {
        if (address is null) return "";
        if (address.IsIPv4MappedToIPv6) address = address.MapToIPv4();
        return address.AddressFamily == AddressFamily.InterNetworkV6
            ? Convert.ToHexString(address.GetAddressBytes()[..8])
            : address.ToString();
    }
}
