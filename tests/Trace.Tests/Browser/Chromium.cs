using Microsoft.Playwright;
using Trace.Tests.Browser;
using Xunit;

[assembly: AssemblyFixture(typeof(Chromium))]

namespace Trace.Tests.Browser;

/// <summary>
/// One browser for all tests, started when the first asks: the one of the system (Debian: chromium), never a downloaded one. Set
/// <c>TRACE_BROWSER</c> where it stands elsewhere.
/// </summary>
public sealed class Chromium : IAsyncDisposable
{
    /// <summary>A cheap phone, and a laptop. Widths in CSS pixels.</summary>
    public static readonly IReadOnlyList<(string Name, int Width, int Height)> Sizes = [("phone", 360, 740), ("desktop", 1280, 800)];

    private static readonly string[] Arguments =
    [
        "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
        "--disable-component-update", "--disable-sync",
    ];

    private readonly SemaphoreSlim once = new(1);
    private IPlaywright? driver;
    private IBrowser? browser;

    public static string Path { get; } = Environment.GetEnvironmentVariable("TRACE_BROWSER") ?? "/usr/bin/chromium";

    /// <summary>A browser of its own for one person: own cookies, own storage.</summary>
    public async Task<IBrowserContext> Person(Uri site, int width = 360, int height = 740, bool reducedMotion = false, string language = "en") =>
        await (await Started()).NewContextAsync(new BrowserNewContextOptions
        {
            BaseURL = site.ToString(),
            ViewportSize = new ViewportSize { Width = width, Height = height },
            HasTouch = width < 800,
            IsMobile = width < 800,
            ReducedMotion = reducedMotion ? ReducedMotion.Reduce : null,
            Locale = language,
        });

    /// <summary>A browser whose camera shows a film (Motion JPEG) over and over.</summary>
    public async Task<IBrowser> WithCamera(string film)
    {
        await Started();
        return await driver!.Chromium.LaunchAsync(new BrowserTypeLaunchOptions
        {
            ExecutablePath = Path,
            Args = [.. Arguments, "--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream", $"--use-file-for-fake-video-capture={film}"],
        });
    }

    public async ValueTask DisposeAsync()
    {
        if (browser is not null) await browser.DisposeAsync();
        driver?.Dispose();
        once.Dispose();
    }

    private async Task<IBrowser> Started()
    {
        await once.WaitAsync();
        try
        {
            Assert.True(File.Exists(Path), $"There is no browser at {Path}. Install Debian's chromium, or set TRACE_BROWSER.");
            driver ??= await Playwright.CreateAsync();
            return browser ??= await driver.Chromium.LaunchAsync(new BrowserTypeLaunchOptions
            {
                ExecutablePath = Path,
                Args = Arguments,
            });
        }
        finally
        {
            once.Release();
        }
    }
}

/// <summary>Browser tests one after another: side by side they would wait for the same two cores.</summary>
[CollectionDefinition(Name, DisableParallelization = true)]
public sealed class BrowserTests
{
    public const string Name = "browser";
}
