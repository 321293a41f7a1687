using Trace.Core.Science.Charts;
using Xunit;

namespace Trace.Tests.Science.Charts;

public class ChartConstantsTests
{
    [CheckValue(Mark.Published, typeof(ChartConstants), "NIST/SEMATECH e-Handbook 6.3.2, read in a copy: c4 of 2, 5, 10 and 25; A3 and B4 of 5 and 10")]
    [Theory]
    [InlineData(2, .7979, double.NaN, double.NaN)]
    [InlineData(5, .9400, 1.427, 2.089)]
    [InlineData(10, .9727, .975, 1.716)]
    [InlineData(25, .9896, double.NaN, double.NaN)]
    public void The_tables_of_the_nist_handbook_are_met(int n, double c4, double a3, double b4)
    {
        Assert.Equal(c4, ChartConstants.C4(n), 5.01e-5);
        if (double.IsNaN(a3)) return;
        Assert.Equal(a3, ChartConstants.A3(n), 5.01e-4);
        Assert.Equal(b4, ChartConstants.B4(n), 5.01e-4);
    }

    [CheckValue(Mark.Recomputed, typeof(ChartConstants), "By hand: d2 = 2/√π = 1.128379, E2 2.658681, D4 3.266532; tables print 1.128, 2.660 and 3.267")]
    [Fact]
    public void The_range_of_two_has_its_constants()
    {
        var (exact, rounded, single) = (ChartConstants.D2, ChartConstants.RoundedD2, ChartConstants.E2);
        Assert.Equal(2 / Math.Sqrt(Math.PI), exact, 1e-15);
        Assert.Equal(1.128, rounded);
        Assert.Equal(2.658681, single, 5e-7);
        Assert.Equal(3.266532, ChartConstants.D4, 5e-7);
    }

    [Fact]
    public void The_lower_limit_of_the_deviation_is_zero_for_small_groups_and_c4_nears_one()
    {
        Assert.Equal(0, ChartConstants.B3(5));
        Assert.Equal(2, ChartConstants.B3(10) + ChartConstants.B4(10), 1e-12);
        for (var n = 3; n <= 1000; n++) Assert.InRange(ChartConstants.C4(n), ChartConstants.C4(n - 1), 1);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(0)]
    [InlineData(-5)]
    [InlineData(1001)]
    public void Groups_that_cannot_be_are_refused(int n)
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => ChartConstants.C4(n));
        Assert.Throws<ArgumentOutOfRangeException>(() => ChartConstants.A3(n));
        Assert.Throws<ArgumentOutOfRangeException>(() => ChartConstants.B3(n));
        Assert.Throws<ArgumentOutOfRangeException>(() => ChartConstants.B4(n));
    }
}
