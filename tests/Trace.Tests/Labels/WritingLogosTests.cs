using System.Text;
using Trace.Core;
using Trace.Core.Labels;
using Trace.Core.Operations;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Labels;

/// <summary>Logos are versions of the site, as templates are.</summary>
public sealed class WritingLogosTests
{
    private static readonly Caller Quality = new("Quinn", "desk-1", Roles.Quality);

    private static WriteLogo Logo(string svg) => new("house", Convert.ToBase64String(Encoding.UTF8.GetBytes(svg)));

    private const string Square = "<svg viewBox=\"0 0 4 4\"><rect width=\"4\" height=\"4\"/></svg>";

    [Fact]
    public async Task A_logo_is_written_approved_and_kept_over_a_fresh_fold()
    {
        var plant = await Plant.Create();
        Assert.Equal("house/1", (await plant.Do("labels/logo", Logo(Square))).Id);
        Assert.Null(plant.State.Logos.Approved("house"));
        await plant.Refused("labels.logo", "labels/logo", Logo(Square));
        await plant.Do("labels/approve-logo", new ApproveLogo("house", 1), caller: Quality);
        Assert.Equal(Square, Encoding.UTF8.GetString(plant.State.Logos.Approved("house")!.File.Span));
        Assert.Equal(("Ann", "Quinn"), (plant.State.Logos.Approved("house")!.WrittenBy, plant.State.Logos.Approved("house")!.ApprovedBy));
        await plant.Refused("labels.logo-version", "labels/approve-logo", new ApproveLogo("house", 1), caller: Quality);
        await plant.Refused("labels.logo-version", "labels/approve-logo", new ApproveLogo("other", 1), caller: Quality);
    }

    [Theory]
    [InlineData("<svg viewBox=\"0 0 4 4\"><script>1</script></svg>", "<script> is not read")]
    [InlineData("words", "neither a PNG nor a sound SVG")]
    public async Task A_hostile_file_is_refused_with_its_reason_and_nothing_is_kept(string file, string reason)
    {
        var plant = await Plant.Create();
        var head = plant.State.Head;
        Assert.Contains(reason, (await plant.Refused("labels.logo", "labels/logo", Logo(file))).Detail, StringComparison.Ordinal);
        Assert.Equal(head, plant.State.Head);
    }

    [Fact]
    public async Task What_is_no_base64_or_too_large_is_refused()
    {
        var plant = await Plant.Create();
        await plant.Refused("labels.logo", "labels/logo", new WriteLogo("house", "not base64!"));
        await plant.Refused("labels.logo", "labels/logo", new WriteLogo("house", Convert.ToBase64String(new byte[WriteLogo.LargestFile + 1])));
    }
}
