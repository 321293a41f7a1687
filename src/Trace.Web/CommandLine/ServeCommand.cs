using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Transport;

namespace Trace.Web.CommandLine;

internal static class ServeCommand
{
    public static async Task<int> Run(Serving serving, string[] hostArguments, CancellationToken stop)
    {
        var asked = serving.Urls ?? (hostArguments.Length > 0 ? null : TraceHost.DefaultUrl);
        await using var web = TraceHost.Build(serving.Settings, asked is null ? null : UrlsOf(serving, asked), hostArguments);
        var app = web.Services.GetRequiredService<TraceApp>();
        if (app.Journal.Stopped is { } stopped)
            await Console.Error.WriteLineAsync($"Writing is stopped: journal {stopped.Stream}, entry {stopped.Seq}: {stopped.Reason}. Reading what is sound goes on.");
        else
            await app.EnsureFirstSite();
        await Serve(web, app, stop);
        return 0;
    }

    /// <summary>What to listen on; a warning, in the log too, when that lets others read along.</summary>
    public static string UrlsOf(Serving serving, string asked)
    {
        var urls = Listening.Urls(asked, serving.Edges, new Certificates(serving.Settings.DataFolder, TimeProvider.System));
        if (Listening.IsOpen(asked, serving.Edges))
            Console.Error.WriteLine($"WARNING: {asked} serves other machines without encryption. Whoever is on the network can read PINs, keys and cookies.");
        return urls;
    }

    public static async Task Serve(WebApplication web, TraceApp app, CancellationToken stop)
    {
        await web.StartAsync(stop);
        if (web.Urls.Any(url => Listening.IsOpen(url, app.Settings.Edges)))
            web.Logger.LogWarning("Other machines are served without encryption");
        foreach (var url in web.Urls) Console.WriteLine($"Listening on {url}");
        if (web.Services.GetRequiredService<FirstOwner>().Code is { } code)
            Console.WriteLine($"Nobody can sign in yet. Make the first owner once at {web.Urls.First()}/first-owner?code={code}");
        Console.WriteLine($"Data folder: {app.Settings.DataFolder}. Stop with Ctrl+C.");
        await web.WaitForShutdownAsync(stop);
    }
}
