using CsCheck;
using Trace.Core.Science;
using Xunit;

namespace Trace.Tests.Science;

public class NewtonCoolingTests
{
    private static readonly DateTimeOffset Start = new(2025, 3, 4, 0, 0, 0, TimeSpan.FromHours(1));

    private static CoreReading[] Readings(params (double Minutes, double Celsius)[] readings) =>
        [.. readings.Select(reading => new CoreReading(Start.AddMinutes(reading.Minutes), reading.Celsius))];

    private static double Celsius(double fahrenheit) => (fahrenheit - 32) / 1.8;

    private static double MinutesOf(CoolingForecast? forecast) => (forecast!.At - Start).TotalMinutes;

    [CheckValue(Mark.FromMemory, typeof(NewtonCooling), "A common exercise whose printed answer is 7:26 pm; its inputs (room 60 °F, 80 °F at midnight, 75 °F two hours later, 98.6 °F when it began) from memory")]
    [CheckValue(Mark.Recomputed, typeof(NewtonCooling), "The same by hand: k 0.14384 per hour, 4.571 h before midnight")]
    [Fact]
    public void The_body_in_the_cellar_began_to_cool_at_26_past_7()
    {
        var forecast = NewtonCooling.Forecast(Readings((0, Celsius(80)), (120, Celsius(75))), Celsius(60), Celsius(98.6), 0.1);
        Assert.Equal(new DateTimeOffset(2025, 3, 3, 19, 26, 0, Start.Offset), forecast!.At, TimeSpan.FromSeconds(30));
        Assert.Equal(-4.571 * 60, MinutesOf(forecast), 0.05);
        Assert.Equal(0.14384 / 60, forecast.RatePerMinute, 1e-7);
    }

    // The excess falls by less than a factor of 1.2, so that the line exists but the forecast is refused.
    [CheckValue(Mark.Recomputed, typeof(NewtonCooling), "By hand from a printed exercise: 70 °F room, 96.1 °F at noon, 94.6 °F an hour later: k 0.059189 per hour, 98.6 °F 1.545 h before noon")]
    [Fact]
    public void Too_small_a_fall_gives_a_line_but_no_forecast()
    {
        var readings = Readings((0, Celsius(96.1)), (60, Celsius(94.6)));
        var line = CoolingLine.Through(readings, Celsius(70));
        Assert.Equal(0.059189 / 60, line.RatePerMinute, 1e-8);
        Assert.Equal(-1.545 * 60, line.MinutesTo(Celsius(98.6) - Celsius(70)), 0.03);
        Assert.Null(NewtonCooling.Forecast(readings, Celsius(70), Celsius(80), 0.1));
    }

    [CheckValue(Mark.Recomputed, typeof(NewtonCooling), "By hand: room 22 °C, 58 °C, after 10 min 41 °C, target room + 5 K, u = 0.5 K for readings and room")]
    [Fact]
    public void Two_readings_give_time_and_rate_with_their_uncertainties()
    {
        var forecast = NewtonCooling.Forecast(Readings((0, 58), (10, 41)), 22, 27, 0.5);
        Assert.Equal(0.063908, forecast!.RatePerMinute, 5e-7);
        Assert.Equal(0.00322, forecast.RateUncertaintyPerMinute, 5e-6);
        Assert.Equal(30.89, MinutesOf(forecast), 0.005);
        Assert.Equal(1.58, forecast.Uncertainty.TotalMinutes, 0.005);
    }

    [CheckValue(Mark.Recomputed, typeof(NewtonCooling), "By hand: the same with the room wrong by −1 K, +1 K and +2 K; the target moves along")]
    [Theory]
    [InlineData(21, 32.53)]
    [InlineData(23, 29.26)]
    [InlineData(24, 27.66)]
    public void A_wrong_room_moves_the_forecast(double room, double minutes) =>
        Assert.Equal(minutes, MinutesOf(NewtonCooling.Forecast(Readings((0, 58), (10, 41)), room, room + 5, 0.5)), 0.005);

    [CheckValue(Mark.Recomputed, typeof(NewtonCooling), "Fitted apart from the program: five readings; weighted k 0.06349 ± 0.00395 (95 %, t(3) = 3.182), 31.19 min")]
    [Fact]
    public void More_readings_are_fitted_with_the_square_of_the_excess_as_weight()
    {
        var readings = Readings((0, 58), (5, 48.9), (10, 41), (15, 35.9), (20, 32.1));
        var forecast = NewtonCooling.Forecast(readings, 22, 27, 0.5);
        Assert.Equal(0.06349, forecast!.RatePerMinute, 5e-6);
        Assert.Equal(31.19, MinutesOf(forecast), 0.006);
        var line = CoolingLine.Through(readings, 22);
        Assert.Equal(0.00395, 3.182446 * line.RateUncertainty(line.ResidualKelvin), 5e-6);
    }

    [Fact]
    public void Scatter_beyond_the_probes_own_uncertainty_widens_the_forecast()
    {
        var readings = Readings((0, 58), (5, 48.9), (10, 41), (15, 35.9), (20, 32.1));
        var line = CoolingLine.Through(readings, 22);
        var forecast = NewtonCooling.Forecast(readings, 22, 27, 0.01);
        Assert.True(line.ResidualKelvin > 0.01);
        Assert.True(forecast!.Uncertainty.TotalMinutes >= line.MinutesUncertainty(5, line.ResidualKelvin) - 1e-6);
    }

    // Readings made from the law itself must give the law back.
    [Fact]
    public void Readings_from_the_law_give_the_law_back() => Check.Sample(
        Gen.Select(Gen.Double[0.02, 0.2], Gen.Double[10, 30], Gen.Int[2, 8]),
        (rate, room, count) =>
        {
            var times = Enumerable.Range(0, count).Select(i => 12.0 * i / count);
            var readings = Readings([.. times.Select(t => (t, room + 40 * Math.Exp(-rate * t)))]);
            var forecast = NewtonCooling.Forecast(readings, room, room + 2, 0.05);
            if (forecast is null) return (readings[0].CoreCelsius - room) / (readings[^1].CoreCelsius - room) <= 1.2 + 1e-9;
            return Math.Abs(forecast.RatePerMinute - rate) < 1e-6 && Math.Abs(MinutesOf(forecast) - Math.Log(20) / rate) < 1e-3;
        },
        iter: 1000);

    [Fact]
    public void The_last_reading_must_be_more_than_three_uncertainties_above_the_room()
    {
        Assert.Null(NewtonCooling.Forecast(Readings((0, 40), (10, 23.5)), 22, 27, 0.5));
        Assert.NotNull(NewtonCooling.Forecast(Readings((0, 40), (10, 23.51)), 22, 27, 0.5));
    }

    [Fact]
    public void The_excess_must_have_fallen_by_more_than_a_fifth()
    {
        Assert.Null(NewtonCooling.Forecast(Readings((0, 46), (10, 42)), 22, 27, 0.5));
        Assert.NotNull(NewtonCooling.Forecast(Readings((0, 46), (10, 41.9)), 22, 27, 0.5));
    }

    // A tray bed cools fast at its surface, then slowly: the fitted line is already below the target when the core is not.
    [Fact]
    public void A_fit_that_says_ready_while_the_core_is_hot_is_no_forecast() =>
        Assert.Null(NewtonCooling.Forecast(Readings((0, 90), (1, 40), (60, 28), (120, 27.9)), 22, 27.8, 0.5));

    public static TheoryData<CoreReading[], double, double, double> NotForecastable => new()
    {
        { [], 22, 27, 0.5 },
        { Readings((0, 58)), 22, 27, 0.5 },
        { Readings((0, 58), (0, 41)), 22, 27, 0.5 },
        { Readings((10, 58), (0, 41)), 22, 27, 0.5 },
        { Readings((0, 41), (10, 58)), 22, 27, 0.5 },
        { Readings((0, 58), (5, 41), (10, 42)), 22, 27, 0.5 },
        { Readings((0, 58), (10, 58)), 22, 27, 0.5 },
        { Readings((0, 58), (10, 21)), 22, 27, 0.5 },
        { Readings((0, double.NaN), (10, 41)), 22, 27, 0.5 },
        { Readings((0, 58), (10, double.NaN)), 22, 27, 0.5 },
        { Readings((0, double.PositiveInfinity), (10, 41)), 22, 27, 0.5 },
        { Readings((0, 1372), (10, 41)), 22, 27, 0.5 },
        { Readings((0, 58), (10, 41)), double.NaN, 27, 0.5 },
        { Readings((0, 58), (10, 41)), double.NegativeInfinity, 27, 0.5 },
        { Readings((0, 58), (10, 41)), 22, double.NaN, 0.5 },
        { Readings((0, 58), (10, 41)), 22, double.PositiveInfinity, 0.5 },
        { Readings((0, 58), (10, 41)), 22, 22, 0.5 },
        { Readings((0, 58), (10, 41)), 22, 20, 0.5 },
        { Readings((0, 58), (10, 41)), 22, 27, double.NaN },
        { Readings((0, 58), (10, 41)), 22, 27, -0.5 },
        { Readings((0, 58), (20_000, 41)), 22, 27, 0.5 },
    };

    [Theory]
    [MemberData(nameof(NotForecastable))]
    public void What_cannot_be_forecast_is_null(CoreReading[] readings, double room, double target, double uncertainty) =>
        Assert.Null(NewtonCooling.Forecast(readings, room, target, uncertainty));
}
