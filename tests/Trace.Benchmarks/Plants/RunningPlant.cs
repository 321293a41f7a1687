using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Trace.Core.Access;
using Trace.Web.Access;
using Trace.Web.Hosting;

namespace Trace.Benchmarks.Plants;

/// <summary>The real program on a real port of this machine, in this process: store, pages, routes, log and all.</summary>
internal sealed class RunningPlant : IDisposable
{
    public const string PlainRoute = "/plain-text";
    private readonly WebApplication host;

    public RunningPlant(string folder)
    {
        var settings = new TraceSettings(folder, "http://example.org", Path.Combine(AppContext.BaseDirectory, "label-templates"))
        {
            // The benchmark is one address that asks without end.
            Edges = new EdgeSettings { PublicBurst = 1_000_000, PublicPerSecond = 1_000_000 },
        };
        App = new TraceApp(settings, TimeProvider.System);
        App.EnsureFirstSite().GetAwaiter().GetResult();
        var (key, kept) = Secrets.NewKey("benchmark", RoleName.Operator, TimeProvider.System.GetUtcNow());
        App.Access.Record(kept, "setup", "setup").GetAwaiter().GetResult();
        KeyHeader = $"Authorization: Bearer {key}\r\n";
        host = TraceHost.Build(settings, "http://127.0.0.1:0", [], running: App);
        host.MapGet(PlainRoute, () => "The lot page is measured against this line.").AllowAnonymous();
        host.StartAsync().GetAwaiter().GetResult();
        Port = new Uri(host.Urls.First()).Port;
    }

    public TraceApp App { get; }

    public int Port { get; }

    public string KeyHeader { get; }

    public void Dispose()
    {
        host.StopAsync().GetAwaiter().GetResult();
        ((IDisposable)host).Dispose();
        App.Dispose();
    }
}
