using Microsoft.Playwright;
using Trace.Core.Access;
using Trace.Tests.Web;
using Xunit;

namespace Trace.Tests.Browser;

/// <summary>The screen at the bench without a network: nothing is lost, nothing is recorded twice, and nobody records for somebody else.</summary>
[Collection(BrowserTests.Name)]
public sealed class OfflineTests(Chromium browser)
{
    [Fact]
    public async Task A_batch_is_made_without_network_over_a_closed_tab_and_a_restarted_server()
    {
        await using var site = await RunningSite.Start();
        await using var bench = await AtBench.Begin(site, await browser.Person(site.Address), clockCanJump: true);
        await bench.Receive("1000");
        await bench.Sent();
        var harvest = await site.App.Site("S1")!.ReadAsync(state => Assert.Single(state.Lots).Code);
        await bench.Tablet.SetOfflineAsync(true);

        await bench.Open($"lot/{harvest}");
        foreach (var reading in Enumerable.Range(1, 3))
        {
            await bench.Later(TimeSpan.FromSeconds(25));
            await bench.Page.GetByLabel("Core temperature").FillAsync("75,5");
            await bench.Page.GetByText("Add reading").ClickAsync();
            await Assertions.Expect(bench.Page.Locator(".readings li")).ToHaveCountAsync(reading);
        }

        await bench.CloseAndOpen();
        await bench.Open($"lot/{harvest}");
        await Assertions.Expect(bench.Page.Locator(".readings li")).ToHaveCountAsync(3);
        await bench.Page.GetByText("The run is over").ClickAsync();
        await bench.Page.GetByLabel("Mass after draining").FillAsync("990");
        await bench.Page.GetByText("Record the run: 990 g out").ClickAsync();

        // The lot has no code yet, and goes on all the same.
        await bench.See("Start drying");
        await bench.Page.GetByLabel("Dryer").FillAsync("M1");
        await bench.Page.GetByLabel("Power to the load").FillAsync("900");
        await bench.Page.GetByText("Start: 990 g in M1").ClickAsync();
        await bench.See("Still to lose: 660 g");
        await bench.Page.GetByText("Other times").ClickAsync();
        await bench.Page.GetByLabel("Heat").FillAsync("1");
        await bench.Page.GetByLabel("Vent pause").FillAsync("1");
        await bench.Page.GetByText("Start cycle 1: 1 s").ClickAsync();
        await bench.See("Mass now");
        await bench.Page.GetByLabel("Mass now").FillAsync("300");
        await bench.See("Down to the mass wanted");
        await bench.Page.GetByText("Vented. Enough: weigh out").ClickAsync();
        await bench.Page.GetByLabel("Mass out").FillAsync("298");
        await bench.Page.GetByText("Puffed, and crumbles").ClickAsync();
        await bench.See("Yield 30.1 %");
        await bench.Page.GetByText("Record 298 g out").ClickAsync();
        await bench.See("Take the core temperature");
        await bench.State("4 waiting");

        await site.Restart(samePort: true, meanwhile: bench.CloseAndOpen);
        await bench.State("4 waiting");
        await bench.Tablet.SetOfflineAsync(false);
        await bench.Page.ReloadAsync();
        await bench.Sent();

        var lots = await site.App.Site("S1")!.ReadAsync(state => state.Lots.Select(lot => (lot.Kind.ToString(), lot.Made.Grams)).ToList());
        Assert.Equal([("Harvest", 1000m), ("Sanitised", 990m), ("Dried", 298m)], lots);
        Assert.Single(await bench.Entries("drying.cycle"));
        foreach (var entry in site.App.Journal.Read("S1").Where(entry => entry.Entry.Type == "drying.weighed-out"))
            Assert.Equal(("Ann", "Bench 1"), (entry.Entry.Person, entry.Entry.Device));
    }

    [Fact]
    public async Task An_answer_that_is_lost_records_nothing_twice_and_two_tabs_do_not_either()
    {
        await using var site = await RunningSite.Start();
        await using var bench = await AtBench.Begin(site, await browser.Person(site.Address));
        var lost = 0;
        await bench.Tablet.RouteAsync("**/api/sites/S1/**", async route =>
        {
            if (Interlocked.Increment(ref lost) > 2) { await route.ContinueAsync(); return; }
            await route.FetchAsync();
            await route.AbortAsync();
        });
        await bench.Receive("500");
        await bench.State("1 waiting");
        await bench.Recorded("receiving.received", 1);
        var other = await bench.Tablet.NewPageAsync();
        await other.GotoAsync("/now/");
        await bench.Receive("600");
        await bench.Sent();
        Assert.True(lost > 2);
        await bench.Recorded("receiving.received", 2);
        await other.CloseAsync();
    }

    [Fact]
    public async Task A_refused_entry_comes_back_with_the_reason_and_what_was_made_from_it_follows_when_it_is_changed()
    {
        await using var site = await RunningSite.Start();
        await using var bench = await AtBench.Begin(site, await browser.Person(site.Address));
        await bench.Receive("1000");
        await bench.Sent();
        var harvest = await site.App.Site("S1")!.ReadAsync(state => Assert.Single(state.Lots).Code);
        await bench.Tablet.SetOfflineAsync(true);
        await bench.Open($"lot/{harvest}");
        await bench.Page.GetByLabel("Core temperature").FillAsync("75");
        await bench.Page.GetByText("Add reading").ClickAsync();
        await bench.Page.GetByText("The run is over").ClickAsync();

        // A slipped digit: more comes out than larvae can hold.
        await bench.Page.GetByLabel("Mass after draining").FillAsync("9900");
        await bench.Page.GetByText("Record the run: 9900 g out").ClickAsync();
        await bench.See("Start drying");
        await bench.Page.GetByLabel("Mass in").FillAsync("990");
        await bench.Page.GetByLabel("Dryer").FillAsync("M1");
        await bench.Page.GetByLabel("Power to the load").FillAsync("900");
        await bench.Page.GetByText("Start: 990 g in M1").ClickAsync();
        await bench.State("2 waiting");
        await bench.Tablet.SetOfflineAsync(false);
        await bench.State("1 refused");

        await bench.Open("waiting");
        await bench.See("Drain longer or check both weighings");
        await bench.See("1 waiting");
        await bench.Page.Locator("li.refused summary").ClickAsync();
        await bench.Page.GetByLabel("Mass out").FillAsync("990");
        await bench.Page.Locator("li.refused form button").ClickAsync();

        // The run is recorded now. It was one reading long, so that the gate holds the lot and the dryer comes back with its reason.
        await bench.See("Sanitised too short or too cool");
        await bench.State("1 refused");
        var lots = await site.App.Site("S1")!.ReadAsync(state => state.Lots.Select(lot => (lot.Kind.ToString(), lot.Made.Grams)).ToList());
        Assert.Equal([("Harvest", 1000m), ("Sanitised", 990m)], lots);

        // Thrown away only when somebody says it twice.
        await bench.Page.GetByText("Throw away").ClickAsync();
        await bench.See("recorded nowhere");
        await bench.Page.GetByText("Throw away").ClickAsync();
        await bench.Sent();
    }

    [Fact]
    public async Task What_somebody_recorded_waits_until_that_person_is_signed_in()
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Ben", RoleName.Operator, RunningSite.Pin);
        await using var bench = await AtBench.Begin(site, await browser.Person(site.Address));
        await bench.Tablet.SetOfflineAsync(true);
        await bench.Receive("500");
        await bench.Page.GetByLabel("Who has the tablet?").SelectOptionAsync("Ben");
        await bench.Receive("600");
        await bench.State("2 waiting");
        await bench.Tablet.SetOfflineAsync(false);
        await bench.State("1 waiting");
        Assert.Contains("500000", Assert.Single(await bench.Entries("receiving.received")), StringComparison.Ordinal);

        await bench.SignIn("Ben");
        await bench.Sent();
        Assert.Equal(["Ann", "Ben"], site.App.Journal.Read("S1").Where(entry => entry.Entry.Type == "receiving.received").Select(entry => entry.Entry.Person));
    }

    [Fact]
    public async Task A_tablet_whose_clock_is_wrong_tells_the_right_time()
    {
        await using var site = await RunningSite.Start();
        await using var bench = await AtBench.Begin(site, await browser.Person(site.Address));

        // The server of this test lives in 2026-11-25, whatever day the browser has.
        await bench.Receive("500");
        await bench.Sent();
        var entry = Assert.Single(site.App.Journal.Read("S1"), entry => entry.Entry.Type == "receiving.received").Entry;
        Assert.InRange((entry.RecordedAt - entry.HappenedAt).TotalSeconds, -2, 20);
        Assert.Equal(TimeSpan.FromHours(3), entry.HappenedAt.Offset);
    }
}
