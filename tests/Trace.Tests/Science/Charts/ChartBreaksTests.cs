using Trace.Core.Science.Charts;
using Xunit;

namespace Trace.Tests.Science.Charts;

public class ChartBreaksTests
{
    private static readonly DateTimeOffset Start = new(2026, 3, 2, 6, 0, 0, TimeSpan.FromHours(3));

    private static ChartPoint At(double hours, string stream = "A", double value = 1) => new(Start.AddHours(hours), value, stream);

    [CheckValue(Mark.CommonPractice, typeof(ChartBreaks), "A change of machine or product, or a long pause, starts a new segment")]
    [Fact]
    public void Another_stream_or_a_long_pause_breaks_the_series()
    {
        Assert.Equal([2, 3, 5], ChartBreaks.Of([At(0), At(1), At(2, "B"), At(3), At(27), At(51.1), At(52)], TimeSpan.FromHours(24)));
        Assert.Empty(ChartBreaks.Of([], TimeSpan.FromHours(24)));
        Assert.Empty(ChartBreaks.Of([At(0), At(0), At(24)], TimeSpan.FromHours(24)));
    }

    [Fact]
    public void Times_are_compared_as_instants() => Assert.Empty(ChartBreaks.Of(
        [At(0), new ChartPoint(Start.AddHours(1).ToOffset(TimeSpan.Zero), 1, "A")], TimeSpan.FromHours(2)));

    [Fact]
    public void Points_out_of_order_values_that_are_none_and_no_gap_are_refused()
    {
        var day = TimeSpan.FromDays(1);
        Assert.Equal("points", Assert.Throws<ArgumentOutOfRangeException>(() => ChartBreaks.Of([At(1), At(0)], day)).ParamName);
        Assert.Equal("points", Assert.Throws<ArgumentOutOfRangeException>(() => ChartBreaks.Of([At(0, value: double.NaN)], day)).ParamName);
        Assert.Throws<ArgumentOutOfRangeException>(() => ChartBreaks.Of([At(0)], TimeSpan.Zero));
    }
}
