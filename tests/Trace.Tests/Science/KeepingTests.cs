using CsCheck;
using Trace.Core.Science;
using Trace.Core.Science.Keeping;
using Trace.Core.Science.WaterActivity;
using Xunit;

namespace Trace.Tests.Science;

public sealed class KeepingTests
{
    private static readonly SorptionModel Invented = new(SorptionModelKind.Gab, [0.045, 10, 0.90]);
    private static readonly StorageAir Warm = new(30, 75);
    private static readonly KeepingSpan Span = new(0.25, 0.60);

    private static SorptionIsotherm Curve { get; } = SorptionIsotherm.Through(
        SorptionModelKind.Gab,
        [.. new[] { .1, .2, .3, .4, .5, .6, .7, .8, .9 }.Select(activity => new SorptionPair(activity, Invented.DryBasis(activity)))],
        SorptionBranch.Adsorption, 25, new(2026, 2, 2));

    private static BarrierPack Pouch(double transmission) => new(Permeance.FromTransmission(transmission, 38, 90), 0.12, 475);

    [Fact]
    [CheckValue(Mark.Recomputed, typeof(Permeance), "38 °C and 90 % against dry: 5.969 kPa, saturation pressure of IAPWS-IF97; in Python")]
    public void A_transmission_rate_becomes_a_permeance_by_the_conditions_of_its_test()
    {
        Assert.Equal(1, Permeance.FromTransmission(5.969, 38, 90), 1e-3);
        Assert.Equal(2 * Permeance.FromTransmission(3.5, 38, 90), Permeance.FromTransmission(3.5, 38, 90, 45), 1e-12);
        Assert.Equal(15.50, Permeance.PerSquareMetre(1), 5e-3);
        Assert.Equal(4, Permeance.OfThickness(8, 25, 50), 1e-12);
        Assert.Throws<ArgumentOutOfRangeException>("testRelativeHumidityPercent", () => Permeance.FromTransmission(3.5, 38, 45, 45));
        Assert.Throws<ArgumentOutOfRangeException>(() => Permeance.FromTransmission(double.NaN, 38, 90));
        Assert.Throws<ArgumentOutOfRangeException>(() => Permeance.FromTransmission(3.5, 38, 900));
    }

    [Theory]
    [CheckValue(Mark.Published, typeof(Permeance), "1 g/(100 in²·d) = 15.50 g/(m²·d): LDPE 1–2 is 15.5–31 at 25 µm, Biosystems Engineering, Table 11.2 (rates read, conversion recomputed)")]
    [InlineData(1, 15.5)]
    [InlineData(2, 31)]
    [InlineData(0.3, 4.65)]
    public void Rates_per_hundred_square_inches_are_converted(double inches, double metres) =>
        Assert.Equal(metres, Permeance.PerSquareMetre(inches), 0.01);

    // The closed form with a secant, and the isotherm itself, of the same pouches.
    [Theory]
    [CheckValue(Mark.Recomputed, typeof(MoistureBarrier), "closed form of Heiss and Labuza, and numeric integration in Python, of an invented isotherm and pouches")]
    [InlineData(3.5, 256.8, 275.6)]
    [InlineData(12, 74.9, 80.4)]
    [InlineData(0.4, 2247, 2411)]
    public void A_pouch_keeps_its_content_dry_for_so_many_days(double transmission, double secant, double isotherm)
    {
        var pack = Pouch(transmission);
        Assert.Equal(secant, MoistureBarrier.DaysBySecant(pack, Warm, Span, Invented.DryBasis(.25), Invented.DryBasis(.60))!.Value, secant * 1e-3);
        Assert.Equal(isotherm, MoistureBarrier.Days(pack, Warm, Span, Curve)!.Value, isotherm * 1e-3);
    }

    // ln 3 with a straight isotherm: m_e .08, m_c .06, m_i .02, b .06, WVTR 0.3 g/(m²·d·mmHg), 0.15 m², 500 g.
    [Theory]
    [CheckValue(Mark.Recomputed, typeof(MoistureBarrier), "inputs of a public shelf-life calculator (read; its answer not seen), in Python")]
    [InlineData(20, 41.74)]
    [InlineData(25, 30.81)]
    [InlineData(30, 22.99)]
    [InlineData(38, 14.72)]
    public void The_straight_isotherm_is_solved_in_closed_form(double celsius, double days)
    {
        // On the line X = 0.06·aw the moistures .02, .06 and .08 stand at aw 1/3, 1 and 4/3; shifted by c they are humidities below 1.
        var pack = new BarrierPack(0.3 / 0.133322, 0.15, 500);
        var span = new KeepingSpan(0, 2.0 / 3);
        Assert.Equal(days, MoistureBarrier.DaysBySecant(pack, new(celsius, 100), span, 0.02, 0.06)!.Value, 0.01);
    }

    [Fact]
    public void Air_drier_than_the_critical_point_never_spoils_the_pack()
    {
        Assert.Null(MoistureBarrier.Days(Pouch(12), new(30, 60), Span, Curve));
        Assert.Null(MoistureBarrier.DaysBySecant(Pouch(12), new(30, 50), Span, .04, .09));
        Assert.Null(MoistureKeeping.Model("moisture", Pouch(12), new(30, 50), Span, Curve, KeepingDoubt.Usual).Days);
    }

    [Fact]
    public void A_better_barrier_and_cooler_drier_storage_never_keep_shorter() =>
        Gen.Select(Gen.Double[0.5, 30], Gen.Double[5, 40], Gen.Double[65, 95], Gen.Double[0.12, 0.5], Gen.Double[1.01, 2]).Sample((rate, celsius, humidity, packed, by) =>
        {
            var span = Span with { Packed = packed };
            var days = MoistureBarrier.Days(Pouch(rate), new(celsius, humidity), span, Curve)!.Value;
            Assert.True(days > 0 && double.IsFinite(days));
            Assert.Equal(days * by, MoistureBarrier.Days(Pouch(rate / by), new(celsius, humidity), span, Curve)!.Value, days * 1e-9);
            Assert.True(MoistureBarrier.Days(Pouch(rate), new(celsius / by, humidity), span, Curve) > days);
            Assert.True(MoistureBarrier.Days(Pouch(rate), new(celsius, humidity + 2), span, Curve) < days);
            Assert.True(MoistureBarrier.Days(Pouch(rate), new(celsius, humidity), span with { Packed = packed + 0.01 }, Curve) < days);
        }, iter: 200);

    [Theory]
    [CheckValue(Mark.Published, typeof(TemperatureFactor), "teaching texts: 14 d at 20 °C, Q10 2.5, gives 60.7 d at 4 °C; 20 weeks at 20 °C and 10 at 30 °C are Q10 2 (read)")]
    [InlineData(14, 2.5, 20, 4, 60.7, 0.06)]
    [InlineData(10, 2, 30, 20, 20, 1e-9)]
    public void Q10_moves_a_keeping_time(double time, double q10, double from, double to, double expected, double tolerance) =>
        Assert.Equal(expected, TemperatureFactor.Keeps(time, q10, from, to), tolerance);

    [Theory]
    [CheckValue(Mark.FromMemory, typeof(TemperatureFactor), "table of Labuza: 2 weeks at 50 °C at 40, 30 and 20 °C; arithmetic recomputed")]
    [InlineData(2, 4, 8, 16)]
    [InlineData(2.5, 5, 12.5, 31.3)]
    [InlineData(3, 6, 18, 54)]
    [InlineData(5, 10, 50, 250)]
    public void The_table_of_two_weeks_at_50_degrees_is_met(double q10, double at40, double at30, double at20)
    {
        Assert.Equal(at40, TemperatureFactor.Keeps(2, q10, 50, 40), 0.0501);
        Assert.Equal(at30, TemperatureFactor.Keeps(2, q10, 50, 30), 0.0501);
        Assert.Equal(at20, TemperatureFactor.Keeps(2, q10, 50, 20), 0.0501);
    }

    [Theory]
    [CheckValue(Mark.Recomputed, typeof(TemperatureFactor), "Arrhenius, 25 °C to 35 °C, in Python")]
    [InlineData(60, 2.19)]
    [InlineData(80, 2.85)]
    [InlineData(100, 3.70)]
    public void An_activation_energy_is_a_q10(double kilojoule, double q10) => Assert.Equal(q10, TemperatureFactor.Q10(kilojoule, 25), 6e-3);

    [Fact]
    [CheckValue(Mark.Recomputed, typeof(TemperatureFactor), "black soldier fly meal decayed 2.8 to 3.3 times slower over about 18 K (Kamau et al. 2020, read): Q10 1.8 to 1.9")]
    public void Two_times_give_the_q10_between_them()
    {
        Assert.Equal(1.77, TemperatureFactor.Q10FromTimes(2.8, 5.6, 1, 23.6), 6e-3);
        Assert.Equal(1.94, TemperatureFactor.Q10FromTimes(3.3, 5.6, 1, 23.6), 6e-3);
        Assert.Throws<ArgumentOutOfRangeException>("warmerTime", () => TemperatureFactor.Q10FromTimes(1, 5, 2, 25));
        Assert.Throws<ArgumentOutOfRangeException>("q10", () => TemperatureFactor.Keeps(10, 0.5, 20, 30));
        Assert.Throws<ArgumentOutOfRangeException>("celsius", () => TemperatureFactor.Keeps(10, 2, 20, 70));
    }

    [Fact]
    [CheckValue(Mark.CommonPractice, typeof(KeepingTime), "a share of 0.7 of the modelled time is claimed; the model may only shorten the ceiling")]
    public void The_least_model_decides_with_its_safety_factor()
    {
        var moisture = new KeepingModel("moisture", 200.9, 0.25, 0.7, "permeance of the packaging");
        var oxygen = new KeepingModel("oxidation", 150, 0.1, 1, "storage test");
        var verdict = KeepingTime.Judge([moisture, oxygen, new("other", null, 0, 0.7, "none")]);
        Assert.Equal((140, moisture), (verdict.Days, verdict.Limiting));
        Assert.Equal(200.9 * (1 - 1.645 * 0.25), verdict.LeastDays!.Value, 1e-9);
        Assert.Equal((null, null), (KeepingTime.Judge([new("never", null, 0, 0.7, "none")]).Days, KeepingTime.Judge([new("never", null, 0, 0.7, "none")]).Limiting));
        Assert.Throws<ArgumentException>(() => KeepingTime.Judge([]));
        Assert.Throws<ArgumentOutOfRangeException>(() => KeepingTime.Judge([moisture with { SafetyFactor = 1.2 }]));
        Assert.Throws<ArgumentOutOfRangeException>(() => KeepingTime.Judge([moisture with { Days = double.NaN }]));
    }

    [Fact]
    [CheckValue(Mark.Recomputed, typeof(MoistureKeeping), "the permeance's share is exactly 1 − 1/(1 + 0.25) of the days, by hand")]
    public void The_weakest_input_is_named_and_doubt_adds_up()
    {
        var alone = MoistureKeeping.Model("moisture", Pouch(3.5), Warm, Span, Curve, new(0.25, 0, 0, 0));
        Assert.Equal(0.2, alone.RelativeUncertainty, 1e-3);
        Assert.Equal("permeance of the packaging", alone.Weakest);
        var humid = MoistureKeeping.Model("moisture", Pouch(3.5), Warm, Span, Curve, new(0.05, 0, 10, 0));
        Assert.Equal("humidity of the storage", humid.Weakest);
        Assert.True(MoistureKeeping.Model("moisture", Pouch(3.5), Warm, Span, Curve, KeepingDoubt.Usual).RelativeUncertainty > alone.RelativeUncertainty);
    }
}
