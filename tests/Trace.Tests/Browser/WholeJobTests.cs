using Microsoft.Playwright;
using Trace.Core.Access;
using Trace.Tests.Web;
using Xunit;

namespace Trace.Tests.Browser;

/// <summary>The whole job in a browser, each person with their own: operator, packer, quality officer, buyer.</summary>
[Collection(BrowserTests.Name)]
public sealed class WholeJobTests(Chromium browser)
{
    [Fact]
    public async Task Larvae_become_labelled_packs_that_a_buyer_asks_about_and_a_recall_reaches()
    {
        await using var site = await RunningSite.Start();
        await using var bench = await AtBench.Begin(site, await browser.Person(site.Address), clockCanJump: true);
        var batch = await Dry(bench);

        // The operator leaves the batch hot, and the packer is too early.
        await TakeCore(bench, "71");
        await using var packer = await SignIn(site, "Pia", RoleName.Packer);
        await Pack(packer, batch);
        await Assertions.Expect(packer.Locator("main")).ToContainTextAsync("Not cold yet");
        Assert.Equal(3, await LotCount(site));

        await bench.Later(TimeSpan.FromMinutes(45));
        await TakeCore(bench, "22,5");
        await bench.Later(TimeSpan.FromMinutes(1));
        await Pack(packer, batch);
        await Assertions.Expect(packer.Locator("main")).ToContainTextAsync("Recorded: Pack.");
        var packed = await Newest(bench);
        await Record(packer, "labels/print", ("lot", packed), ("copies", "2"));
        Assert.Equal(2, await site.App.Site("S1")!.ReadAsync(state => state.Find(packed)!.Prints.Sum(print => print.Copies)));
        await Record(
            packer, "shipping/ship", ("customer", "Example Pets Ltd"), ("reference", "DN-1"),
            ("lines[0].lot", packed), ("lines[0].packs", "1"));

        // The buyer scans, without a name and without script.
        await using var phone = await browser.Person(site.Address);
        var buyer = await phone.NewPageAsync();
        await buyer.GotoAsync($"/lot/S1/{packed}");
        await Assertions.Expect(buyer.Locator("main")).ToContainTextAsync("Cooled");
        await Assertions.Expect(buyer.Locator("main")).Not.ToContainTextAsync("Example Pets Ltd");
        await buyer.GotoAsync($"/lot/S1/{packed}/complaint");
        await buyer.FillAsync("textarea[name=what]", "A piece of blue plastic in the pack");
        await buyer.CheckAsync("input[name='harm.injury']");
        await buyer.ClickAsync("main form button");

        // The quality officer finds it on top of the desk, and takes back what the batch went into.
        await using var quality = await SignIn(site, "Quin", RoleName.Quality);
        await quality.GotoAsync("/quality?site=S1");
        await Assertions.Expect(quality.Locator("main")).ToContainTextAsync("blue plastic");
        await Record(quality, "recalls/open", ("lots", batch), ("kind", "recall"), ("reason", "blue plastic in a pack"));
        await quality.GotoAsync("/sites/S1/recalls/R01");
        foreach (var told in new[] { packed, "Example Pets Ltd" })
            await Assertions.Expect(quality.Locator("main")).ToContainTextAsync(told);
        await buyer.GotoAsync($"/lot/S1/{packed}");
        await Assertions.Expect(buyer.Locator("main")).ToContainTextAsync("RECALL");

        // And nobody gets another label.
        await Record(packer, "labels/print", ("lot", packed), ("copies", "1"), ("reason", "torn"));
        await Assertions.Expect(packer.Locator("main")).ToContainTextAsync("recall");
        Assert.Equal(2, await site.App.Site("S1")!.ReadAsync(state => state.Find(packed)!.Prints.Sum(print => print.Copies)));
    }

    /// <summary>From the delivery to the weighed batch on the tablet; gives the batch.</summary>
    private static async Task<string> Dry(AtBench bench)
    {
        await bench.Receive("1000");
        await bench.Sent();
        await bench.Open($"lot/{await Newest(bench)}");
        for (var reading = 0; reading < 7; reading++)
        {
            await bench.Later(TimeSpan.FromSeconds(25));
            await bench.Page.GetByLabel("Core temperature").FillAsync("75,5");
            await bench.Page.GetByText("Add reading").ClickAsync();
            await Assertions.Expect(bench.Page.Locator(".readings li")).ToHaveCountAsync(reading + 1);
        }

        await bench.Page.GetByText("The run is over").ClickAsync();
        await bench.Page.GetByLabel("Mass after draining").FillAsync("990");
        await bench.Page.GetByText("Record the run: 990 g out").ClickAsync();
        await bench.See("Start drying");
        await bench.Sent();
        await bench.Later(TimeSpan.FromMinutes(40));
        await bench.Open("");
        await bench.Open($"lot/{await Newest(bench)}");
        await bench.See("Start drying");
        await bench.Page.GetByLabel("Dryer").FillAsync("M1");
        await bench.Page.GetByLabel("Power to the load").FillAsync("2000");
        await bench.Page.GetByText("Start: 990 g in M1").ClickAsync();
        await bench.See("Still to lose");
        await bench.Page.GetByText("Other times").ClickAsync();
        await bench.Page.GetByLabel("Heat").FillAsync("1500");
        await bench.Page.GetByLabel("Vent pause").FillAsync("1");
        await bench.Page.GetByText("Start cycle 1: 1500 s").ClickAsync();
        await bench.Later(TimeSpan.FromMinutes(27));
        await bench.See("Mass now");
        await bench.Page.GetByLabel("Mass now").FillAsync("300");
        await bench.Page.GetByText("Vented. Enough: weigh out").ClickAsync();
        await bench.Page.GetByLabel("Mass out").FillAsync("298");
        await bench.Page.GetByText("Puffed, and crumbles").ClickAsync();
        await bench.Page.GetByText("Record 298 g out").ClickAsync();
        await bench.See("Take the core temperature");
        await bench.Sent();
        return await Newest(bench);
    }

    private static async Task TakeCore(AtBench bench, string celsius)
    {
        await bench.Open("");
        await bench.Open($"lot/{await Newest(bench)}");
        await bench.See("Take the core temperature");
        await bench.Page.GetByLabel("Core temperature").FillAsync(celsius);
        await bench.Page.GetByLabel("Room").FillAsync("22");
        var before = (await bench.Entries("cooling.read")).Count;
        await bench.Page.ClickAsync("form.record .main-button");
        await bench.Recorded("cooling.read", before + 1);
    }

    private static Task Pack(Desk packer, string batch) => Record(
        packer, "packing/pack", ("inputs[0].lot", batch), ("inputs[0].massGrams", "298"), ("packs", "2"), ("netMassGrams", "149"));

    private static Task<string> Newest(AtBench bench) => bench.Site.App.Site("S1")!.ReadAsync(state => state.Lots[^1].Code);

    private static Task<int> LotCount(RunningSite site) => site.App.Site("S1")!.ReadAsync(state => state.Lots.Count);

    private async Task<Desk> SignIn(RunningSite site, string name, RoleName role)
    {
        await site.AddPerson(name, role, RunningSite.Password);
        var page = await (await browser.Person(site.Address, 1280, 800)).NewPageAsync();
        await page.GotoAsync("/sign-in");
        await page.FillAsync("input[name=name]", name);
        await page.FillAsync("input[name=secret]", RunningSite.Password);
        await page.ClickAsync("main form button");
        await page.WaitForURLAsync("**/bench**");
        return new Desk(page);
    }

    private static async Task Record(Desk desk, string operation, params (string Field, string Value)[] fields)
    {
        await desk.GotoAsync($"/sites/S1/record/{operation}");
        foreach (var (field, value) in fields)
        {
            var input = desk.Locator($"main form [name='{field}']");
            if (await input.EvaluateAsync<string>("one => one.tagName") == "SELECT") await input.SelectOptionAsync(value);
            else await input.FillAsync(value);
        }

        var send = desk.Locator("main form button[type=submit], main form button:not([type])").Last;
        await desk.Page.RunAndWaitForResponseAsync(() => send.ClickAsync(), answer => answer.Request.Method == "POST");
        await desk.Page.WaitForLoadStateAsync(LoadState.DOMContentLoaded);
    }

    /// <summary>A person's own browser with one page open.</summary>
    private sealed class Desk(IPage page) : IAsyncDisposable
    {
        public IPage Page => page;

        public Task<IResponse?> GotoAsync(string address) => page.GotoAsync(address);

        public ILocator Locator(string selector) => page.Locator(selector);

        public async ValueTask DisposeAsync() => await page.Context.DisposeAsync();
    }
}
