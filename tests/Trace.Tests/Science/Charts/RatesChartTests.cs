using Trace.Core.Science.Charts;
using Xunit;

namespace Trace.Tests.Science.Charts;

public sealed class RatesChartTests
{
    /// <summary>A chart of rates whose exposures are all 1 is the chart of counts.</summary>
    [Fact]
    [CheckValue(Mark.FromMemory, typeof(RatesChart), "NIST/SEMATECH e-Handbook 6.3.3.1: 400 defects on 25 wafers, c̄ = 16, limits 16 ± 3 · 4")]
    public void Equal_exposures_give_the_chart_of_counts()
    {
        int[] defects = [16, 14, 28, 16, 12, 20, 10, 12, 10, 17, 19, 17, 14, 16, 15, 13, 14, 16, 11, 20, 11, 19, 16, 31, 13];
        Assert.Equal(400, defects.Sum());
        var points = RatesChart.Of(defects, [.. defects.Select(_ => 1.0)]);
        Assert.All(points, point => Assert.Equal((16.0, 4.0, 28.0), (point.Centre, point.Lower, point.Upper)));
        Assert.Equal([31], points.Where(point => point.IsAbove).Select(point => (int)point.Rate!));
    }

    [Fact]
    [CheckValue(Mark.Recomputed, typeof(RatesChart), "By hand: 6 in an exposure of 4 is 1.5 each; a point of 0.25 has 1.5 ± 3 √6, cut at zero")]
    public void The_limits_are_each_points_own()
    {
        var points = RatesChart.Of([0, 6, 0], [0.25, 3.75, 0]);
        Assert.Equal(1.5, points[0].Centre);
        Assert.Equal((0.0, 1.5 + 3 * Math.Sqrt(6)), (points[0].Lower!.Value, points[0].Upper!.Value));
        Assert.Equal(1.5 + 3 * Math.Sqrt(0.4), points[1].Upper!.Value, 12);
        Assert.Null(points[2].Rate);
        Assert.All(RatesChart.Of([1], [0]), point => Assert.Null(point.Centre));
    }

    [Fact]
    public void What_is_no_series_is_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => RatesChart.Of([1], []));
        Assert.Throws<ArgumentOutOfRangeException>(() => RatesChart.Of([-1], [1]));
        Assert.Throws<ArgumentOutOfRangeException>(() => RatesChart.Of([1], [double.NaN]));
        Assert.Throws<ArgumentOutOfRangeException>(() => RatesChart.Of([1], [-1]));
    }
}
