using Trace.Core.Time;
using Trace.Web.Validation;
using Xunit;

namespace Trace.Tests.Validation;

/// <summary>Changes of the clock in Berlin in 2026: 29 March 02:00 to 03:00, 25 October 03:00 back to 02:00 (IANA time zone data, recomputed).</summary>
public sealed class LocalTimeTextTests
{
    private static readonly DateTimeOffset LongAfter = new(2027, 1, 1, 0, 0, 0, TimeSpan.Zero);

    [Fact]
    public void A_time_gets_the_offset_that_the_site_had_then()
    {
        Assert.True(LocalTimeText.TryParse("2026-07-01T08:30", Berlin, LongAfter, out var summer, out _));
        Assert.True(LocalTimeText.TryParse("2026-12-01T08:30:15", Berlin, LongAfter, out var winter, out _));
        Assert.Equal(new DateTimeOffset(2026, 7, 1, 8, 30, 0, TimeSpan.FromHours(2)), summer);
        Assert.Equal(TimeSpan.FromHours(2), summer.Offset);
        Assert.Equal(new DateTimeOffset(2026, 12, 1, 8, 30, 15, TimeSpan.FromHours(1)), winter);
    }

    [Fact]
    public void A_time_that_the_clocks_skipped_is_refused()
    {
        Assert.False(LocalTimeText.TryParse("2026-03-29T02:30", Berlin, LongAfter, out _, out var problem));
        Assert.Contains("put forward", problem, StringComparison.Ordinal);
    }

    [Fact]
    public void Of_a_time_shown_twice_the_later_one_not_ahead_of_now_is_taken()
    {
        Assert.True(LocalTimeText.TryParse("2026-10-25T02:30", Berlin, LongAfter, out var later, out _));
        Assert.Equal(TimeSpan.FromHours(1), later.Offset);
        var firstPass = new DateTimeOffset(2026, 10, 25, 0, 40, 0, TimeSpan.Zero);
        Assert.True(LocalTimeText.TryParse("2026-10-25T02:30", Berlin, firstPass, out var earlier, out _));
        Assert.Equal(TimeSpan.FromHours(2), earlier.Offset);
    }

    [Theory]
    [InlineData("25.11.2026 08:30")]
    [InlineData("2026-11-25")]
    [InlineData("2026-11-25T08:30Z")]
    [InlineData("2026-13-01T00:00")]
    [InlineData("")]
    [InlineData(null)]
    public void Anything_but_a_date_and_time_is_refused(string? text) => Assert.False(LocalTimeText.TryParse(text, Berlin, LongAfter, out _, out _));

    [Fact]
    public void What_is_put_into_the_field_comes_back_the_same()
    {
        var instant = new DateTimeOffset(2026, 10, 25, 1, 30, 7, TimeSpan.Zero);
        Assert.True(LocalTimeText.TryParse(LocalTimeText.Format(Berlin, instant), Berlin, instant, out var back, out _));
        Assert.Equal(instant, back);
    }

    private static SiteZone Berlin => SiteZone.TryFind("Europe/Berlin", out var zone) ? zone : throw new InvalidOperationException("This machine has no time zones.");
}
