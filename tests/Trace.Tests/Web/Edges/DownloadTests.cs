using System.Net;
using Trace.Core.Access;
using Xunit;

namespace Trace.Tests.Web.Edges;

public sealed class DownloadTests
{
    [Fact]
    [Asvs("5.4.1", "5.4.2")]
    public async Task Files_carry_names_of_ours_whatever_the_caller_says()
    {
        await using var site = await RunningSite.Start();
        var story = await BenchStory.Begin(site);
        var packed = await story.Shipped();
        await story.Do("recalls/open", $$"""{"lots":["{{packed}}"],"kind":"drill","reason":"exercise"}""");
        var owner = await site.WithKey(RoleName.Owner);
        var print = await site.App.Site("S1")!.ReadAsync(state => state.Find(packed)!.Prints[0].Id);
        foreach (var (path, name) in new[] { ($"labels/{print}.pdf", $"{print}.pdf"), ($"labels/{print}.png", $"{print}.png"), ("recalls/R01/report.pdf", "R01.pdf"), ("recalls/R01/report.csv", "R01.csv") })
        {
            using var answer = await owner.Open($"/api/sites/S1/{path}?name=evil.exe&filename=%2e%2e%2fevil.exe&fileDownloadName=evil.exe");
            Assert.True(answer.StatusCode == HttpStatusCode.OK, $"{path}: {await answer.Text()}");
            var said = string.Join("|", answer.Content.Headers.GetValues("Content-Disposition"));

            // RFC 6266 §4: attachment, and the name in both forms.
            Assert.Equal($"attachment; filename={name}; filename*=UTF-8''{name}", said);
        }

        // The names come from what is there, so a name of the caller's finds nothing.
        foreach (var odd in new[] { "labels/x%22%0d%0aX-A:b.pdf", "recalls/..%2fR01/report.pdf", "recalls/R01%0d%0a/report.csv" })
        {
            using var answer = await owner.Open($"/api/sites/S1/{odd}");
            Assert.Equal(HttpStatusCode.NotFound, answer.StatusCode);
            Assert.False(answer.Content.Headers.Contains("Content-Disposition"));
        }
    }
}
