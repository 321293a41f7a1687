using Trace.Core.Science;
using Trace.Core.Steps.Receiving;
using Trace.Core.Steps.Sanitising;
using Trace.Core.Time;
using Trace.Web.Validation;
using Xunit;

namespace Trace.Tests.Validation;

/// <summary>The ends of what the types can hold are refused as fields, and break nothing.</summary>
public sealed class ExtremeValueTests
{
    [Fact]
    [Asvs("1.4.2")]
    public void The_largest_decimal_is_no_mass()
    {
        var request = new ReceiveLarvae("Example farm", decimal.MaxValue, new DateTimeOffset(2026, 3, 2, 6, 0, 0, TimeSpan.Zero));
        Assert.Contains(RequestRules.Check(request), refusal => refusal.Field == "massGrams");
    }

    [Fact]
    public void The_first_instant_is_no_time_of_a_run()
    {
        var request = new RunSanitising(
            [new("H1", 100)], "hot-water", [new CoreReading(DateTimeOffset.MinValue, 75)], 100, DateTimeOffset.MinValue);
        Assert.Contains(RequestRules.Check(request), refusal => refusal.Field == "happenedAt");
    }

    [Theory]
    [InlineData("0001-01-01T00:00")]
    [InlineData("9999-12-31T23:59")]
    public void A_form_refuses_a_time_at_the_end_of_the_calendar(string text)
    {
        foreach (var id in new[] { "Africa/Nairobi", "America/New_York" })
        {
            Assert.True(SiteZone.TryFind(id, out var zone));
            Assert.False(LocalTimeText.TryParse(text, zone, new DateTimeOffset(2026, 3, 2, 6, 0, 0, TimeSpan.Zero), out _, out var problem));
            Assert.NotEmpty(problem);
        }
    }
}
