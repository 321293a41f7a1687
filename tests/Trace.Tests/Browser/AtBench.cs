using Microsoft.Playwright;
using Trace.Core.Access;
using Trace.Tests.Web;
using Trace.Web.Access;
using Xunit;

namespace Trace.Tests.Browser;

/// <summary>An enrolled tablet in somebody's hands, with the screen <c>/now/</c> open, beside a server whose clock runs.</summary>
internal sealed class AtBench : IAsyncDisposable
{
    private readonly Timer clock;

    private AtBench(RunningSite site, IBrowserContext tablet, IPage page)
    {
        (Site, Tablet, Page) = (site, tablet, page);

        // The server's clock stands still in tests; a tablet's does not.
        clock = new Timer(_ => site.Clock.Advance(TimeSpan.FromMilliseconds(200)), null, 200, 200);
    }

    public RunningSite Site { get; }

    public IBrowserContext Tablet { get; }

    public IPage Page { get; private set; }

    public static async Task<AtBench> Begin(RunningSite site, IBrowserContext tablet, string name = "Ann", bool clockCanJump = false)
    {
        if (clockCanJump) await tablet.AddInitScriptAsync("const real = Date.now; Date.now = () => real.call(Date) + Number(localStorage.getItem('ahead') ?? 0);");
        await site.AddPerson(name, RoleName.Operator, RunningSite.Pin);
        var (cookie, kept) = Secrets.NewDevice("Bench 1");
        await site.App.Access.Record(kept, "test", "test");
        await tablet.AddCookiesAsync([new() { Name = "trace-tablet", Value = cookie, Url = site.Address.ToString() }]);
        var bench = new AtBench(site, tablet, await tablet.NewPageAsync());
        await bench.SignIn(name);
        await bench.State(name);
        return bench;
    }

    /// <summary>Time passes on the tablet and at the server, without anybody waiting for it.</summary>
    public async Task Later(TimeSpan time)
    {
        Site.Clock.Advance(time);
        await Page.EvaluateAsync("more => localStorage.setItem('ahead', Number(localStorage.getItem('ahead') ?? 0) + more)", time.TotalMilliseconds);
    }

    public async Task SignIn(string name)
    {
        await Page.GotoAsync("/sign-in?returnUrl=/now/");
        await Page.FillAsync("input[name=name]", name);
        await Page.FillAsync("input[name=secret]", RunningSite.Pin);
        await Page.ClickAsync("main form button");
        await Page.WaitForURLAsync("**/now/");
        await Page.WaitForSelectorAsync("#code");

        // Without it the screen does not open when the network is gone.
        await Page.EvaluateAsync("navigator.serviceWorker.ready.then(() => true)");
    }

    /// <summary>Waits until the top of the screen says that nothing waits.</summary>
    public Task Sent() => State("All sent");

    public Task State(string text) => Assertions.Expect(Page.Locator("#top")).ToContainTextAsync(text, new() { Timeout = 20_000 });

    public Task Open(string hash) => Page.EvaluateAsync("hash => { location.hash = hash; }", hash);

    public Task See(string text) => Assertions.Expect(Page.Locator("main")).ToContainTextAsync(text, new() { Timeout = 10_000 });

    /// <summary>Takes in larvae of so many grams, as the screen asks it.</summary>
    public async Task Receive(string grams, string supplier = "Example Farm")
    {
        await Open("receive");
        await Page.GetByLabel("Supplier").FillAsync(supplier);
        await Page.GetByLabel("Mass").FillAsync(grams);
        await Page.ClickAsync("form.record .main-button");
        await See("Fresh larvae");
        await Open("");
        await Page.WaitForSelectorAsync("#code");
    }

    /// <summary>The tab is closed and opened anew, from the tablet's own files if there is no network.</summary>
    public async Task CloseAndOpen()
    {
        await Page.CloseAsync();
        Page = await Tablet.NewPageAsync();
        await Page.GotoAsync("/now/");
        await Page.WaitForSelectorAsync("#code");
    }

    public Task<List<string>> Entries(string type) => Task.FromResult(Site.App.Journal.Read("S1").Where(entry => entry.Entry.Type == type)
        .Select(entry => entry.Entry.Payload).ToList());

    /// <summary>Waits until so many entries of a type are in the journal, and not one more.</summary>
    public async Task Recorded(string type, int count)
    {
        for (var wait = 0; wait < 100 && (await Entries(type)).Count < count; wait++) await Task.Delay(100);
        Assert.Equal(count, (await Entries(type)).Count);
    }

    public async ValueTask DisposeAsync()
    {
        await clock.DisposeAsync();
        await Tablet.DisposeAsync();
    }
}
