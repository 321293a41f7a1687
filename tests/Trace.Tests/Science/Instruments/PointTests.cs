using CsCheck;
using Trace.Core.Science;
using Trace.Core.Science.Instruments;
using Xunit;

namespace Trace.Tests.Science.Instruments;

/// <summary>What instruments should show against something known.</summary>
public class PointTests
{
    // TNE ÷ 5: 9 % of 20 g is 1.8 g, so 0.36 g; of 200 g 9 g, so 1.8 g; of packs of 5 g 0.5 g, so 0.1 g.
    [Theory]
    [InlineData(200, 0.1, null, 0.1)]
    [InlineData(20, 1, null, 0.36)]
    [InlineData(200, 1, 5.0, 0.1)]
    [InlineData(20_000, 5, null, 5)]
    [InlineData(2, 0.01, null, 0.01)]
    [CheckValue(Mark.Recomputed, typeof(TestWeight), "Directive 76/211/EEC, Annex II: measuring error at most TNE/5, by hand; one division is common practice, no source")]
    public void A_balance_may_be_off_by_a_division_or_a_fifth_of_the_tolerable_error(double weight, double division, double? pack, double wanted)
    {
        var point = TestWeight.Of(weight, division, pack);
        Assert.Equal(weight, point.Expected);
        Assert.Equal(wanted, point.Limit, 1e-12);
    }

    [Fact]
    [CheckValue(Mark.CommonPractice, typeof(IcePoint), "crushed ice: 0 °C, within 0.5 K")]
    public void Ice_is_at_zero() => Assert.Equal((0, 0.5), (IcePoint.Point.Expected, IcePoint.Point.Limit));

    [Theory]
    [InlineData(0, 101.325)]
    [InlineData(1000, 89.8746)]
    [InlineData(2000, 79.4952)]
    [InlineData(3000, 70.1085)]
    [InlineData(5000, 54.0199)]
    [CheckValue(Mark.FromMemory, typeof(StandardAtmosphere), "ISO 2533:1975, table of pressures")]
    public void The_standard_atmosphere_is_met(double metres, double kilopascal) =>
        Assert.Equal(kilopascal, StandardAtmosphere.Kilopascal(metres), 1.5e-3);

    // At 101.325 kPa: 99.974 °C by IAPWS-IF97. 0.1 MPa: 372.755919 K, its verification value.
    [Theory]
    [InlineData(101.325, 99.97)]
    [InlineData(100, 99.61)]
    [CheckValue(Mark.FromMemory, typeof(BoilingPoint), "IAPWS R7-97, Table 36: 0.1 MPa, 372.755919 K")]
    public void Water_boils_where_the_steam_equation_says(double kilopascal, double celsius) =>
        Assert.Equal(celsius, BoilingPoint.AtPressure(kilopascal).Expected, 5e-3);

    [Theory]
    [InlineData(0, 100)]
    [InlineData(500, 98.35)]
    [InlineData(1000, 96.7)]
    [InlineData(1700, 94.4)]
    [CheckValue(Mark.CommonPractice, typeof(BoilingPoint), "0.33 K less for each 100 m, within 0.15 K")]
    public void The_rule_of_thumb_for_altitude_is_met(double metres, double celsius) =>
        Assert.Equal(celsius, BoilingPoint.AtAltitude(metres).Expected, 0.15);

    [Fact]
    public void A_pressure_that_is_only_reckoned_allows_for_the_weather()
    {
        Assert.Equal(0.5, BoilingPoint.AtPressure(100).Limit);
        Assert.Equal(1, BoilingPoint.AtAltitude(100).Limit);
    }

    [Theory]
    [InlineData(SaturatedSalt.LithiumChloride, 0.1131, 0.1130, 0.1129)]
    [InlineData(SaturatedSalt.MagnesiumChloride, 0.3307, 0.3279, 0.3245)]
    [InlineData(SaturatedSalt.MagnesiumNitrate, 0.5439, 0.5290, 0.5141)]
    [InlineData(SaturatedSalt.SodiumChloride, 0.7548, 0.7530, 0.7509)]
    [InlineData(SaturatedSalt.PotassiumChloride, 0.8511, 0.8435, 0.8363)]
    [InlineData(SaturatedSalt.PotassiumSulfate, 0.9760, 0.9730, 0.9701)]
    [CheckValue(Mark.Recomputed, typeof(SaltPoint), "Greenspan 1977, J. Res. NBS 81A:89-96, polynomials from a copy, evaluated in another language")]
    public void The_salts_are_those_of_Greenspan(SaturatedSalt salt, double at20, double at25, double at30)
    {
        Assert.Equal(at20, SaltPoint.WaterActivity(salt, 20).Value, 6e-5);
        Assert.Equal(at25, SaltPoint.WaterActivity(salt, 25).Value, 6e-5);
        Assert.Equal(at30, SaltPoint.WaterActivity(salt, 30).Value, 6e-5);
    }

    [Theory]
    [InlineData(SaturatedSalt.LithiumChloride, 11.30)]
    [InlineData(SaturatedSalt.MagnesiumChloride, 32.78)]
    [InlineData(SaturatedSalt.MagnesiumNitrate, 52.89)]
    [InlineData(SaturatedSalt.SodiumChloride, 75.29)]
    [InlineData(SaturatedSalt.PotassiumChloride, 84.34)]
    [InlineData(SaturatedSalt.PotassiumSulfate, 97.30)]
    [CheckValue(Mark.FromMemory, typeof(SaltPoint), "Greenspan 1977, printed table at 25 °C")]
    public void The_printed_table_is_met_to_a_hundredth_of_a_percent(SaturatedSalt salt, double percent) =>
        Assert.Equal(percent, SaltPoint.WaterActivity(salt, 25).Value * 100, 0.0151);

    // RH = A·exp(B/T), T in K.
    [Theory]
    [InlineData(SaturatedSalt.SodiumChloride, 69.20, 25)]
    [InlineData(SaturatedSalt.MagnesiumChloride, 29.26, 34)]
    [InlineData(SaturatedSalt.MagnesiumNitrate, 25.28, 220)]
    [CheckValue(Mark.Published, typeof(SaltPoint), "CRC Handbook of Chemistry and Physics, after Wexler: constants A and B, read; good to 2 %RH")]
    public void Another_equation_agrees(SaturatedSalt salt, double a, double b)
    {
        for (var celsius = 15; celsius <= 35; celsius += 5)
            Assert.Equal(a * Math.Exp(b / (celsius + 273.15)) / 100, SaltPoint.WaterActivity(salt, celsius).Value, 0.02);
    }

    [Fact]
    public void Points_are_numbers_within_reason() => Gen.Select(Gen.Double[0, 50], Gen.Double[-500, 5000], Gen.Double[50, 110], Gen.Int[0, 5])
        .Sample((celsius, metres, kilopascal, salt) =>
            SaltPoint.Of((SaturatedSalt)salt, celsius).Expected is > 0.05 and < 1
            && BoilingPoint.AtAltitude(metres).Expected is > 80 and < 103
            && BoilingPoint.AtPressure(kilopascal).Expected is > 80 and < 103);

    [Fact]
    public void What_lies_beside_the_range_is_refused_by_name()
    {
        void Refused(string name, Action action) => Assert.Equal(name, Assert.Throws<ArgumentOutOfRangeException>(action).ParamName);
        foreach (var celsius in new[] { -0.1, 50.1, double.NaN, double.PositiveInfinity })
            Refused("celsius", () => SaltPoint.Of(SaturatedSalt.SodiumChloride, celsius));
        Refused("salt", () => SaltPoint.Of((SaturatedSalt)9, 25));
        foreach (var metres in new[] { -501, 5001, double.NaN }) Refused("altitudeMetres", () => StandardAtmosphere.Kilopascal(metres));
        foreach (var kilopascal in new[] { 49.9, 110.1, double.NaN }) Refused("kilopascal", () => BoilingPoint.AtPressure(kilopascal));
        Refused("weightGrams", () => TestWeight.Of(0, 0.1));
        Refused("divisionGrams", () => TestWeight.Of(100, 0));
        Refused("divisionGrams", () => TestWeight.Of(100, double.NaN));
        Refused("packGrams", () => TestWeight.Of(100, 0.1, 4.9));
    }
}
