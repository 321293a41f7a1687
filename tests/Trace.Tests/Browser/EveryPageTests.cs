using Deque.AxeCore.Commons;
using Deque.AxeCore.Playwright;
using Microsoft.Playwright;
using Trace.Core.Access;
using Trace.Tests.Web;
using Xunit;

namespace Trace.Tests.Browser;

/// <summary>
/// Every page at the size of a cheap phone and of a laptop, judged by axe-core 4.11 (rules for WCAG 2.2, level AA) and measured. With
/// <c>TRACE_PICTURES</c> a folder, each is written there as a picture, for people to look at.
/// </summary>
[Collection(BrowserTests.Name)]
public sealed class EveryPageTests(Chromium browser, ITestOutputHelper output)
{
    private static readonly string[] Levels = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

    [Fact]
    public async Task Every_page_is_readable_for_all_and_fits_the_screen()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var tour = await PageTour.Begin(site);
        Assert.Empty(tour.Forgotten);
        var faults = new List<string>();
        var seen = 0;
        foreach (var (size, width, height) in Chromium.Sizes)
        {
            await using var person = await browser.Person(site.Address, width, height);
            var page = await person.NewPageAsync();
            page.Console += (_, message) =>
            {
                if (message.Type == "error" && !message.Text.Contains("status of 4", StringComparison.Ordinal)) faults.Add($"{page.Url}: {message.Text}");
            };
            foreach (var (name, address) in await SignedIn(tour, site, page))
            {
                seen++;
                await page.GotoAsync(address);
                await Picture(page, $"{name}-{size}");
                if (await page.EvaluateAsync<int>("document.documentElement.scrollWidth - document.documentElement.clientWidth") is > 0 and var over)
                    faults.Add($"{size} {address}: {over} px wider than the screen");
                faults.AddRange(Told(await page.RunAxe(Options)).Select(fault => $"{size} {address}: {fault}"));
            }
        }

        output.WriteLine($"{seen} pages");
        Assert.True(seen > 100);
        Assert.True(faults.Count == 0, string.Join('\n', faults.Distinct()));
    }

    /// <summary>So that the judge is known to judge.</summary>
    [Fact]
    public async Task Faults_that_are_planted_are_found()
    {
        await using var site = await RunningSite.Start();
        await using var person = await browser.Person(site.Address);
        var page = await person.NewPageAsync();
        await page.GotoAsync("/sign-in");
        Assert.Empty(Told(await page.RunAxe(Options)));
        await page.EvaluateAsync("""
            const input = document.createElement('input'); const pale = document.createElement('p'); pale.textContent = 'pale'; pale.setAttribute('class', 'planted');
            document.querySelector('main').append(input, pale); pale.style.color = '#ddd'; pale.style.background = '#fff'; document.documentElement.removeAttribute('lang');
            """);
        var found = string.Join(' ', Told(await page.RunAxe(Options)));
        foreach (var rule in new[] { "label", "color-contrast", "html-has-lang" }) Assert.Contains(rule, found, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Zoomed_to_twice_the_size_nothing_is_cut_off()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var tour = await PageTour.Begin(site);

        // WCAG 2.2, 1.4.10: 320 CSS pixels are what a window of 640 shows at 200 %, and one of 1280 at 400 %.
        await using var person = await browser.Person(site.Address, 320, 640, reducedMotion: true);
        var page = await person.NewPageAsync();
        var faults = new List<string>();
        foreach (var (_, address) in await SignedIn(tour, site, page))
        {
            await page.GotoAsync(address);
            if (await page.EvaluateAsync<int>("document.documentElement.scrollWidth - document.documentElement.clientWidth") is > 0 and var over)
                faults.Add($"{address}: {over} px");
        }

        Assert.True(faults.Count == 0, string.Join('\n', faults));
    }

    [Fact]
    public async Task The_job_at_the_bench_can_be_done_with_the_keyboard_alone()
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Ann", RoleName.Operator);
        await using var person = await browser.Person(site.Address, 1280, 800);
        var page = await person.NewPageAsync();
        await page.GotoAsync("/sign-in");
        await TabTo(page, "input[name=name]");
        await page.Keyboard.TypeAsync("Ann");
        await TabTo(page, "input[name=secret]");
        await page.Keyboard.TypeAsync(RunningSite.Password);
        await page.Keyboard.PressAsync("Enter");
        await page.WaitForURLAsync("**/bench**");

        // The first stop of every page leads past the navigation.
        await page.Keyboard.PressAsync("Tab");
        Assert.Equal("#main", await page.EvaluateAsync<string>("document.activeElement.getAttribute('href')"));
        await TabTo(page, "a[href$='/record/receiving/receive']");
        await page.Keyboard.PressAsync("Enter");
        await page.WaitForURLAsync("**/receiving/receive");
        await TabTo(page, "[name=supplier]");
        await page.Keyboard.TypeAsync("Example Farm");
        await TabTo(page, "[name=massGrams]");
        await page.Keyboard.TypeAsync("1250,5");
        await page.Keyboard.PressAsync("Enter");
        await page.WaitForURLAsync("**/lots/**");
        var grams = await site.App.Site("S1")!.ReadAsync(state => Assert.Single(state.Lots).Made.Grams);
        Assert.Equal(1250.5m, grams);
    }

    private static async Task TabTo(IPage page, string selector)
    {
        for (var stops = 0; stops < 60; stops++)
        {
            if (await page.EvaluateAsync<bool>("wanted => document.activeElement?.matches(wanted) ?? false", selector))
            {
                // What has the focus shows it.
                Assert.NotEqual("none", await page.EvaluateAsync<string>("getComputedStyle(document.activeElement).outlineStyle"));
                return;
            }

            await page.Keyboard.PressAsync("Tab");
        }

        Assert.Fail($"The keyboard does not reach {selector}.");
    }

    private static AxeRunOptions Options => new() { RunOnly = new RunOnlyOptions { Type = "tag", Values = [.. Levels] } };

    private static IEnumerable<string> Told(AxeResult result) => result.Violations.Select(fault =>
        $"{fault.Id} ({fault.Help}): {string.Join(" | ", fault.Nodes.Take(3).Select(node => node.Html))}");

    /// <summary>Signs the owner in, who may open every page; strangers' pages show him the same.</summary>
    private static async Task<List<(string Name, string Address)>> SignedIn(PageTour tour, RunningSite site, IPage page)
    {
        var name = $"Owner {Guid.NewGuid():N}";
        await site.AddPerson(name, RoleName.Owner);
        await page.GotoAsync("/sign-in");
        await page.FillAsync("input[name=name]", name);
        await page.FillAsync("input[name=secret]", RunningSite.Password);
        await page.ClickAsync("main form button");
        await page.WaitForURLAsync("**/bench**");
        return [.. tour.Pages];
    }

    private static async Task Picture(IPage page, string name)
    {
        if (Environment.GetEnvironmentVariable("TRACE_PICTURES") is { Length: > 0 } folder)
            await page.ScreenshotAsync(new PageScreenshotOptions { Path = Path.Combine(folder, name + ".png"), FullPage = true });
    }
}
