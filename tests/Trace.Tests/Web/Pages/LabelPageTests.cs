using System.Net;
using System.Net.Http.Headers;
using System.Text;
using System.Xml.Linq;
using Trace.Core.Access;
using Trace.Core.Specifications;
using Trace.Web.Hosting;
using Xunit;

namespace Trace.Tests.Web.Pages;

/// <summary>The page of a product's label, and that of logos: shown as it would print, written by the office, approved by quality.</summary>
public sealed class LabelPageTests
{
    private const string Page = "/sites/S1/products/DRIED/label";
    private const string Square = "<svg viewBox=\"0 0 4 4\"><rect width=\"4\" height=\"4\"/></svg>";

    private static Dictionary<string, string> Fields(params (string Name, string Value)[] changed)
    {
        var fields = new Dictionary<string, string>
        {
            ["template"] = "",
            ["logo"] = "",
            ["language"] = "en",
            ["use"] = "FeedMaterial",
            ["name"] = "Dried larvae",
            ["purpose"] = "Feed material for poultry.",
            ["storage"] = "Keep dry.",
            ["cautions"] = "Dust: do not breathe in.\nMay cause an allergic reaction.",
            ["feedParticulars"] = "Crude protein 50 % (invented).",
            ["contact"] = "",
            ["species"] = "",
            ["authorisation"] = "",
            ["gtin"] = "",
            ["monthOnly"] = "no",
        };
        foreach (var (name, value) in changed) fields[name] = value;
        return fields;
    }

    private static Task<SpecificationVersion> Newest(RunningSite site) =>
        site.App.Site(TraceApp.FirstSite)!.ReadAsync(state => state.Specifications.Versions("DRIED")[^1]);

    private static XElement PictureIn(string html)
    {
        var start = html.IndexOf("<svg", StringComparison.Ordinal);
        return XElement.Parse(html[start..(html.IndexOf("</svg>", start, StringComparison.Ordinal) + 6)]);
    }

    [Fact]
    public async Task What_is_typed_is_shown_as_it_would_print_and_nothing_is_recorded()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Owner);
        var before = site.Head;
        var answer = await browser.PostForm(Page, new(Fields()) { ["show"] = "yes" });
        var html = await answer.Text();
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        var picture = PictureIn(html);
        Assert.Matches("^(69|70)(\\.\\d+)?mm$", picture.Attribute("width")!.Value);
        var words = picture.Elements().Single(part => part.Name.LocalName == "desc").Value;
        foreach (var word in new[] { "Dried larvae", "L PREVIEW-0000", "Best before", "25 May 2027", "Keep dry.", "Dust: do not breathe in.", "Test site", "EX 123" })
            Assert.Contains(word, words.ReplaceLineEndings(" "), StringComparison.Ordinal);
        Assert.Equal(before, site.Head);
    }

    [Fact]
    public async Task A_new_version_keeps_all_limits_and_prints_only_once_quality_has_approved_it()
    {
        await using var site = await RunningSite.Start();
        var owner = await site.SignedIn(RoleName.Owner);
        var old = (await Newest(site)).Specification;
        var done = await owner.PostForm(Page, Fields(
            ("fr.name", "Larves séchées"), ("fr.purpose", "Matière première pour volaille."), ("fr.storage", "Garder au sec."),
            ("fr.cautions", "Ne pas respirer la poussière.\nPeut provoquer une allergie."), ("fr.feedParticulars", "Protéine brute 50 % (inventé).")));
        Assert.Equal(HttpStatusCode.SeeOther, done.StatusCode);
        var written = await Newest(site);
        Assert.Null(written.ApprovedBy);
        Assert.Equal(old.Drying, written.Specification.Drying);
        Assert.Equal(old.Label.PackSizesGrams, written.Specification.Label.PackSizesGrams);
        Assert.Equal(["en", "fr"], written.Specification.Label.Languages);
        Assert.Equal(["Ne pas respirer la poussière.", "Peut provoquer une allergie."], written.Specification.Label.Translations[0].Cautions);

        var approve = $"/sites/S1/record/products/approve?product=DRIED&version={written.Version}";
        Assert.Equal(HttpStatusCode.Forbidden, (await owner.Open(approve)).StatusCode);
        var quality = await site.SignedIn(RoleName.Quality);
        Assert.Contains("record/products/approve", await quality.Html(Page), StringComparison.Ordinal);
        var approved = await quality.PostForm(approve, new() { ["product"] = "DRIED", ["version"] = $"{written.Version}" });
        Assert.Equal(HttpStatusCode.SeeOther, approved.StatusCode);
        var html = await quality.Html(approved.Headers.Location!.OriginalString);
        Assert.Contains("Labels are printed by it.", html, StringComparison.Ordinal);
        Assert.Equal(2, html.Split("<svg").Length - 1);
    }

    [Theory]
    [InlineData("fr.name", "Larves", "fr.purpose")]
    [InlineData("purpose", "", "purpose")]
    [InlineData("gtin", "09520123456789", "gtin")]
    [InlineData("language", "xx", "language")]
    [InlineData("use", "Food", "species")]
    public async Task What_is_wrong_is_told_at_its_field_and_nothing_is_recorded(string field, string value, string named)
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Owner);
        var before = site.Head;
        var answer = await browser.PostForm(Page, Fields((field, value)));
        var html = await answer.Text();
        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        Assert.Contains($"href=\"#f-{named}\"", html, StringComparison.Ordinal);
        Assert.Equal(before, site.Head);
    }

    [Theory]
    [InlineData("name", "Larves 🐛 séchées", "cannot print the character '🐛' (U+1F41B)")]
    [InlineData("name", "يرقات مجففة", "labels are set from left to right")]
    [InlineData("template", "none", "There is no approved template none")]
    [InlineData("use", "PetFood", "not made for what the product is sold as")]
    public async Task What_would_not_print_is_shown_with_its_reason(string field, string value, string reason)
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Owner);
        var answer = await browser.PostForm(Page, new(Fields((field, value), ("template", field == "template" ? value : "pack-70x50"))) { ["show"] = "yes" });
        Assert.Contains(reason, WebUtility.HtmlDecode(await answer.Text()), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_name_of_four_kilobytes_is_refused_with_its_length()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Owner);
        var answer = await browser.PostForm(Page, Fields(("name", new string('M', 4096))));
        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        Assert.Contains("100", await answer.Text(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_logo_is_sent_seen_as_its_dots_approved_and_printed()
    {
        await using var site = await RunningSite.Start();
        var owner = await site.SignedIn(RoleName.Owner);
        var sent = await SendLogo(owner, Encoding.UTF8.GetBytes(Square));
        Assert.Equal(HttpStatusCode.SeeOther, sent.StatusCode);
        Assert.Contains("none is printed yet", await owner.Html(sent.Headers.Location!.OriginalString), StringComparison.Ordinal);
        var picture = await owner.Open("/sites/S1/logos/house/1.png");
        Assert.Equal("image/png", picture.Content.Headers.ContentType!.MediaType);
        Assert.Equal(HttpStatusCode.NotFound, (await owner.Open("/sites/S1/logos/house/2.png")).StatusCode);
        Assert.Contains("No version of the logo", await (await owner.PostForm(Page, new(Fields(("logo", "house"))) { ["show"] = "yes" })).Text(), StringComparison.Ordinal);

        var quality = await site.SignedIn(RoleName.Quality);
        await quality.PostForm("/sites/S1/record/labels/approve-logo", new() { ["logo"] = "house", ["version"] = "1" });
        Assert.Contains("version 1 is printed", await owner.Html("/sites/S1/logos"), StringComparison.Ordinal);
        Assert.DoesNotContain("No version of the logo", await (await owner.PostForm(Page, new(Fields(("logo", "house"))) { ["show"] = "yes" })).Text(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("<svg viewBox=\"0 0 4 4\"><script>alert(1)</script></svg>", "&lt;script&gt; is not read")]
    [InlineData("%PDF-1.7", "neither a PNG nor a sound SVG")]
    public async Task A_hostile_logo_is_refused_with_its_reason(string file, string reason)
    {
        await using var site = await RunningSite.Start();
        var owner = await site.SignedIn(RoleName.Owner);
        var before = site.Head;
        var answer = await SendLogo(owner, Encoding.UTF8.GetBytes(file));
        Assert.Equal(HttpStatusCode.UnprocessableEntity, answer.StatusCode);
        Assert.Contains(reason, await answer.Text(), StringComparison.Ordinal);
        Assert.Equal(before, site.Head);
    }

    [Fact]
    public async Task A_logo_that_is_too_large_is_refused_with_the_limit()
    {
        await using var site = await RunningSite.Start();
        var owner = await site.SignedIn(RoleName.Owner);
        var answer = await SendLogo(owner, Encoding.UTF8.GetBytes(Square + new string(' ', 40_000)));
        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        Assert.Contains("at most 32768 bytes", await answer.Text(), StringComparison.Ordinal);
    }

    private static async Task<HttpResponseMessage> SendLogo(HttpClient browser, byte[] file)
    {
        const string form = "/sites/S1/record/labels/logo";
        using var content = new MultipartFormDataContent();
        foreach (var (name, value) in Browsing.Filled(await browser.Html(form), new() { ["logo"] = "house" })) content.Add(new StringContent(value), name);
        var part = new ByteArrayContent(file);
        part.Headers.ContentType = new MediaTypeHeaderValue("image/svg+xml");
        content.Add(part, "content", "logo.svg");
        return await browser.PostAsync(new Uri(form, UriKind.Relative), content);
    }
}
