using Microsoft.AspNetCore.Routing;
using Trace.Core.Access;
using Trace.Tests.Web;
using Trace.Web.Wording;

namespace Trace.Tests.Browser;

/// <summary>
/// A plant with something of everything, and an address for every page of the program: for tests that look at all of them, and for the
/// pictures that people look at.
/// </summary>
internal sealed class PageTour
{
    private readonly Dictionary<string, string[]> addresses = new(StringComparer.Ordinal);

    private PageTour(RunningSite site) => Site = site;

    public RunningSite Site { get; }

    /// <summary>Each page with a name for its picture, by route.</summary>
    public IEnumerable<(string Name, string Address)> Pages => addresses
        .SelectMany(page => page.Value.Select((address, place) => (NameOf(page.Key) + (place == 0 ? "" : $"-{place + 1}"), address)));

    /// <summary>Pages of the program's own table of routes that this tour forgets.</summary>
    public IEnumerable<string> Forgotten => Site.Routes
        .Where(route => route.Metadata.GetMetadata<HttpMethodMetadata>()?.HttpMethods.Contains("GET") == true)
        .Select(route => "/" + route.RoutePattern.RawText!.Trim('/'))
        .Where(route => !route.StartsWith("/api/", StringComparison.Ordinal) && !addresses.ContainsKey(route) && !NoPages.Contains(route))
        .Distinct();

    /// <summary>Answers that are no pages.</summary>
    private static HashSet<string> NoPages { get; } = new(StringComparer.Ordinal)
    {
        "/", "/health/live", "/health/ready", "/openapi/v1.json", "/sites/{site}/lots", "/sites/{site}/logos/{name}/{version}.png", "/now/words/{language}.json",
        "/inspection/{site}/{link}/{lot}/{file}",
    };

    public static async Task<PageTour> Begin(RunningSite site)
    {
        var story = await BenchStory.Begin(site);
        var script = await site.WithKey(RoleName.Owner);
        await story.Do("instruments/check", $$"""{"instrument":"T-1","kind":"ice","found":0.2,"happenedAt":"{{story.Now}}"}""");
        await story.Receive();
        await story.InDryer();
        var warm = await story.WeighedOut();
        var held = await story.Shipped();
        await story.Do("holds/place", $$"""{"lot":"{{held}}","reason":"smells odd"}""");
        var packed = await story.Packed();
        await story.Do("labels/print", $$"""{"lot":"{{packed}}","copies":3}""");
        var recalled = await story.Shipped("Example Farm Shop");
        await story.Do("recalls/open", $$"""{"lots":["{{recalled}}"],"kind":"recall","reason":"stones"}""");
        await story.Do("complaints/open", $$"""{"channel":"phone","what":"Mould","harm":["animal"],"lot":"{{packed}}","happenedAt":"{{story.Now}}"}""");
        await script.PostJson("/api/sites/S1/printers/describe", """{"printer":"Bench","address":"ipp://192.0.2.30/ipp/print","widthMm":70,"heightMm":50}""");
        var bulk = await story.Cool();
        await story.Do("filling/fill", $$"""{"container":"C-01","inputs":[{"lot":"{{bulk}}","massGrams":300}],"happenedAt":"{{story.Now}}"}""");
        var print = await site.App.Site("S1")!.ReadAsync(state => state.Find(packed)!.Prints[0].Id);
        var tour = new PageTour(site);
        string[] lots = [packed, held, recalled];
        var standing = await site.App.Site("S1")!.ReadAsync(state => Trace.Web.Pages.BenchView.Standing(state).Select(one => one.Lot.Code).ToList());
        tour.Add("/sign-in", "/sign-in");
        tour.Add("/first-owner", "/first-owner?code=x");
        tour.Add("/problems/{code}", "/problems/lot.held");
        tour.Add("/lot/{site}/{lot}", [.. lots.Select(lot => $"/lot/S1/{lot}"), .. PageWords.All.Select(words => $"/lot/S1/{packed}?lang={words.Language}"), "/lot/S1/P261125-999X"]);
        tour.Add("/01/{gtin}/10/{lot}", $"/01/09520123456788/10/{packed}");
        tour.Add("/lot/{site}/{lot}/21/{serial}", $"/lot/S1/{packed}/21/AAAAAAAAAA");
        tour.Add("/01/{gtin}/10/{lot}/21/{serial}", $"/01/09520123456788/10/{packed}/21/AAAAAAAAAA");
        tour.Add("/lot/{site}/{lot}/complaint", $"/lot/S1/{packed}/complaint");
        tour.Add("/bench", "/bench");

        // The screen for gloves is plain files, and no route of the program's table.
        tour.Add("/now/", ["/now/", "/now/#receive", "/now/#waiting", "/now/?site=TRAIN1", .. standing.Select(lot => $"/now/#lot/{lot}")]);
        tour.Add("/sites/{site}/record", "/sites/S1/record");
        tour.Add("/sites/{site}/record/{area}/{verb}", [.. Trace.Web.Pages.Forms.BenchForms.All.Select(form => $"/sites/S1/record/{form.Operation.Name}")]);
        tour.Add("/sites/{site}/lots/{lot}", [.. lots.Append(warm).Select(lot => $"/sites/S1/lots/{lot}"), "/sites/S1/lots/P261125-999X"]);
        tour.Add("/sites/{site}/lots/{lot}/trace", $"/sites/S1/lots/{recalled}/trace", $"/sites/S1/lots/{recalled}/trace?all=yes");
        tour.Add("/sites/{site}/days/{day}", "/sites/S1/days/today", "/sites/S1/days/2026-11-24");
        tour.Add("/sites/{site}/business", "/sites/S1/business");
        tour.Add("/sites/{site}/correct/{seq:long}", $"/sites/S1/correct/{await SeqOf(site, "drying.weighed-out")}");
        tour.Add("/sites/{site}/labels/{print}", $"/sites/S1/labels/{print}");
        await story.Do("recalls/publish", """{"recall":"R01","language":"en","risk":"Stones in the product may break a tooth.","action":"Do not use it. Keep it apart until we call."}""");
        await story.Do("recalls/notify", $$"""{"recall":"R01","by":"letter","happenedAt":"{{story.Now}}"}""");
        await story.Do("recalls/report", """{"recall":"R01","note":"to the authority"}""");
        await story.Do("recalls/drill", """{"start":"pack"}""");
        await story.Do("complaints/open", $$"""{"channel":"email","what":"Smells odd","labelText":"{{packed[..9]}}","customer":"Example Farm Shop","happenedAt":"{{story.Now}}"}""");
        await story.Do("complaints/assess", $$"""{"complaint":"K0001","reach":"lot","fault":"mould","note":"Kept sample is mouldy."}""");
        await story.Do("actions/plan", $$"""{"about":"K0001","kind":"corrective","what":"New seal on C-01","owner":"Asha","dueOn":"{{story.Now[..10]}}"}""");
        await story.Do("inspections/open", $$"""{"for":"Food authority (invented)","lots":["{{packed}}"],"days":7}""");
        var (letter, pass) = await site.App.Site("S1")!.ReadAsync(state => (state.Recalls["R01"].Notices[0].Link, state.Inspections[0].Link));
        tour.Add("/sites/{site}/recalls/{id}", "/sites/S1/recalls/R01", "/sites/S1/recalls/R02");
        tour.Add("/recall/{site}/{link}", $"/recall/S1/{letter}", $"/recall/S1/{letter}?lang=sw", "/recall/S1/nothing-here");
        tour.Add("/inspection/{site}/{link}", $"/inspection/S1/{pass}", "/inspection/S1/nothing-here");
        tour.Add("/sites/{site}/complaints", "/sites/S1/complaints");
        tour.Add("/sites/{site}/complaints/{id}", "/sites/S1/complaints/K0001", "/sites/S1/complaints/K0002", "/sites/S1/complaints/K0002?text=zzz999");
        tour.Add("/sites/{site}/lots/{lot}/scopes", $"/sites/S1/lots/{recalled}/scopes?complaint=K0001");
        tour.Add("/sites/{site}/lots/{lot}/balance", $"/sites/S1/lots/{recalled}/balance");
        tour.Add("/sites/{site}/products/{product}/label", "/sites/S1/products/DRIED/label");
        tour.Add("/sites/{site}/instruments/{name}", "/sites/S1/instruments/T-1");
        tour.Add("/sites/{site}/templates/{name}", "/sites/S1/templates/pack-70x50");
        foreach (var page in new[] { "actions", "charts", "exposure", "inspections", "instruments", "keeping", "logos", "printers", "products", "scans", "templates" })
            tour.Add("/sites/{site}/" + page, "/sites/S1/" + page);
        foreach (var page in new[] { "/quality", "/people", "/tablets", "/my-sign-ins" }) tour.Add(page, page);
        var owner = await site.SignedIn(RoleName.Owner, "Made for the tour");
        await owner.PostForm("/training", []);
        tour.Add("/training", "/training", "/training?site=TRAIN1");
        return tour;
    }

    private static async Task<long> SeqOf(RunningSite site, string type)
    {
        await site.App.Site("S1")!.ReadAsync(state => state.Head);
        return site.App.Journal.Read("S1").First(entry => entry.Entry.Type == type).Seq;
    }

    private void Add(string route, params string[] pages) => addresses.Add(route, pages);

    private static string NameOf(string route) => string.Join('-', route.Split('/', StringSplitOptions.RemoveEmptyEntries).Select(part => part.Trim('{', '}').Split(':')[0]));
}
