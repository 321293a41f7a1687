using System.Text.Json;
using Trace.Core.Access;
using Trace.Core.Lots;
using Trace.Tests.Web;
using Trace.Web.Hosting;
using Trace.Web.Printers;
using Xunit;

namespace Trace.Tests.Printers;

/// <summary>The running program with a packed lot, its printed labels, and a printer in the books.</summary>
internal sealed class PrintingPlant : IAsyncDisposable
{
    /// <summary>Short, so that a test of what does not answer is soon over.</summary>
    public static readonly PrinterLimits Short = new() { Connecting = TimeSpan.FromSeconds(2), Asking = TimeSpan.FromSeconds(1), Sending = TimeSpan.FromSeconds(1) };

    private PrintingPlant(RunningSite site, BenchStory story, HttpClient packer, string lot)
    {
        Site = site;
        Story = story;
        Packer = packer;
        Lot = lot;
    }

    public RunningSite Site { get; }

    public BenchStory Story { get; }

    /// <summary>A browser in which the packer has signed in.</summary>
    public HttpClient Packer { get; }

    public string Lot { get; }

    /// <summary>Print L00001 has ten labels.</summary>
    public static async Task<PrintingPlant> With(string address, PrinterLimits? limits = null)
    {
        var site = await RunningSite.Start(printers: limits ?? Short);
        var story = await BenchStory.Begin(site);
        var lot = await story.Packed();
        await story.Do("labels/print", $$"""{"lot":"{{lot}}","copies":10}""");
        await story.Do("printers/describe", $$"""{"name":"Bench","address":"{{address}}","widthMm":70,"heightMm":50}""");
        return new PrintingPlant(site, story, await site.SignedIn(RoleName.Packer, "Pia"), lot);
    }

    public Task Send(string print = "L00001", string more = "") =>
        Story.Do("labels/send", $$"""{"lot":"{{Lot}}","print":"{{print}}","printer":"Bench"{{more}}}""");

    public Task Cancel(string job = "J00001") => Story.Do("labels/cancel", $$"""{"lot":"{{Lot}}","job":"{{job}}"}""");

    public Task<LabelJob> Job(string id = "J00001") => Site.App.Site(TraceApp.FirstSite)!.ReadAsync(state => state.Find(Lot)!.Jobs.Single(job => job.Id == id));

    public Task<LabelAccount> Account() => Site.App.Site(TraceApp.FirstSite)!.ReadAsync(state => LabelAccount.Of(state.Find(Lot)!)!);

    public async Task<LabelJob> Ended(string id = "J00001")
    {
        await Until(async () => !(await Job(id)).IsOpen);
        return await Job(id);
    }

    public Task<string> Page(string print = "L00001") => Packer.Html($"/sites/S1/labels/{print}");

    /// <summary>Lets the program's clock go on until it is so.</summary>
    public async Task Until(Func<Task<bool>> isSo)
    {
        var end = Environment.TickCount64 + 30_000;
        while (!await isSo())
        {
            Assert.True(Environment.TickCount64 < end, $"It did not come so within 30 s. The job: {await Job()}");
            Site.Clock.Advance(TimeSpan.FromSeconds(2));
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }
    }

    public Task Until(Func<bool> isSo) => Until(() => Task.FromResult(isSo()));

    /// <summary>Some rounds of the courier, in which nothing may happen.</summary>
    public async Task Rounds(int count = 5)
    {
        for (var round = 0; round < count; round++)
        {
            Site.Clock.Advance(TimeSpan.FromSeconds(3));
            await Task.Delay(40, TestContext.Current.CancellationToken);
        }
    }

    public async Task<string> Finding(string operation, string json)
    {
        var script = await Site.WithKey(RoleName.Owner);
        var answer = await script.PostJson($"/api/sites/S1/{operation}", json);
        using var document = JsonDocument.Parse(await answer.Text());
        return document.RootElement.GetProperty("finding").GetString()!;
    }

    public ValueTask DisposeAsync() => Site.DisposeAsync();
}
