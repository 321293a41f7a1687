using System.Net;
using Trace.Core.Access;
using Xunit;

namespace Trace.Tests.Web.Pages;

/// <summary>The day sheet, the business page, and the quality desk, as people get them.</summary>
public sealed class DeskPagesTests
{
    [Fact]
    public async Task A_note_to_the_next_shift_stands_on_the_day_sheet_and_its_pdf_is_one()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        await story.WeighedOut();
        var person = await site.SignedIn(RoleName.Operator, "Ann");
        var answer = await person.PostForm("/sites/S1/record/shift/hand-over", new() { ["note"] = "Door of M1 sticks.", ["happenedAt"] = "2026-11-25 09:05" });
        Assert.Equal(HttpStatusCode.SeeOther, answer.StatusCode);
        Assert.StartsWith("/sites/S1/days/2026-11-25", answer.Headers.Location!.ToString(), StringComparison.Ordinal);
        var page = await (await person.GetAsync("/sites/S1/days/today", TestContext.Current.CancellationToken)).Text();
        Assert.Contains("Door of M1 sticks.", page, StringComparison.Ordinal);
        Assert.Contains("Ann:", page, StringComparison.Ordinal);
        Assert.Contains("1000 g in 1 delivery", page, StringComparison.Ordinal);
        Assert.Contains("30.0 %", page, StringComparison.Ordinal);

        var script = await site.WithKey(RoleName.Owner);
        var pdf = await script.GetByteArrayAsync("/api/sites/S1/days/2026-11-25/sheet.pdf", TestContext.Current.CancellationToken);
        Assert.Equal("%PDF"u8.ToArray(), pdf[..4]);
        Assert.Equal(HttpStatusCode.BadRequest, (await script.GetAsync("/api/sites/S1/days/2026-13-45", TestContext.Current.CancellationToken)).StatusCode);
    }

    [Fact]
    public async Task The_quality_desk_groups_what_one_lot_holds_and_shows_late_entries_and_due_instruments()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var harvest = await story.Receive();
        var one = await story.Sanitise(harvest);
        await story.Do("holds/place", $$"""{"lot":"{{harvest}}","reason":"smells odd"}""");
        await story.Do("instruments/check", $$"""{"instrument":"T-1","kind":"ice","found":0.2,"happenedAt":"{{story.Now}}"}""");
        site.Clock.Advance(TimeSpan.FromDays(9));
        await story.Do("receiving/receive", """{"supplier":"Late Farm","massGrams":500,"happenedAt":"2026-12-04T01:00:00Z"}""");
        var desk = await (await (await site.SignedIn(RoleName.Quality)).GetAsync("/quality", TestContext.Current.CancellationToken)).Text();
        Assert.Contains("All through", desk, StringComparison.Ordinal);
        Assert.Contains(one, desk, StringComparison.Ordinal);
        Assert.Contains("9 d", desk, StringComparison.Ordinal);
        Assert.Contains("late</strong>", desk, StringComparison.Ordinal);
        Assert.Contains("T-1", desk, StringComparison.Ordinal);
        Assert.Contains("overdue", desk, StringComparison.Ordinal);
        Assert.Contains("1 instruments to see to", desk, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_business_page_and_the_trace_open_for_those_who_may_see_them()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var shipped = await story.Shipped();
        var owner = await site.SignedIn(RoleName.Owner);
        Assert.Contains("The last 30 days", await (await owner.GetAsync("/sites/S1/business", TestContext.Current.CancellationToken)).Text(), StringComparison.Ordinal);
        Assert.Contains("trace-picture", await (await owner.GetAsync($"/sites/S1/lots/{shipped}/trace", TestContext.Current.CancellationToken)).Text(), StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.NotFound, (await owner.GetAsync("/sites/S1/lots/NOLOT/trace", TestContext.Current.CancellationToken)).StatusCode);
        var packer = await site.SignedIn(RoleName.Packer);
        Assert.Equal(HttpStatusCode.Forbidden, (await packer.GetAsync("/sites/S1/business", TestContext.Current.CancellationToken)).StatusCode);
    }
}
