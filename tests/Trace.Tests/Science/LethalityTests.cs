using CsCheck;
using Trace.Core.Science;
using Xunit;

namespace Trace.Tests.Science;

/// <summary>The plain integrals and the rate against printed examples.</summary>
public class LethalityTests
{
    private static double Celsius(double fahrenheit) => (fahrenheit - 32) / 1.8;

    private static double[] Every(double step, int count) => [.. Enumerable.Range(0, count).Select(i => i * step)];

    /// <summary>The temperature with this lethal rate at 121.1 °C and z 10 K; a rate of zero becomes a cold 20 °C (rate 8e-11).</summary>
    private static double CelsiusOfRate(double rate) => rate == 0 ? 20 : 121.1 + 10 * Math.Log10(rate);

    // The rates of the example add up to 2.925 with both ends zero, those from 30 min to 55 min to 1.342, and that of 60 min is 0.776.
    // The single rows were not seen: here each phase's sum is spread over its readings.
    private static readonly double[] FishCanRates =
        [0, .. Enumerable.Repeat(1.342 / 6, 6), 0.776, .. Enumerable.Repeat((2.925 - 1.342 - 0.776) / 3, 3), 0];

    [CheckValue(Mark.Published, typeof(Lethality), "FAO, Planning and engineering data 2: Fish canning (1985), worked example of the trapezoidal method, every 5 min, z 10 °C, 121.1 °C: F0 14.6 min; its sums were seen, not its single rows")]
    [CheckValue(Mark.Recomputed, typeof(Lethality), "The same example by hand: 14.625 min")]
    [Fact]
    public void The_fish_canning_example_gives_14_6_minutes()
    {
        double[] celsius = [.. FishCanRates.Select(CelsiusOfRate)];
        var f0 = Lethality.Trapezoid(Every(5, celsius.Length), celsius, 121.1, 10);
        Assert.Equal(14.625, f0, 1e-6);
        Assert.Equal(14.6, f0, 0.05);
    }

    [CheckValue(Mark.Published, typeof(Lethality), "FAO, Fish canning (1985), the same example up to steam off, 25 min to 60 min: (0 + 0.776)/2 + 1.342 = 1.730, 8.6 min")]
    [CheckValue(Mark.Recomputed, typeof(Lethality), "The same by hand: 8.65 min; the rate at 120.0 °C 0.776 (the temperature column was not seen)")]
    [Fact]
    public void Its_heating_phase_gives_8_6_minutes()
    {
        double[] celsius = [.. FishCanRates.Take(8).Select(CelsiusOfRate)];
        var f0 = Lethality.Trapezoid(Every(5, celsius.Length), celsius, 121.1, 10);
        Assert.Equal(8.65, f0, 1e-6);
        Assert.Equal(8.6, f0, 0.051);
        Assert.Equal(0.776, Lethality.Rate(120.0, 121.1, 10), 5e-4); // Recomputed: the temperature column was not seen.
    }

    [CheckValue(Mark.Published, typeof(Lethality), "Heat-penetration exercise of a course sheet: rate relative to the retort's temperature, z 18 °F")]
    [Theory]
    [InlineData(217.4, 240.26, 0.05370318)]
    [InlineData(225.14, 240.26, 0.14454398)]
    [InlineData(230.18, 240.44, 0.26915347)]
    [InlineData(232.16, 240.62, 0.33884416)]
    public void The_heat_penetration_exercise_is_met_in_both_scales(double fahrenheit, double retortFahrenheit, double rate)
    {
        Assert.Equal(rate, Lethality.Rate(fahrenheit, retortFahrenheit, 18), 1e-7);
        Assert.Equal(rate, Lethality.Rate(Celsius(fahrenheit), Celsius(retortFahrenheit), 10), 1e-7);
    }

    // Published data: a course sheet's full record, °F every 2 min.
    private static readonly double[] CourseRecordFahrenheit =
    [
        76.1, 79.52, 84.56, 91.04, 98.96, 108.68, 118.22, 127.4, 136.4, 144.86, 152.78, 160.16, 166.82, 173.3, 179.24, 184.64, 189.68,
        194.36, 198.68, 202.64, 202.06, 209.3, 212.36, 215.06, 217.4, 219.74, 221.72, 223.52, 225.14, 226.58, 227.84, 229.28, 230.18,
        231.26, 232.16, 232.88, 233.78, 234.32, 235.04, 235.76, 235.4, 230.72, 226.22, 219.38, 211.1, 200.48, 190.22,
    ];

    [CheckValue(Mark.Recomputed, typeof(Lethality), "Integrated apart from the program from a course sheet's printed record, 250 °F, z 18 °F; the sheet's own answer was not seen")]
    [Fact]
    public void The_full_record_is_integrated_as_recomputed()
    {
        var minutes = Every(2, CourseRecordFahrenheit.Length);
        double[] celsius = [.. CourseRecordFahrenheit.Select(Celsius)];
        Assert.Equal(3.24011, Lethality.Trapezoid(minutes, CourseRecordFahrenheit, 250, 18), 5e-6);
        Assert.Equal(3.21715, Lethality.Exact(minutes, CourseRecordFahrenheit, 250, 18), 5e-6);
        Assert.Equal(3.24011, Lethality.Trapezoid(minutes, celsius, Celsius(250), 10), 5e-6);
        Assert.Equal(3.24841, Lethality.Trapezoid(minutes, celsius, 121.1, 10), 5e-6);
    }

    [CheckValue(Mark.Recomputed, typeof(Lethality), "Integrated apart from the program: every second reading of the course sheet's record")]
    [Fact]
    public void Sparser_readings_widen_the_gap_between_the_methods()
    {
        double[] sparse = [.. CourseRecordFahrenheit.Where((_, i) => i % 2 == 0)];
        var minutes = Every(4, sparse.Length);
        Assert.Equal(3.27462, Lethality.Trapezoid(minutes, sparse, 250, 18), 5e-6);
        Assert.Equal(3.18595, Lethality.Exact(minutes, sparse, 250, 18), 5e-6);
    }

    [CheckValue(Mark.Recomputed, typeof(Lethality), "FSIS Appendix A prints the times, 6.5 log Salmonella in cooked beef; z 5.56 K and D60 1.77 min were fitted to them, so that rows agree within about 10 %")]
    [Theory]
    [InlineData(54.4, 112)]
    [InlineData(60.0, 12)]
    [InlineData(62.8, 4)]
    [InlineData(65.6, 67 / 60.0)]
    [InlineData(68.3, 22 / 60.0)]
    [InlineData(69.4, 14 / 60.0)]
    public void The_cooked_beef_table_follows_one_z(double celsius, double minutes)
    {
        var predicted = 6.5 * 1.77 / Lethality.Rate(celsius, 60, 5.56);
        Assert.InRange(predicted / minutes, 0.90, 1.10);
    }

    [CheckValue(Mark.Recomputed, typeof(Lethality), "Equivalents by hand of 70 °C for 2 min (quoted in NZ MPI Technical Paper 2016/05) with z 7.5 from memory")]
    [Theory]
    [InlineData(60, 43.1, 0.05)]
    [InlineData(65, 9.28, 0.005)]
    [InlineData(75, 0.431, 0.0005)]
    [InlineData(80, 0.093, 0.0005)]
    public void Two_minutes_at_70_have_equivalents(double celsius, double minutes, double tolerance) =>
        Assert.Equal(minutes, 2 / Lethality.Rate(celsius, 70, 7.5), tolerance);

    [CheckValue(Mark.Recomputed, typeof(Lethality), "By hand from the pasteurisation unit of beer, 1 min at 60 °C with base 1.393 (printed; that is z 6.947 K): 64 °C for 20 min is 75.3 PU, or 74.6 PU with z 7 K")]
    [Fact]
    public void Pasteurisation_units_of_beer_are_met()
    {
        Assert.Equal(1, Lethality.Rate(60, 60, 6.947));
        Assert.Equal(1.393, Lethality.Rate(61, 60, 6.947), 5e-4);
        Assert.Equal(75.3, Lethality.Exact([0, 20], [64, 64], 60, 6.947), 0.05);
        Assert.Equal(74.6, Lethality.Exact([0, 20], [64, 64], 60, 7), 0.05);
    }

    [CheckValue(Mark.Recomputed, typeof(Lethality), "Integrated by hand: one line from 20 °C to 90 °C in 5 min, z 5.5 K, 70 °C; trapezoid with 1, 10 and 50 parts")]
    [Fact]
    public void A_straight_heat_up_shows_what_the_trapezoid_invents()
    {
        Assert.Equal(738.555, Lethality.Exact([0, 5], [20, 90], 70, 5.5), 5e-4);
        foreach (var (parts, expected, tolerance) in new[] { (1, 10_821.9, 0.05), (10, 1204.2, 0.05), (50, 759.6, 0.05) })
        {
            double[] celsius = [.. Enumerable.Range(0, parts + 1).Select(i => 20 + 70.0 * i / parts)];
            Assert.Equal(expected, Lethality.Trapezoid(Every(5.0 / parts, parts + 1), celsius, 70, 5.5), tolerance);
            Assert.Equal(738.555, Lethality.Exact(Every(5.0 / parts, parts + 1), celsius, 70, 5.5), 5e-4);
        }
    }

    [CheckValue(Mark.Recomputed, typeof(Lethality), "Integrated apart from the program: 0.5 min steps, 70 °C, z 7.5 K, no cut-off")]
    [Fact]
    public void The_two_dips_without_cut_off_are_as_recomputed()
    {
        double[] hot = [24, 41, 55, 64, 70, 74, 77, 79, 80.5, 81.4, 82, 82.2, 82.3, 60, 45];
        Assert.Equal(97.887, Lethality.Exact(Every(0.5, hot.Length), hot, 70, 7.5), 5e-4);
        Assert.Equal(106.541, Lethality.Trapezoid(Every(0.5, hot.Length), hot, 70, 7.5), 5e-4);
        Assert.Equal(84.715, Lethality.Floor(Every(0.5, hot.Length), hot, 70, 7.5), 5e-4);
        double[] mild = [24, 38, 50, 58, 63, 66, 68, 69, 69.5, 69.8, 55, 40];
        Assert.Equal(1.5996, Lethality.Exact(Every(0.5, mild.Length), mild, 70, 7.5), 5e-5);
        Assert.Equal(1.2907, Lethality.Floor(Every(0.5, mild.Length), mild, 70, 7.5), 5e-5);
        // Recomputed: the same dip with a probe that reads 1 K too high or too low.
        Assert.Equal(1.177, Lethality.Exact(Every(0.5, mild.Length), [.. mild.Select(t => t - 1)], 70, 7.5), 5e-4);
        Assert.Equal(2.174, Lethality.Exact(Every(0.5, mild.Length), [.. mild.Select(t => t + 1)], 70, 7.5), 5e-4);
    }

    [Fact]
    public void A_level_step_and_an_almost_level_step_agree()
    {
        Assert.Equal(3, Lethality.Exact([0, 3], [70, 70], 70, 7.5), 1e-12);
        Assert.Equal(3, Lethality.Exact([0, 3], [70, 70 + 2e-6], 70, 7.5), 3e-6);
        Assert.Equal(3, Lethality.Exact([0, 3], [70, 70 + 5e-7], 70, 7.5), 3e-6);
    }

    [Fact]
    public void Floor_exact_and_trapezoid_stand_in_that_order() => Check.Sample(
        Gen.Double[20, 90].Array[2, 12],
        celsius =>
        {
            var minutes = Every(0.25, celsius.Length);
            var exact = Lethality.Exact(minutes, celsius, 70, 7.5);
            Assert.InRange(Lethality.Floor(minutes, celsius, 70, 7.5), 0, exact * (1 + 1e-9));
            Assert.InRange(exact, 0, Lethality.Trapezoid(minutes, celsius, 70, 7.5) * (1 + 1e-9));
        },
        iter: 2000);

    [Theory]
    [InlineData(double.NaN, 70, 7.5)]
    [InlineData(double.PositiveInfinity, 70, 7.5)]
    [InlineData(70, double.NaN, 7.5)]
    [InlineData(70, 70, double.NaN)]
    [InlineData(70, 70, 0)]
    [InlineData(70, 70, -7.5)]
    [InlineData(90, 70, 0.01)]
    public void A_rate_of_no_number_is_refused(double celsius, double reference, double z) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Lethality.Rate(celsius, reference, z));

    [Fact]
    public void The_plain_integrals_refuse_bad_records()
    {
        foreach (var integral in new Func<IReadOnlyList<double>, IReadOnlyList<double>, double, double, double>[]
            { Lethality.Exact, Lethality.Trapezoid, Lethality.Floor })
        {
            Assert.Throws<ArgumentOutOfRangeException>(() => integral([0], [70], 70, 7.5));
            Assert.Throws<ArgumentOutOfRangeException>(() => integral([0, 1], [70], 70, 7.5));
            Assert.Throws<ArgumentOutOfRangeException>(() => integral([0, 0], [70, 70], 70, 7.5));
            Assert.Throws<ArgumentOutOfRangeException>(() => integral([1, 0], [70, 70], 70, 7.5));
            Assert.Throws<ArgumentOutOfRangeException>(() => integral([0, double.NaN], [70, 70], 70, 7.5));
            Assert.Throws<ArgumentOutOfRangeException>(() => integral([0, 1], [70, double.NaN], 70, 7.5));
            Assert.Throws<ArgumentOutOfRangeException>(() => integral([0, 1], [double.NegativeInfinity, 70], 70, 7.5));
            Assert.Throws<ArgumentOutOfRangeException>(() => integral([0, 1], [70, 70], double.NaN, 7.5));
            Assert.Throws<ArgumentOutOfRangeException>(() => integral([0, 1], [70, 70], 70, 0));
        }
    }
}
