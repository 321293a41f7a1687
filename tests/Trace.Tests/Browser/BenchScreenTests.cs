using System.Diagnostics;
using System.Security.Cryptography;
using System.Text.RegularExpressions;
using Microsoft.Playwright;
using SkiaSharp;
using Trace.Core.Access;
using Trace.Tests.Web;
using Trace.Web.Wording;
using Xunit;

namespace Trace.Tests.Browser;

/// <summary>The screen at the bench with a network: codes in, the one next thing out.</summary>
[Collection(BrowserTests.Name)]
public sealed partial class BenchScreenTests(Chromium browser)
{
    [Fact]
    public async Task The_camera_reads_a_printed_label()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var packed = await story.Packed();
        await story.Do("labels/print", $$"""{"lot":"{{packed}}","copies":1}""");
        var print = await site.App.Site("S1")!.ReadAsync(state => state.Find(packed)!.Prints[0].Id);
        var script = await site.WithKey(RoleName.Owner);
        var folder = Directory.CreateTempSubdirectory("trace-film-");
        try
        {
            var film = await Film(folder.FullName, await script.GetByteArrayAsync($"/api/sites/S1/labels/{print}.pdf", TestContext.Current.CancellationToken));
            await using var eyes = await browser.WithCamera(film);
            await using var bench = await AtBench.Begin(site, await eyes.NewContextAsync(new() { BaseURL = site.Address.ToString(), Locale = "en" }));
            await bench.Page.GetByText("Scan with the camera").ClickAsync();
            await Assertions.Expect(bench.Page.Locator("h1 bdi")).ToHaveTextAsync(packed, new() { Timeout = 30_000 });
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    /// <summary>Element strings and addresses as in the examples of GS1's standards (General Specifications; Digital Link URI syntax), from memory.</summary>
    [Fact]
    public async Task Codes_are_understood_in_every_way_that_they_are_written()
    {
        await using var site = await RunningSite.Start();
        await using var person = await browser.Person(site.Address);
        var page = await person.NewPageAsync();
        await page.GotoAsync("/now/");
        (string Text, string? Lot)[] cases =
        [
            ("p261117-001d", "P261117-001D"), (" C-01 ", "C-01"),
            ("https://id.gs1.org/01/09506000134352/10/ABC123", "ABC123"), ("https://id.gs1.org/01/09506000134352/10/ABC123/21/456?17=270101", "ABC123"),
            ("https://example.org/some/path/01/09506000134352/10/A%2F1", "A/1"),
            ("https://trace.example.org/lot/S1/P261117-001D", "P261117-001D"), ("https://trace.example.org/sites/S1/lots/D261117-001D", "D261117-001D"),
            ("(01)09521234543213(10)ABC123", "ABC123"), ("]d201095212345432131724010110ABC123\u001d21456", "ABC123"), ("]C10109521234543213" + "10ABC123", "ABC123"),
            ("https://example.org/nothing", null), ("two words", null), ("", null), ("javascript:alert(1)", null),
        ];
        var found = await page.EvaluateAsync<string?[]>("texts => import('/now/codes.js').then(codes => texts.map(codes.codeOf))", cases.Select(one => one.Text).ToArray());
        Assert.Equal(cases.Select(one => one.Lot), found);
    }

    [Fact]
    public async Task Numbers_are_read_as_people_write_them_and_a_comma_never_makes_ten_times_the_mass()
    {
        await using var site = await RunningSite.Start();
        await using var person = await browser.Person(site.Address);
        var page = await person.NewPageAsync();
        await page.GotoAsync("/now/");
        string[] texts = ["312.5", "312,5", " 7 ", "٣١٢٫٥", "-3,5", "1.250,5", "1,250.5", "1 250", "12a", "", "1e3", "0x10", "99999999"];
        var found = await page.EvaluateAsync<double?[]>("texts => import('/now/words.js').then(words => texts.map(words.parseNumber))", texts);
        Assert.Equal([312.5, 312.5, 7, 312.5, -3.5, null, null, null, null, null, null, null, null], found);
    }

    [Fact]
    public async Task A_batch_like_the_last_one_takes_three_touches_and_two_numbers()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        await story.WeighedOut();
        var sanitised = await story.Sanitise(await story.Receive());
        site.Clock.Advance(TimeSpan.FromHours(1));
        await using var bench = await AtBench.Begin(site, await browser.Person(site.Address));
        await bench.Page.FillAsync("#code", $"{site.Address}sites/S1/lots/{sanitised}");
        await bench.Page.Keyboard.PressAsync("Enter");
        await bench.See("Start drying");

        await bench.Page.GetByText("Write down a finished batch").ClickAsync();
        await bench.See("M1, 2000 W, 1 cycles of 1500 s");
        await bench.Page.GetByLabel("Mass in").FillAsync("1000");
        await bench.Page.GetByLabel("Mass out").FillAsync("305,5");
        await bench.Page.GetByText("Puffed, and crumbles").ClickAsync();
        await bench.Page.GetByText("Record: 1000 g in, 305.5 g out").ClickAsync();
        await bench.See("Take the core temperature");
        await bench.Sent();
        var batch = await site.App.Site("S1")!.ReadAsync(state => state.Lots[^1]);
        Assert.Equal((305.5m, 1), (batch.Made.Grams, ((Core.Lots.DryingRecord)batch.Record).Cycles.Count));
    }

    [Fact]
    public async Task A_held_batch_shows_its_degrees_the_time_that_is_forecast_and_the_way_out()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var batch = await story.WeighedOut();
        foreach (var core in new[] { 70, 60, 52 })
        {
            await story.Do("cooling/reading", $$"""{"lot":"{{batch}}","coreCelsius":{{core}},"roomCelsius":22,"happenedAt":"{{story.Now}}"}""");
            site.Clock.Advance(TimeSpan.FromMinutes(4));
        }

        await using var bench = await AtBench.Begin(site, await browser.Person(site.Address));
        await bench.Open($"lot/{batch}");
        await bench.See("Core 52 °C");
        await bench.See("52 → 27 °C");
        await bench.See("Way out: A core reading at or below the limit");
        Assert.Matches(AboutWhen(), await bench.Page.InnerTextAsync("main"));
        await bench.See("Take the core temperature");
    }

    [Theory]
    [InlineData("fr", "Recevoir des larves", "Recevoir 12,5 g")]
    [InlineData("es", "Recibir larvas", "Recibir 12,5 g")]
    [InlineData("id", "Terima larva", "Terima 12,5 g")]
    [InlineData("sw", "Pokea viwavi", "Pokea g 12.5")]
    public async Task The_screen_speaks_the_language_of_the_tablet(string language, string title, string said)
    {
        await using var site = await RunningSite.Start();
        await using var bench = await AtBench.Begin(site, await browser.Person(site.Address, language: language));
        await bench.Open("receive");
        await bench.See(title);
        Assert.Equal(language, await bench.Page.EvaluateAsync<string>("document.documentElement.lang"));
        await bench.Page.Locator("form.record input").First.FillAsync("Example Farm");
        await bench.Page.Locator("form.record input.number").First.FillAsync("12,5");
        await bench.See(said);
    }

    /// <summary>So that no touch is missed with a wet glove, and none lands beside.</summary>
    [Fact]
    public async Task Everything_to_touch_is_at_least_48_pixels_high()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        await story.InDryer();
        var warm = await story.WeighedOut();
        await using var bench = await AtBench.Begin(site, await browser.Person(site.Address));
        foreach (var hash in new[] { "", "receive", "waiting", $"lot/{warm}" })
        {
            await bench.Open(hash);
            await bench.Page.WaitForTimeoutAsync(300);
            var small = await bench.Page.EvaluateAsync<string[]>("""
                () => [...document.querySelectorAll('a, button, input, select, summary, .choices label')]
                  .filter(one => one.checkVisibility() && !one.closest('.choices label:not(:scope)') && one.type !== 'radio' && one.getBoundingClientRect().height < 48 && !one.classList.contains('skip'))
                  .map(one => one.outerHTML.slice(0, 80))
                """);
            Assert.True(small.Length == 0, $"{hash}: {string.Join('\n', small)}");
        }
    }

    [Fact]
    public async Task The_first_view_is_at_most_120_kilobytes()
    {
        await using var site = await RunningSite.Start();
        await using var bench = await AtBench.Begin(site, await browser.Person(site.Address));
        var (total, page) = (0L, await (await browser.Person(site.Address)).NewPageAsync());
        page.RequestFinished += async (_, request) =>
        {
            var sizes = await request.SizesAsync();
            Interlocked.Add(ref total, sizes.ResponseBodySize + sizes.ResponseHeadersSize);
        };
        await page.GotoAsync("/now/");
        await page.EvaluateAsync("navigator.serviceWorker.ready.then(() => true)");
        await page.WaitForTimeoutAsync(1000);
        Assert.InRange(total, 10_000, 120_000);
        await page.Context.DisposeAsync();
    }

    /// <summary>SHA-256 of the files as the registry served zxing-wasm 3.1.4.</summary>
    [Theory]
    [InlineData("reader.js", "d33d09ce132a692faffbed0dce656c36cb2573b4b843885a6e036390d1071d95")]
    [InlineData("zxing_reader.wasm", "e8af31edb56d0522f4de74495839385ef019ba8bc90d38e5ecb2f18795d86fb2")]
    public void The_decoder_is_the_one_that_was_read(string file, string hash)
    {
        var folder = Path.Combine(AppContext.BaseDirectory, "wwwroot", "now", "zxing");
        Assert.Equal(hash, Convert.ToHexStringLower(SHA256.HashData(File.ReadAllBytes(Path.Combine(folder, file)))));
        Assert.Contains("MIT License", File.ReadAllText(Path.Combine(folder, "LICENSE")), StringComparison.Ordinal);
        Assert.Contains("Apache License", File.ReadAllText(Path.Combine(folder, "LICENSE-zxing-cpp")), StringComparison.Ordinal);
    }

    [Fact]
    public void Every_word_that_the_screen_asks_for_is_in_the_files()
    {
        var scripts = string.Concat(Directory.GetFiles(Path.Combine(AppContext.BaseDirectory, "wwwroot", "now"), "*.js").Select(File.ReadAllText));
        var asked = AskedKey().Matches(scripts).Select(match => match.Groups[1].Value).Where(key => !key.EndsWith('.')).Distinct().ToList();
        Assert.True(asked.Count > 80);
        string[] made =
        [
            .. new[] { "harvest", "sanitised", "dried", "bulk", "packed" }.Select(kind => $"now.kind.{kind}"), "now.phase.heat", "now.phase.vent",
            .. Core.Holds.HoldRules.All.Select(rule => $"now.hold.{rule.Code}"),
        ];
        Assert.Equal([], asked.Concat(made).Except(PageWords.All[0].OfTheBench.Keys));
        Assert.Equal([], PageWords.All[0].OfTheBench.Keys.Where(key => key.StartsWith("now.", StringComparison.Ordinal) && !key.StartsWith("now.next.", StringComparison.Ordinal)
            && !key.StartsWith("now.field.", StringComparison.Ordinal)).Except(asked.Concat(made)));
    }

    /// <summary>What a camera would see: the label on a table, in a film of a few frames.</summary>
    private static async Task<string> Film(string folder, byte[] pdf)
    {
        await File.WriteAllBytesAsync(Path.Combine(folder, "label.pdf"), pdf);
        using var raster = Process.Start(new ProcessStartInfo("pdftoppm", ["-r", "203", "-png", "-singlefile", "label.pdf", "label"]) { WorkingDirectory = folder })!;
        await raster.WaitForExitAsync();
        using var label = SKBitmap.Decode(Path.Combine(folder, "label.png"));
        using var frame = new SKBitmap(640, 480);
        using (var canvas = new SKCanvas(frame))
        {
            canvas.Clear(new SKColor(150, 140, 130));
            canvas.Translate(320, 240);
            canvas.RotateDegrees(7);
            canvas.DrawBitmap(label, new SKRect(-260, -260f * label.Height / label.Width, 260, 260f * label.Height / label.Width), new SKSamplingOptions(SKFilterMode.Linear));
        }

        using var picture = frame.Encode(SKEncodedImageFormat.Jpeg, 85);
        var film = Path.Combine(folder, "label.mjpeg");
        await using var file = File.Create(film);
        for (var count = 0; count < 20; count++) await file.WriteAsync(picture.ToArray());
        return film;
    }

    [GeneratedRegex(@"about \d\d:\d\d \(in \d+:\d\d min\) ± \d+ min")]
    private static partial Regex AboutWhen();

    [GeneratedRegex(@"'(now\.[a-z][a-z./-]*)'")]
    private static partial Regex AskedKey();
}
