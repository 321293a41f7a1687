using System.Net;
using Microsoft.AspNetCore.HttpOverrides;

namespace Trace.Web.Hosting;

/// <summary>
/// Takes a proxy's word for the caller's address and scheme, if that proxy is known. Otherwise the connection's own address counts:
/// a caller could write what he likes, and each rate limit would be for the asking.
/// </summary>
internal static class Proxies
{
    public static void AddProxies(this WebApplicationBuilder builder, EdgeSettings edges)
    {
        // The framework would trust everybody where this variable is set in the environment.
        builder.Configuration["ForwardedHeaders_Enabled"] = "false";
        builder.Services.Configure<ForwardedHeadersOptions>(options =>
        {
            options.ForwardedHeaders = ForwardedHeaders.XForwardedFor | ForwardedHeaders.XForwardedProto;
            options.KnownIPNetworks.Clear();
            options.KnownProxies.Clear();
            foreach (var proxy in edges.KnownProxies) options.KnownProxies.Add(IPAddress.Parse(proxy));
        });
    }

    public static void UseProxies(this WebApplication app, EdgeSettings edges)
    {
        if (edges.KnownProxies.Count > 0) app.UseForwardedHeaders();
    }
}
