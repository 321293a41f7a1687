using System.Net;
using Trace.Core.Access;
using Xunit;

namespace Trace.Tests.Web.Pages;

public sealed class ProductsPageTests
{
    private const string Specified = """
        {"product":"DRIED","name":"Dried insect larvae","sanitising":{"decimalReductionMinutes":0.3},"sources":"An example.","tests":[
          {"kind":"salmonella","on":"packed","n":5,"c":0,"lowerLimit":0,"upperLimit":0,"atLeast":true,"unit":"in 25 g","source":"example plan"},
          {"kind":"enterobacteriaceae","on":"packed","n":5,"c":2,"lowerLimit":10,"upperLimit":300,"atLeast":true,"unit":"CFU/g","source":"example plan"}]}
        """;

    [Fact]
    public async Task The_page_tells_limits_plans_and_what_clean_results_do_not_prove()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        await story.Do("products/specify", Specified);
        await story.Do("products/approve", """{"product":"DRIED","version":2}""");
        var browser = await site.SignedIn(RoleName.Inspector);
        Assert.Contains("/sites/S1/products", await browser.Html("/quality"), StringComparison.Ordinal);
        var html = WebUtility.HtmlDecode(await browser.Html("/sites/S1/products"));
        foreach (var words in new[]
        {
            "at least 2 min at 70 °C", "0.3 min at 70 °C: log reductions are shown", "25 to 35 %", "common practice, no source", "Version 2,", "Version 1 by",
            "5 units, at most 0 of them bad (two-class)", "A unit is bad when anything is found", "5 units, none bad, and at most 2 above m = 10 CFU/g (three-class)",
            "A unit of 300 CFU/g or more is bad (≥ M", "after 5 clean units, up to 45.1 % of the lot may still be bad", "10 % bad passes 59 %", "after 3 clean grabs, up to 63.2 %", "class=\"marginal\"", "role=\"img\"",
        })
            Assert.Contains(words, html, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_bench_does_not_see_it()
    {
        await using var site = await RunningSite.Start();
        Assert.Equal(HttpStatusCode.Forbidden, (await (await site.SignedIn(RoleName.Operator)).Open("/sites/S1/products")).StatusCode);
    }
}
