using Trace.Core.Science;
using Xunit;

namespace Trace.Tests.Science;

public class WaterVapourTests
{
    [CheckValue(Mark.FromMemory, typeof(WaterVapour), "The official verification of IAPWS-IF97 (R7-97, Table 35), reproduced by an independent steam table library")]
    [Theory]
    [InlineData(300, 0.353658941e-2)]
    [InlineData(500, 2.63889776)]
    [InlineData(600, 12.3443146)]
    public void The_saturation_pressure_meets_the_official_verification(double kelvin, double megapascal)
    {
        var kilopascal = WaterVapour.SaturationPressureKilopascal(kelvin - 273.15);
        Assert.Equal(1, kilopascal / 1000 / megapascal, 5e-9);
    }

    [CheckValue(Mark.FromMemory, typeof(WaterVapour), "The official verification of the backward equation (R7-97, Table 36)")]
    [Theory]
    [InlineData(0.1, 372.755919)]
    [InlineData(1, 453.035632)]
    [InlineData(10, 584.149488)]
    public void The_saturation_temperature_meets_the_official_verification(double megapascal, double kelvin) =>
        Assert.Equal(kelvin, WaterVapour.SaturationCelsius(1000 * megapascal) + 273.15, 6e-7);

    [CheckValue(Mark.Recomputed, typeof(WaterVapour), "With an independent IAPWS-IF97 library")]
    [Theory]
    [InlineData(0.01, 0.6117, 2500.9)]
    [InlineData(20, 2.3392, 2453.6)]
    [InlineData(25, 3.1697, 2441.7)]
    [InlineData(30, 4.2467, 2429.8)]
    [InlineData(38, 6.6324, 2410.8)]
    [InlineData(40, 7.3844, 2406.0)]
    [InlineData(60, 19.946, 2357.7)]
    [InlineData(80, 47.415, 2308.1)]
    [InlineData(100, 101.418, 2256.5)]
    public void The_steam_table_is_met(double celsius, double kilopascal, double latentHeat)
    {
        // Half of the last digit that the table gives.
        Assert.Equal(kilopascal, WaterVapour.SaturationPressureKilopascal(celsius), kilopascal < 10 ? 5.01e-5 : 5.01e-4);
        Assert.Equal(latentHeat, WaterVapour.LatentHeatKilojoulePerKilogram(celsius), 1e-9);
    }

    [Fact]
    public void The_two_equations_undo_each_other()
    {
        for (var celsius = 0.0; celsius <= 100; celsius += 0.5)
            Assert.Equal(celsius, WaterVapour.SaturationCelsius(WaterVapour.SaturationPressureKilopascal(celsius)), 1e-6);
    }

    [Fact]
    public void The_latent_heat_falls_all_the_way_and_has_both_ends()
    {
        var last = double.MaxValue;
        for (var celsius = 0.0; celsius <= 100; celsius += 0.25)
        {
            var heat = WaterVapour.LatentHeatKilojoulePerKilogram(celsius);
            Assert.InRange(heat, 2256.5, Math.BitDecrement(last));
            last = heat;
        }

        Assert.Equal(2500.92, WaterVapour.LatentHeatKilojoulePerKilogram(0), 0.01);
        Assert.Equal(2256.5, WaterVapour.LatentHeatKilojoulePerKilogram(100), 1e-9);
    }

    [CheckValue(Mark.Recomputed, typeof(WaterVapour), "First column: Alduchov and Eskridge's constants by hand; second: an independent IAPWS-IF97 library, within 0.02 K")]
    [Theory]
    [InlineData(20, 50, 9.261, 9.273)]
    [InlineData(20, 60, 12.000, 12.008)]
    [InlineData(25, 50, 13.858, 13.864)]
    [InlineData(25, 60, 16.698, 16.701)]
    [InlineData(25, 80, 21.309, 21.309)]
    [InlineData(30, 70, 23.930, 23.928)]
    [InlineData(30, 80, 26.171, 26.168)]
    [InlineData(35, 80, 31.030, 31.024)]
    public void The_dew_point_meets_its_table_and_the_steam_equation(double celsius, double humidity, double magnus, double steam)
    {
        var dewPoint = WaterVapour.DewPointCelsius(celsius, humidity);
        Assert.Equal(magnus, dewPoint, 6e-4);
        var oracle = WaterVapour.SaturationCelsius(humidity / 100 * WaterVapour.SaturationPressureKilopascal(celsius));
        Assert.Equal(steam, oracle, 6e-4);
        Assert.Equal(oracle, dewPoint, 0.02);
    }

    [Fact]
    public void Saturated_air_is_at_its_dew_point() => Assert.Equal(23.4, WaterVapour.DewPointCelsius(23.4, 100), 1e-12);

    [Theory]
    [InlineData(20, 0)]
    [InlineData(20, -5)]
    [InlineData(20, 100.01)]
    [InlineData(20, double.NaN)]
    [InlineData(double.NaN, 50)]
    [InlineData(double.PositiveInfinity, 50)]
    [InlineData(50.1, 50)]
    [InlineData(-40.1, 50)]
    public void Air_that_cannot_be_is_refused(double celsius, double humidity) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => WaterVapour.DewPointCelsius(celsius, humidity));

    [Theory]
    [InlineData(-0.01)]
    [InlineData(374)]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    public void Temperatures_beside_the_line_are_refused(double celsius)
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => WaterVapour.SaturationPressureKilopascal(celsius));
        Assert.Throws<ArgumentOutOfRangeException>(() => WaterVapour.LatentHeatKilojoulePerKilogram(celsius));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(0.6)]
    [InlineData(22_065)]
    [InlineData(double.NaN)]
    public void Pressures_beside_the_line_are_refused(double kilopascal) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => WaterVapour.SaturationCelsius(kilopascal));
}
