using System.Net;
using Trace.Core.Access;
using Trace.Core.Operations;
using Trace.Core;
using Trace.Web.Pages.Forms;
using Trace.Web.Validation;
using Xunit;

namespace Trace.Tests.Web.Pages;

public sealed class FormPageTests
{
    [Fact]
    public async Task A_mass_typed_with_a_decimal_comma_is_recorded_as_typed()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Operator);
        var done = await browser.PostForm("/sites/S1/record/receiving/receive", Delivery("12,5"));
        Assert.Equal(HttpStatusCode.SeeOther, done.StatusCode);
        var page = await browser.Html(done.Headers.Location!.OriginalString);
        Assert.Contains("12.5 g", page, StringComparison.Ordinal);
        Assert.Contains("Recorded: Receive larvae.", page, StringComparison.Ordinal);
        var entry = site.App.Journal.Get("S1", site.Head)!;
        Assert.Contains("\"massMilligrams\":12500", entry.Entry.Payload, StringComparison.Ordinal);
        Assert.Equal("Operator", entry.Entry.Person);
        Assert.Equal(new DateTimeOffset(2026, 11, 25, 8, 30, 0, TimeSpan.FromHours(3)), entry.Entry.HappenedAt);
    }

    [Theory]
    [InlineData("1.234,5")]
    [InlineData("12 500")]
    [InlineData("12.5 g")]
    [InlineData("-5")]
    [InlineData("0")]
    [InlineData("12.3456")]
    [InlineData("")]
    [Asvs("2.2.2")]
    public async Task A_mass_that_can_be_misread_is_refused_at_its_field_and_nothing_is_recorded(string mass)
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Operator);
        var before = site.Head;
        var refused = await browser.PostForm("/sites/S1/record/receiving/receive", Delivery(mass));
        var html = await refused.Text();
        Assert.Equal(HttpStatusCode.BadRequest, refused.StatusCode);
        Assert.Contains("Not recorded", html, StringComparison.Ordinal);
        Assert.Contains("id=\"f-massGrams-problem\"", html, StringComparison.Ordinal);
        Assert.Contains("aria-invalid=\"true\"", html, StringComparison.Ordinal);
        Assert.Contains("value=\"Example Farm\"", html, StringComparison.Ordinal);
        if (mass.Length > 0) Assert.Contains($"value=\"{mass}\"", html, StringComparison.Ordinal);
        Assert.Equal(before, site.Head);
    }

    [Fact]
    [Asvs("3.5.1")]
    public async Task Without_the_forms_token_nothing_is_recorded()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Operator);
        var before = site.Head;
        var refused = await browser.Post("/sites/S1/record/receiving/receive", new(Delivery("10")) { ["requestKey"] = "k1" });
        Assert.Equal(HttpStatusCode.BadRequest, refused.StatusCode);
        Assert.Contains("Nothing was recorded", await refused.Text(), StringComparison.Ordinal);
        Assert.Equal(before, site.Head);
    }

    [Fact]
    public async Task A_double_tap_records_once()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Operator);
        var fields = Browsing.Filled(await browser.Html("/sites/S1/record/receiving/receive"), Delivery("10"));
        var before = site.Head;
        var answers = await Task.WhenAll(Enumerable.Range(0, 3).Select(_ => browser.Post("/sites/S1/record/receiving/receive", fields)));
        Assert.All(answers, answer => Assert.Equal(HttpStatusCode.SeeOther, answer.StatusCode));
        Assert.Single(answers.Select(answer => answer.Headers.Location!.OriginalString).Distinct());
        Assert.Equal(before + 1, site.Head);
    }

    [Fact]
    public async Task A_gate_refusal_shows_the_holds_and_what_clears_them()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Operator);
        var batch = await (await BenchStory.Begin(site)).WeighedOut();
        var before = site.Head;
        var refused = await browser.PostForm("/sites/S1/record/filling/fill", new()
        {
            ["container"] = "C1",
            ["inputs[0].lot"] = batch,
            ["inputs[0].massGrams"] = "300",
            ["happenedAt"] = Local(site),
        });
        var html = await refused.Text();
        Assert.Equal(HttpStatusCode.Conflict, refused.StatusCode);
        Assert.Contains("Not cold yet", html, StringComparison.Ordinal);
        Assert.Contains("What clears it:", html, StringComparison.Ordinal);
        Assert.Contains("A core reading at or below the limit.", html, StringComparison.Ordinal);
        Assert.Contains("value=\"300\"", html, StringComparison.Ordinal);
        Assert.Equal(before, site.Head);
    }

    [Fact]
    public async Task A_batch_goes_from_the_dryer_to_labels_on_forms_alone()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Packer);
        var batch = await (await BenchStory.Begin(site)).InDryer();
        await Recorded(browser, "drying/weigh-out", new()
        {
            ["lot"] = batch.ToLowerInvariant(),
            ["massOutGrams"] = "300,5",
            ["puffed"] = "yes",
            ["crumbles"] = "yes",
            ["happenedAt"] = Local(site),
        });
        site.Clock.Advance(TimeSpan.FromMinutes(45));
        await Recorded(browser, "cooling/reading", new() { ["lot"] = batch, ["coreCelsius"] = "22,0", ["roomCelsius"] = "22", ["happenedAt"] = Local(site) });
        site.Clock.Advance(TimeSpan.FromMinutes(1));
        var packed = await Recorded(browser, "packing/pack", new()
        {
            // The first row stays empty: rows close up, and a problem of a row would still be shown at it.
            ["inputs[1].lot"] = batch,
            ["inputs[1].massGrams"] = "300",
            ["product"] = "DRIED",
            ["packs"] = "3",
            ["netMassGrams"] = "100",
            ["happenedAt"] = Local(site),
        });
        var lot = packed.Split('/')[^1].Split('?')[0];
        var printed = await browser.Html(await Recorded(browser, "labels/print", new() { ["lot"] = lot, ["copies"] = "3", ["language"] = "en" }));
        Assert.Contains("/api/sites/S1/labels/L00001.pdf", printed, StringComparison.Ordinal);
        var pdf = await browser.Open("/api/sites/S1/labels/L00001.pdf");
        Assert.Equal("application/pdf", pdf.Content.Headers.ContentType!.MediaType);
    }

    [Fact]
    public async Task Sanitising_takes_readings_as_lines_and_counts_back_from_the_end()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Operator);
        var harvest = await (await BenchStory.Begin(site)).Receive();
        var fields = new Dictionary<string, string>
        {
            ["inputs[0].lot"] = harvest,
            ["inputs[0].massGrams"] = "1000",
            ["method"] = "hot-water",
            ["massOutGrams"] = "1010",
            ["happenedAt"] = Local(site),
            ["readings"] = "0 74,5\r\n30\t75\n60; 75.5\n",
        };
        var before = site.Head;
        var wrong = await browser.PostForm("/sites/S1/record/sanitising/run", new(fields) { ["readings"] = "0 75\n30 75\n20 75" });
        Assert.Equal(HttpStatusCode.BadRequest, wrong.StatusCode);
        Assert.Contains("line 3: seconds rise", await wrong.Text(), StringComparison.Ordinal);
        Assert.Equal(before, site.Head);
        site.Clock.Advance(TimeSpan.FromMinutes(2));
        await Recorded(browser, "sanitising/run", new(fields) { ["happenedAt"] = Local(site) });
        var run = (Core.Steps.Sanitising.LarvaeSanitised)Areas.Codec.Read("sanitising.run", site.App.Journal.Get("S1", site.Head)!.Entry.Payload);
        var end = site.App.Journal.Get("S1", site.Head)!.Entry.HappenedAt;
        Assert.Equal([74.5, 75, 75.5], run.Readings.Select(reading => reading.CoreCelsius));
        Assert.Equal([end.AddSeconds(-60), end.AddSeconds(-30), end], run.Readings.Select(reading => reading.At));
    }

    [Fact]
    public async Task A_laboratorys_values_are_kept_as_written_with_a_point()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Quality);
        var batch = await (await BenchStory.Begin(site)).WeighedOut();
        await Recorded(browser, "checks/record", new() { ["lot"] = batch, ["kind"] = "salmonella", ["values"] = "<10\r\n0,5\r\n12.50", ["happenedAt"] = Local(site) });
        Assert.Contains("[\"<10\",\"0.5\",\"12.50\"]", System.Text.RegularExpressions.Regex.Unescape(site.App.Journal.Get("S1", site.Head)!.Entry.Payload), StringComparison.Ordinal);
        var refused = await browser.PostForm(
            "/sites/S1/record/checks/record", new() { ["lot"] = batch, ["kind"] = "moisture", ["values"] = "8", ["happenedAt"] = Local(site) });
        Assert.Equal(HttpStatusCode.BadRequest, refused.StatusCode);
        Assert.Contains("8 % is 0.08", await refused.Text(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_question_left_open_is_no_no()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Operator);
        var batch = await (await BenchStory.Begin(site)).InDryer();
        var refused = await browser.PostForm(
            "/sites/S1/record/drying/weigh-out", new() { ["lot"] = batch, ["massOutGrams"] = "300", ["puffed"] = "yes", ["happenedAt"] = Local(site) });
        Assert.Equal(HttpStatusCode.BadRequest, refused.StatusCode);
        Assert.Contains("say yes or no", await refused.Text(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("nowhere", HttpStatusCode.BadRequest)]
    [InlineData("P999999-999X", HttpStatusCode.NotFound)]
    public async Task A_refusal_has_the_status_of_its_code(string lot, HttpStatusCode expected)
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Operator);
        var refused = await browser.PostForm(
            "/sites/S1/record/cooling/reading",
            new() { ["lot"] = lot == "nowhere" ? "not a code" : lot, ["coreCelsius"] = "20", ["roomCelsius"] = "20", ["happenedAt"] = Local(site) });
        Assert.Equal(expected, refused.StatusCode);
    }

    [Fact]
    [Asvs("8.3.1")]
    public async Task A_form_that_the_role_may_not_use_is_neither_shown_nor_taken()
    {
        await using var site = await RunningSite.Start();
        var browser = await site.SignedIn(RoleName.Operator);
        var before = site.Head;
        Assert.Equal(HttpStatusCode.Forbidden, (await browser.Open("/sites/S1/record/recalls/open")).StatusCode);
        var fields = Browsing.Filled(await browser.Html("/bench"), new() { ["lots"] = "X", ["kind"] = "drill", ["reason"] = "r", ["requestKey"] = "k" });
        Assert.Equal(HttpStatusCode.Forbidden, (await browser.Post("/sites/S1/record/recalls/open", fields)).StatusCode);
        Assert.DoesNotContain("record/recalls/open", await browser.Html("/sites/S1/record"), StringComparison.Ordinal);
        Assert.Equal(before, site.Head);
    }

    [Fact]
    public void Every_form_asks_for_every_field_that_its_request_needs_and_for_none_that_it_lacks()
    {
        // Every required constructor parameter of the request is a field; every field is a member of the request.
        Assert.True(BenchForms.All.Count >= 15);
        foreach (var form in BenchForms.All)
        {
            var parameters = form.Operation.RequestInfo.Type.GetConstructors()[0].GetParameters();
            var names = form.Fields.Where(field => !field.IsOfFile).Select(field => field.Name).ToHashSet(StringComparer.OrdinalIgnoreCase);
            Assert.All(parameters.Where(parameter => !parameter.HasDefaultValue), parameter => Assert.Contains(parameter.Name!, names));
            Assert.All(names, name => Assert.True(IsMember(form.Operation.RequestInfo.Type, name), $"{form.Operation.Name} has no {name}."));
            Assert.Contains(form.Operation.RequestInfo.Type, RequestRules.Covered);
        }
    }

    /// <summary>A name with a dot is a member of a member, such as <c>unit.packs</c>.</summary>
    private static bool IsMember(Type request, string name)
    {
        var names = name.Split('.', 2);
        var parameter = request.GetConstructors()[0].GetParameters().FirstOrDefault(one => string.Equals(one.Name, names[0], StringComparison.OrdinalIgnoreCase));
        return parameter is not null && (names.Length == 1 || IsMember(parameter.ParameterType, names[1]));
    }

    private static string Local(RunningSite site) =>
        site.Clock.GetUtcNow().AddHours(3).ToString("yyyy-MM-dd'T'HH:mm:ss", System.Globalization.CultureInfo.InvariantCulture);

    private static async Task<string> Recorded(HttpClient browser, string operation, Dictionary<string, string> fields)
    {
        var answer = await browser.PostForm($"/sites/S1/record/{operation}", fields);
        Assert.True(answer.StatusCode == HttpStatusCode.SeeOther, $"{operation}: {answer.StatusCode}\n{await answer.Text()}");
        return answer.Headers.Location!.OriginalString;
    }

    private static Dictionary<string, string> Delivery(string mass) => new()
    {
        ["supplier"] = "Example Farm",
        ["massGrams"] = mass,
        ["happenedAt"] = "2026-11-25T08:30:00",
    };
}
