using Trace.Core.Science;
using Xunit;

namespace Trace.Tests.Science;

public class PackCondensationTests
{
    [CheckValue(Mark.Recomputed, typeof(PackCondensation), "With an independent IAPWS-IF97 library: water activities 0.3 to 0.7")]
    [Theory]
    [InlineData(15, 35.2, 30.1, 26.2, 23.2, 20.7)]
    [InlineData(20, 41.0, 35.7, 31.7, 28.5, 25.9)]
    [InlineData(25, 46.9, 41.3, 37.2, 33.9, 31.1)]
    [InlineData(30, 52.8, 47.0, 42.6, 39.2, 36.4)]
    public void The_table_of_packing_temperatures_is_met(double wall, params double[] limits)
    {
        for (var i = 0; i < limits.Length; i++)
            Assert.Equal(limits[i], PackCondensation.HighestPackCelsius(0.3 + 0.1 * i, wall), 0.051);
    }

    [CheckValue(Mark.Recomputed, typeof(PackCondensation), "With the same library: room + 5 K is safe for a water activity up to 0.72 from 10 °C to 35 °C, + 10 K up to 0.52, + 15 K up to 0.38")]
    [Theory]
    [InlineData(5, 0.72)]
    [InlineData(10, 0.52)]
    [InlineData(15, 0.38)]
    public void A_margin_over_the_room_is_safe_up_to_a_water_activity(double margin, double waterActivity)
    {
        for (var wall = 10; wall <= 35; wall += 5)
            Assert.True(PackCondensation.HighestPackCelsius(waterActivity, wall) >= wall + margin);
        Assert.True(PackCondensation.HighestPackCelsius(waterActivity + 0.02, 10) < 10 + margin);
    }

    [CheckValue(Mark.Recomputed, typeof(PackCondensation), "With the same library: packed at 60 °C with a water activity of 0.4, the air in the pack has its dew point at 41.5 °C")]
    [Fact]
    public void A_hot_pack_sweats_on_any_wall_below_41_5()
    {
        Assert.Equal(41.5, WaterVapour.SaturationCelsius(0.4 * WaterVapour.SaturationPressureKilopascal(60)), 0.05);
        Assert.True(PackCondensation.HighestPackCelsius(0.4, 41.4) < 60);
        Assert.True(PackCondensation.HighestPackCelsius(0.4, 41.6) > 60);
    }

    [Fact]
    public void Wet_product_must_be_as_cool_as_the_wall()
    {
        Assert.Equal(20, PackCondensation.HighestPackCelsius(1, 20), 1e-6);
        Assert.Equal(0, PackCondensation.HighestPackCelsius(1, 0), 1e-6);
    }

    [Fact]
    public void The_limit_never_exceeds_100() => Assert.Equal(100, PackCondensation.HighestPackCelsius(0.01, 40));

    [Theory]
    [InlineData(0, 20)]
    [InlineData(-0.1, 20)]
    [InlineData(1.01, 20)]
    [InlineData(40, 20)]
    [InlineData(double.NaN, 20)]
    [InlineData(0.4, double.NaN)]
    [InlineData(0.4, double.PositiveInfinity)]
    [InlineData(0.4, -1)]
    [InlineData(0.4, 61)]
    public void What_cannot_be_is_refused(double waterActivity, double wall) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => PackCondensation.HighestPackCelsius(waterActivity, wall));
}
