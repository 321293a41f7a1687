using Trace.Web.Access;
using Trace.Web.Hosting;

namespace Trace.Web.CommandLine;

internal static class ServeCommand
{
    public static async Task<int> Run(Serving serving, string[] hostArguments, CancellationToken stop)
    {
        await using var web = TraceHost.Build(serving.Settings,
            serving.Urls ?? (hostArguments.Length > 0 ? null : TraceHost.DefaultUrl), hostArguments);
        var app = web.Services.GetRequiredService<TraceApp>();
        if (app.Journal.Stopped is { } stopped)
            await Console.Error.WriteLineAsync($"Writing is stopped: journal {stopped.Stream}, entry {stopped.Seq}: {stopped.Reason}. Reading what is sound goes on.");
        else
            await app.EnsureFirstSite();
        await Serve(web, app, stop);
        return 0;
    }

    public static async Task Serve(WebApplication web, TraceApp app, CancellationToken stop)
    {
        await web.StartAsync(stop);
        foreach (var url in web.Urls) Console.WriteLine($"Listening on {url}");
        if (web.Services.GetRequiredService<FirstOwner>().Code is { } code)
            Console.WriteLine($"Nobody can sign in yet. Make the first owner once at {web.Urls.First()}/first-owner?code={code}");
        Console.WriteLine($"Data folder: {app.Settings.DataFolder}. Stop with Ctrl+C.");
        await web.WaitForShutdownAsync(stop);
    }
}
