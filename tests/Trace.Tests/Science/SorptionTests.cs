using CsCheck;
using Trace.Core.Science.WaterActivity;
using Xunit;

namespace Trace.Tests.Science;

public sealed class SorptionTests
{
    // Invented constants, such as a fit might give; no published ones of larvae could be read.
    private const double M0 = 0.045, C = 10, K = 0.90;

    [Theory]
    [CheckValue(Mark.Recomputed, typeof(Sorption), "GAB equation as in the COST 90 recommendation, invented constants, in Python")]
    [InlineData(0.40, 0.059699)]
    [InlineData(0.60, 0.090147)]
    [InlineData(0.26695, 0.045)]
    public void Gab_gives_the_moisture_of_a_water_activity(double activity, double moisture) =>
        Assert.Equal(moisture, Sorption.Gab(activity, M0, C, K), 1e-6);

    [Theory]
    [CheckValue(Mark.Recomputed, typeof(Sorption), "the same equation solved for aw with a root finder, in Python")]
    [InlineData(0.08, 0.54494)]
    [InlineData(0.06, 0.40252)]
    [InlineData(0.10, 0.64483)]
    public void Gab_is_solved_for_the_water_activity(double moisture, double activity) =>
        Assert.Equal(activity, Sorption.GabWaterActivity(moisture, M0, C, K), 5e-6);

    [Fact]
    public void The_monolayer_is_reached_where_the_formula_says()
    {
        Assert.Equal(0.26695, Sorption.MonolayerWaterActivity(C, K), 5e-6);
        Assert.Equal(M0, Sorption.Gab(Sorption.MonolayerWaterActivity(C, K), M0, C, K), 1e-12);
    }

    [Fact]
    public void Every_model_is_its_own_inverse_and_rises() => Gen.Select(
            Gen.Double[0.01, 0.93], Gen.Double[0.01, 0.93], Gen.Double[0.01, 0.2], Gen.Double[0.05, 80], Gen.Double[0.3, 1])
        .Sample((activity, other, monolayer, c, k) =>
        {
            foreach (var model in new SorptionModel[]
            {
                new(SorptionModelKind.Gab, [monolayer, c, k]), new(SorptionModelKind.Bet, [monolayer, c]),
                new(SorptionModelKind.Oswin, [monolayer, k]), new(SorptionModelKind.Peleg, [monolayer, k, 2 * monolayer, 1 + c / 8]),
            })
            {
                var moisture = model.DryBasis(activity);
                Assert.Equal(activity, model.WaterActivity(moisture), 1e-9);
                if (other > activity) Assert.True(model.DryBasis(other) > moisture, $"{model.Kind} does not rise");
            }
        });

    [Fact]
    public void What_is_no_water_activity_or_constant_is_refused_by_name()
    {
        Assert.Throws<ArgumentOutOfRangeException>("waterActivity", () => Sorption.Gab(40, M0, C, K));
        Assert.Throws<ArgumentOutOfRangeException>("waterActivity", () => Sorption.Gab(double.NaN, M0, C, K));
        Assert.Throws<ArgumentOutOfRangeException>("waterActivity", () => Sorption.Gab(1, M0, C, 1));
        Assert.Throws<ArgumentOutOfRangeException>("k", () => Sorption.Gab(0.4, M0, C, 1.1));
        Assert.Throws<ArgumentOutOfRangeException>("monolayer", () => Sorption.Gab(0.4, 0, C, K));
        Assert.Throws<ArgumentOutOfRangeException>("c", () => Sorption.Gab(0.4, M0, -1, K));
        Assert.Throws<ArgumentOutOfRangeException>("dryBasis", () => Sorption.GabWaterActivity(5, M0, C, K));
        Assert.Throws<ArgumentOutOfRangeException>("waterActivity", () => Sorption.Oswin(1, 0.1, 0.5));
        Assert.Throws<ArgumentOutOfRangeException>("dryBasis", () => Sorption.PelegWaterActivity(1, 0.1, 1, 0.1, 2));
    }

    [Fact]
    [CheckValue(Mark.Recomputed, typeof(WaterActivityShift), "Clausius–Clapeyron with q 4 kJ/mol, in Python")]
    public void A_warm_product_has_the_higher_water_activity()
    {
        Assert.Equal(0.432, WaterActivityShift.At(0.40, 25, 40, 4), 5e-4);
        Assert.Equal(0.474, WaterActivityShift.At(0.40, 25, 60, 4), 5e-4);
        Assert.Equal(0.40, WaterActivityShift.At(0.40, 25, 25, 4), 1e-15);
        Assert.Throws<ArgumentOutOfRangeException>("toCelsius", () => WaterActivityShift.At(0.99, 5, 80, 40));
        Assert.Throws<ArgumentOutOfRangeException>("waterActivity", () => WaterActivityShift.At(0, 5, 80, 4));
    }

    [Fact]
    public void There_and_back_is_the_same_water_activity() =>
        Gen.Select(Gen.Double[0.05, 0.7], Gen.Double[0, 60], Gen.Double[0, 60], Gen.Double[0, 5]).Sample((activity, one, other, heat) =>
            Assert.Equal(activity, WaterActivityShift.At(WaterActivityShift.At(activity, one, other, heat), other, one, heat), 1e-12));
}
