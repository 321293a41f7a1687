using System.Net;
using System.Text.RegularExpressions;
using Microsoft.AspNetCore.Routing;
using Trace.Core.Access;
using Xunit;

namespace Trace.Tests.Web.Edges;

/// <summary>Every route of the program, found in its own table: a new page is tried without anybody thinking of it.</summary>
public sealed class HeaderTests(ITestOutputHelper output)
{
    private static readonly string[] Everywhere =
    [
        "Content-Security-Policy", "X-Content-Type-Options", "Referrer-Policy", "Permissions-Policy", "Cross-Origin-Opener-Policy",
        "Cross-Origin-Resource-Policy", "X-Frame-Options", "Cache-Control",
    ];

    [Fact]
    [Asvs("1.2.1", "3.2.1", "3.4.2", "3.4.3", "3.4.4", "3.4.5", "3.4.6", "3.7.1", "4.1.1", "14.2.3", "14.3.2")]
    public async Task Every_route_answers_with_all_headers_whoever_asks_and_no_page_carries_script_or_style_inside()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var story = await BenchStory.Begin(site);
        var packed = await story.Packed();
        var owner = await site.SignedIn(RoleName.Owner);
        var (asked, pages) = (0, 0);
        foreach (var path in site.Routes.Where(route => Methods(route).Contains("GET")).Select(route => PathOf(route, packed)).Distinct()
            .Concat(["/app.css", "/nothing/here", "/lot/S1/X", $"/lot/S1/{packed}"]))
        {
            foreach (var browser in new[] { site.Visitor(), site.Visitor(asBrowser: false), owner })
            {
                using var answer = await browser.Open(path);
                asked++;
                Check(path, answer, signedIn: browser == owner);
                if (answer.Content.Headers.ContentType?.MediaType != "text/html") continue;
                pages++;
                NothingInside(path, await answer.Text());
            }
        }

        output.WriteLine($"{asked} answers, {pages} pages");
        Assert.True(asked > 80 && pages > 30);
    }

    /// <summary>The decoder of the scanner is WebAssembly (W3C CSP3, 'wasm-unsafe-eval').</summary>
    [Fact]
    public async Task The_screen_with_the_scanner_alone_may_run_a_decoder()
    {
        await using var site = await RunningSite.Start();
        foreach (var (path, may) in new[] { ("/now/", true), ("/now/index.html", true), ("/now/camera.js", false), ("/now/zxing/reader.js", false), ("/sign-in", false) })
        {
            using var answer = await site.Visitor().Open(path);
            Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
            var policy = Assert.Single(answer.Headers.GetValues("Content-Security-Policy"));
            Assert.Equal(may, policy.Contains("script-src 'self' 'wasm-unsafe-eval';", StringComparison.Ordinal));
            Assert.DoesNotContain("'unsafe", policy, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_page_with_something_inside_would_be_found()
    {
        foreach (var planted in new[] { "<p style=\"x\">", "<style>", "<script src=\"/a.js\"></script><script>x</script>", "<a onclick=\"x\">", "<a href=\"javascript:x\">" })
            Assert.ThrowsAny<Xunit.Sdk.XunitException>(() => NothingInside("planted", planted));
        NothingInside("planted", "<script src=\"/bench.js\" type=\"module\"></script><p class=\"on\">on=1</p>");
    }

    private static IReadOnlyList<string> Methods(RouteEndpoint route) => route.Metadata.GetMetadata<HttpMethodMetadata>()?.HttpMethods ?? [];

    private static string PathOf(RouteEndpoint route, string lot) => "/" + Regex.Replace(route.RoutePattern.RawText!.TrimStart('/'), @"\{\*{0,2}(\w+)[^}]*\}", match => match.Groups[1].Value switch
    {
        "site" => "S1",
        "lot" => lot,
        "area" => "receiving",
        "verb" => "receive",
        "gtin" => "09520123456788",
        "documentName" => "v1",
        "code" => "lot.held",
        _ => "1",
    });

    private static void Check(string path, HttpResponseMessage answer, bool signedIn)
    {
        string Of(string name) => answer.Headers.TryGetValues(name, out var values) ? string.Join(", ", values) : "";
        foreach (var name in Everywhere) Assert.True(Of(name).Length > 0, $"{path} ({answer.StatusCode}) has no {name}");
        var policy = Of("Content-Security-Policy");
        Assert.DoesNotContain("unsafe", policy, StringComparison.Ordinal);
        foreach (var part in new[] { "default-src 'none'", "object-src 'none'", "base-uri 'none'", "frame-ancestors 'none'", "form-action 'self'" })
            Assert.Contains(part, policy, StringComparison.Ordinal);
        Assert.Equal("nosniff", Of("X-Content-Type-Options"));
        Assert.Equal("no-referrer", Of("Referrer-Policy"));
        Assert.Contains("camera=(self)", Of("Permissions-Policy"), StringComparison.Ordinal);
        Assert.Equal("same-origin", Of("Cross-Origin-Opener-Policy"));
        Assert.Equal("same-origin", Of("Cross-Origin-Resource-Policy"));
        Assert.Empty(Of("Server"));
        Assert.Empty(Of("X-Powered-By"));
        Assert.Empty(Of("Access-Control-Allow-Origin"));
        Assert.Empty(Of("Strict-Transport-Security"));
        if (signedIn && path != "/app.css") Assert.Equal("no-store", Of("Cache-Control"));
        if (answer.Content.Headers.ContentType is { MediaType: { } type } content && type.StartsWith("text/", StringComparison.Ordinal) && type != "text/css")
            Assert.Equal("utf-8", content.CharSet, ignoreCase: true);
    }

    private static void NothingInside(string path, string html)
    {
        Assert.False(Regex.IsMatch(html, @"<style\b|<[^>]*\sstyle\s*=|<[^>]*\son[a-z]+\s*=|javascript:", RegexOptions.IgnoreCase), path);
        foreach (Match script in Regex.Matches(html, @"<script\b([^>]*)>(.*?)</script>", RegexOptions.Singleline | RegexOptions.IgnoreCase))
            Assert.True(script.Groups[1].Value.Contains("src=", StringComparison.Ordinal) && script.Groups[2].Value.Trim().Length == 0, path);
    }

    [Fact]
    [Asvs("3.5.1")]
    public async Task Every_form_post_without_its_token_is_refused_and_records_nothing()
    {
        await using var site = await RunningSite.Start();
        var owner = await site.SignedIn(RoleName.Owner);
        var (head, people) = (site.Head, site.App.Journal.Head("access"));
        var posts = site.Routes.Where(route => Methods(route).Contains("POST")).Select(route => PathOf(route, "X"))
            .Where(path => !path.StartsWith("/api/", StringComparison.Ordinal)).ToList();
        foreach (var path in posts)
        {
            using var answer = await owner.Post(path, new() { ["name"] = "Eve", ["secret"] = "eve-eve-eve", ["role"] = "owner" });
            Assert.True(answer.StatusCode == HttpStatusCode.BadRequest, $"{path}: {answer.StatusCode}");
        }

        output.WriteLine(string.Join('\n', posts));
        Assert.True(posts.Count >= 8);
        Assert.Equal((head, people), (site.Head, site.App.Journal.Head("access")));
    }

    [Fact]
    [Asvs("3.3.2", "3.3.4")]
    public async Task Cookies_are_for_the_server_alone_and_for_this_site_alone()
    {
        await using var site = await RunningSite.Start();
        await site.AddPerson("Ama", RoleName.Operator);
        var browser = site.Visitor();
        using var page = await browser.Open("/sign-in");
        using var entered = await browser.PostForm("/sign-in", new() { ["name"] = "Ama", ["secret"] = RunningSite.Password });
        var cookies = page.Headers.GetValues("Set-Cookie").Concat(entered.Headers.GetValues("Set-Cookie")).ToList();
        Assert.Contains(cookies, cookie => cookie.StartsWith("trace=", StringComparison.Ordinal));
        Assert.Contains(cookies, cookie => cookie.StartsWith("trace-form=", StringComparison.Ordinal));
        Assert.All(cookies, cookie => Assert.Contains("httponly", cookie, StringComparison.OrdinalIgnoreCase));
        Assert.All(cookies, cookie => Assert.Contains("samesite=strict", cookie, StringComparison.OrdinalIgnoreCase));
        Assert.All(cookies, cookie => Assert.Contains("path=/", cookie, StringComparison.OrdinalIgnoreCase));
    }
}
