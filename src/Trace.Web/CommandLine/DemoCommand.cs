using Trace.Core.Access;
using Trace.Core.Recall;
using Trace.Core.Sites;
using Trace.Core.Time;
using Trace.Core.Tracing;
using Trace.Web.Access;
using Trace.Web.Demo;
using Trace.Web.Endpoints;
using Trace.Web.Hosting;
using Trace.Web.Printing;

namespace Trace.Web.CommandLine;

/// <summary>The invented week: built anew each time in a folder of its own.</summary>
internal static class DemoCommand
{
    private const string Marker = "this-is-a-demo";
    private const string Pin = "2749";
    private const string Zone = "Africa/Nairobi";

    /// <summary>Sign-ins of the demo. Invented, and printed on purpose.</summary>
    private static readonly (string Name, RoleName Role, string Secret)[] Persons =
    [
        ("owner", RoleName.Owner, "demo-owner-pass"), ("quality", RoleName.Quality, "demo-quality-pass"),
        ("operator", RoleName.Operator, "demo-operator-pass"), ("packer", RoleName.Packer, "demo-packer-pass"),
        ("inspector", RoleName.Inspector, "demo-inspector-pass"),
    ];

    public static async Task<int> Run(Serving serving, bool once, CancellationToken stop)
    {
        Prepare(serving.DataFolder);
        var clock = new DemoClock();
        SiteZone.TryFind(Zone, out var zone);
        var now = zone.Local(TimeProvider.System.GetUtcNow());
        var today = new DateTimeOffset(now.Date, now.Offset);
        var monday = today.AddDays(-7 - ((int)today.DayOfWeek + 6) % 7);
        clock.StandAt(monday.AddHours(6));

        using var app = new TraceApp(serving.Settings, clock, Console.Error.WriteLine);
        await app.AddSite(new SiteDescribed(TraceApp.FirstSite, "Example Larvae Co-operative (invented)", "1 Example Road, Exampletown", Zone, "EX-0000", null), "setup");
        foreach (var (name, role, secret) in Persons)
            await app.Access.Record(new PersonAdded(name, role, SecretKind.Password, app.Secrets.Hash(secret)), "setup", "demo");
        foreach (var name in new[] { "operator", "packer" })
            await app.Access.Record(new SecretSet(name, SecretKind.Pin, app.Secrets.Hash(Pin)), "setup", "demo");
        var (key, kept) = Secrets.NewKey("demo script", RoleName.Quality, clock.GetUtcNow());
        await app.Access.Record(kept, "setup", "demo");

        Console.WriteLine("An invented week at an invented site. Every person, place and number is made up.");
        var site = app.Site(TraceApp.FirstSite)!;
        var player = new DemoPlayer(app, clock, Console.Out);
        await player.Play(DemoPlayer.Load(Path.Combine(AppContext.BaseDirectory, "demo")), site, monday);
        await Finish(app, player, site);
        clock.Run();
        if (player.Surprises.Count > 0)
        {
            foreach (var surprise in player.Surprises) await Console.Error.WriteLineAsync("NOT AS TOLD: " + surprise);
            return 1;
        }

        if (once) return 0;
        var urls = ServeCommand.UrlsOf(serving, serving.Urls ?? TraceHost.DefaultUrl);
        await using var web = TraceHost.Build(serving.Settings, urls, [], clock, app);
        Console.WriteLine($"""

            Sign in: {string.Join(", ", Persons.Select(person => $"{person.Name} / {person.Secret}"))}
            Once a browser is enrolled on the page Tablets, operator and packer may use the PIN {Pin} there.
            Call the API: curl -H 'Authorization: Bearer {key}' {serving.Settings.PublicUrl}/api/sites/S1/lots
            """);
        await ServeCommand.Serve(web, app, stop);
        return 0;
    }

    private static void Prepare(string folder)
    {
        if (!Directory.Exists(folder)) Directory.CreateDirectory(folder);
        var marker = Path.Combine(folder, Marker);
        if (Directory.EnumerateFileSystemEntries(folder).Any() && !File.Exists(marker))
            throw new CommandRefusedException($"{folder} is not empty and not a demo's folder; the demo would not touch it. Give another --data.");
        foreach (var file in Directory.EnumerateFiles(folder)) File.Delete(file);
        foreach (var inside in Directory.EnumerateDirectories(folder)) Directory.Delete(inside, recursive: true);
        File.WriteAllText(marker, "The demo builds this folder anew each time it runs.\n");
    }

    /// <summary>Writes the label and the recall reports, and says where they lie and what is shipped while held.</summary>
    private static async Task Finish(TraceApp app, DemoPlayer player, Core.Operations.SiteLedger site)
    {
        var folder = Path.Combine(app.Settings.DataFolder, "documents");
        Directory.CreateDirectory(folder);
        var now = app.Clock.GetUtcNow();
        var found = await site.ReadAsync(state => new
        {
            Labels = player.Names.Values.Select(state.FindPrint).Where(print => print is not null).Select(print =>
                (print!.Value.Print.Id, print.Value.Print.Seq)).ToList(),
            Reports = state.Recalls.Values.Select(recall => (Report: RecallReport.Of(state, recall, now), Letters: recall.Notices
                .Select(notice => Views.NoticeView.Of(state, recall, notice, app.Settings.PublicUrl)).ToList())).ToList(),
            Held = state.Lots.Where(lot => LotSummary.Of(state, lot, now).ShippedWhileHeld).Select(lot => lot.Code).ToList(),
            state.Head,
        });
        Console.WriteLine($"\n{found.Head} journal entries. Shipped while held: {string.Join(", ", found.Held.DefaultIfEmpty("none"))}");
        foreach (var (id, seq) in found.Labels)
        {
            await using var labels = (await DocumentEndpoints.Draw(app, site.Code, seq))!;
            await Write($"label-{id}.pdf", labels);
        }

        foreach (var (report, letters) in found.Reports)
        {
            foreach (var letter in letters)
            {
                await Write($"letter-{letter.Notice}.pdf", new MemoryStream(ReportPdf.Draw(NoticeDocument.Letter(letter, now))));
                Console.WriteLine($"{letter.Customer} answers at {letter.Address}");
            }

            await Write($"recall-{report.Recall}.pdf", new MemoryStream(RecallDocument.Draw(report)));
            await Write($"recall-{report.Recall}.csv", new MemoryStream(System.Text.Encoding.UTF8.GetBytes(RecallDocument.Csv(report))));
        }

        async Task Write(string name, Stream content)
        {
            var path = Path.Combine(folder, name);
            await using var file = File.Create(path);
            await content.CopyToAsync(file);
            Console.WriteLine($"Written: {path}");
        }
    }
}
