using Trace.Core.Science;
using Xunit;

namespace Trace.Tests.Science;

public class DrySolidsTests
{
    private static double Moisture(double massIn, double massOut, double initial) =>
        DrySolids.FinalMoisture(massIn, massOut, new(initial, 0), 0, 0).Value;

    [CheckValue(Mark.Recomputed, typeof(DrySolids), "By hand from the mass balance: yields of 0.25 to 0.45 against initial moistures of 0.60 to 0.75")]
    [Theory]
    [InlineData(0.25, -0.60, -0.40, -0.28, -0.20, -0.12, 0.00)]
    [InlineData(0.30, -0.33, -0.17, -0.07, 0.00, 0.067, 0.167)]
    [InlineData(0.35, -0.14, 0.00, 0.086, 0.143, 0.200, 0.286)]
    [InlineData(0.40, 0.00, 0.125, 0.200, 0.250, 0.300, 0.375)]
    [InlineData(0.45, 0.111, 0.222, 0.289, 0.333, 0.378, 0.444)]
    public void The_table_of_yields_is_met(double yield, params double[] moistures)
    {
        double[] initial = [0.60, 0.65, 0.68, 0.70, 0.72, 0.75];
        for (var i = 0; i < initial.Length; i++)
            Assert.Equal(moistures[i], Moisture(1000, 1000 * yield, initial[i]), 0.0051);
    }

    [CheckValue(Mark.Recomputed, typeof(DrySolids), "From the dry matter of larvae on five diets that Bellezza Oddon et al. 2022, Sci Rep 12:10922, Table 2 prints: dried until only solids are left, the yield is the dry matter and the moisture is zero")]
    [Theory]
    [InlineData(32.43)]
    [InlineData(30.80)]
    [InlineData(29.76)]
    [InlineData(31.40)]
    [InlineData(30.11)]
    public void Larvae_dried_down_to_their_published_dry_matter_hold_no_water(double dryMatterPercent)
    {
        var initial = 1 - dryMatterPercent / 100;
        Assert.InRange(initial, 0.6757, 0.7024);
        Assert.Equal(0, Moisture(100, dryMatterPercent, initial), 1e-12);
        Assert.Equal(0.10, Moisture(100, 100 * DrySolids.LargestYield(initial, 0.10), initial), 1e-12);
    }

    [CheckValue(Mark.FromMemory, typeof(DrySolids), "Singh and Heldman, chapter 1: 50 kg/h at 75 % wet basis, 100 kg/h dry air whose humidity rises from 0.08 to 0.18, so 10 kg/h of water leave: 40 kg/h out with 2.2 kg water per kg solids")]
    [Fact]
    public void The_textbook_drier_leaves_2_2_on_dry_basis() =>
        Assert.Equal(2.2, DrySolids.WetToDryBasis(Moisture(50, 40, 0.75)), 1e-12);

    [CheckValue(Mark.Recomputed, typeof(DrySolids), "By hand: 45 % yield is wet for every initial moisture from 0.60 to 0.75 (11 % to 44 %)")]
    [Fact]
    public void A_yield_of_45_percent_is_wet_whatever_the_larvae_were()
    {
        Assert.Equal(0.111, Moisture(100, 45, 0.60), 5e-4);
        Assert.Equal(0.444, Moisture(100, 45, 0.75), 5e-4);
    }

    [CheckValue(Mark.Recomputed, typeof(DrySolids), "First-order propagation (GUM 5.1.2); the first case also by Monte Carlo (mean 0.0626, sd 0.0937)")]
    [Theory]
    [InlineData(0.030, 0.0938)]
    [InlineData(0.010, 0.0315)]
    [InlineData(0.005, 0.0160)]
    public void The_uncertainty_of_the_final_moisture_is_that_of_the_initial_one_times_the_ratio(double initial, double expected)
    {
        var resolution = DrySolids.ResolutionUncertainty(1);
        var final = DrySolids.FinalMoisture(250, 80, new(0.70, initial), resolution, resolution);
        Assert.Equal(0.0625, final.Value, 1e-12);
        Assert.Equal(expected, final.Uncertainty, 5e-5);
    }

    [CheckValue(Mark.Recomputed, typeof(DrySolids), "First-order propagation by hand: the two mass terms of the same case are 0.0011 and 0.0034")]
    [Fact]
    public void The_balance_adds_little()
    {
        Assert.Equal(0.0011, DrySolids.FinalMoisture(250, 80, new(0.70, 0), DrySolids.ResolutionUncertainty(1), 0).Uncertainty, 5e-5);
        Assert.Equal(0.0034, DrySolids.FinalMoisture(250, 80, new(0.70, 0), 0, DrySolids.ResolutionUncertainty(1)).Uncertainty, 5e-5);
    }

    [CheckValue(Mark.FromMemory, typeof(DrySolids), "GUM (JCGM 100:2008) F.2.2.1 and 4.3.7; by hand 1 g gives 0.289 g, 0.60 to 0.75 gives 0.0433")]
    [Fact]
    public void Resolution_and_range_are_spread_evenly()
    {
        Assert.Equal(0.289, DrySolids.ResolutionUncertainty(1), 5e-4);
        Assert.Equal(0.0433, DrySolids.RangeUncertainty(0.60, 0.75), 5e-5);
        Assert.Equal(0, DrySolids.RangeUncertainty(0.7, 0.7));
    }

    [CheckValue(Mark.Recomputed, typeof(DrySolids), "By hand from the mass balance: the largest yields for limits of 10 % and 5 %")]
    [Theory]
    [InlineData(0.60, 0.444, 0.421)]
    [InlineData(0.65, 0.389, 0.368)]
    [InlineData(0.70, 0.333, 0.316)]
    [InlineData(0.75, 0.278, 0.263)]
    public void The_largest_yield_meets_its_limit(double initial, double tenPercent, double fivePercent)
    {
        Assert.Equal(tenPercent, DrySolids.LargestYield(initial, 0.10), 5e-4);
        Assert.Equal(fivePercent, DrySolids.LargestYield(initial, 0.05), 5e-4);
        Assert.Equal(1 - initial, DrySolids.LargestYield(initial, 0), 1e-15);
    }

    [Fact]
    public void Larvae_already_below_the_limit_may_keep_all_their_mass() => Assert.Equal(1, DrySolids.LargestYield(0.08, 0.10));

    [CheckValue(Mark.Recomputed, typeof(DrySolids), "By hand: 10 % wet basis is 11.1 % dry basis; 8 % dry basis is 7.4 % wet basis")]
    [Fact]
    public void Bases_convert_both_ways()
    {
        Assert.Equal(0.111, DrySolids.WetToDryBasis(0.10), 5e-4);
        Assert.Equal(0.074, DrySolids.DryToWetBasis(0.08), 5e-4);
        Assert.Equal(0, DrySolids.WetToDryBasis(0));
        for (var m = 0.0; m < 0.99; m += 0.07) Assert.Equal(m, DrySolids.DryToWetBasis(DrySolids.WetToDryBasis(m)), 1e-14);
    }

    [CheckValue(Mark.Recomputed, typeof(DrySolids), "By hand: 900 g at 5 % and 100 g at 25 % hold 70 g in 1,000 g; the plain mean would say 15 %")]
    [Fact]
    public void A_mixture_is_weighted_by_mass()
    {
        Assert.Equal(0.07, DrySolids.MixMoisture([(900, 0.05), (100, 0.25)]), 1e-15);
        Assert.Equal(0.05, DrySolids.MixMoisture([(900, 0.05), (0, 1)]), 1e-15);
    }

    [Fact]
    public void A_negative_moisture_is_shown_not_clamped() => Assert.Equal(-0.2, Moisture(100, 25, 0.70), 1e-12);

    [Fact]
    public void Nothing_lost_leaves_the_moisture_as_it_was() => Assert.Equal(0.7, Moisture(80, 80, 0.7), 1e-15);

    [Theory]
    [InlineData(double.NaN, 80, 0.7, 0.01, 0.3, 0.3)]
    [InlineData(double.PositiveInfinity, 80, 0.7, 0.01, 0.3, 0.3)]
    [InlineData(250, double.NaN, 0.7, 0.01, 0.3, 0.3)]
    [InlineData(250, 0, 0.7, 0.01, 0.3, 0.3)]
    [InlineData(250, -80, 0.7, 0.01, 0.3, 0.3)]
    [InlineData(250, 250.001, 0.7, 0.01, 0.3, 0.3)]
    [InlineData(250, 80, 0, 0.01, 0.3, 0.3)]
    [InlineData(250, 80, 1, 0.01, 0.3, 0.3)]
    [InlineData(250, 80, 70, 0.01, 0.3, 0.3)]
    [InlineData(250, 80, double.NaN, 0.01, 0.3, 0.3)]
    [InlineData(250, 80, 0.7, -0.01, 0.3, 0.3)]
    [InlineData(250, 80, 0.7, double.NaN, 0.3, 0.3)]
    [InlineData(250, 80, 0.7, 0.01, double.NaN, 0.3)]
    [InlineData(250, 80, 0.7, 0.01, 0.3, double.PositiveInfinity)]
    [InlineData(1e300, 1e-300, 0.7, 0.01, 0.3, 0.3)]
    public void Numbers_that_cannot_be_are_refused(
        double massIn, double massOut, double moisture, double moistureUncertainty, double inUncertainty, double outUncertainty) =>
        Assert.Throws<ArgumentOutOfRangeException>(() =>
            DrySolids.FinalMoisture(massIn, massOut, new(moisture, moistureUncertainty), inUncertainty, outUncertainty));

    [Fact]
    public void The_small_functions_refuse_too()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => DrySolids.ResolutionUncertainty(-1));
        Assert.Throws<ArgumentOutOfRangeException>(() => DrySolids.ResolutionUncertainty(double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => DrySolids.RangeUncertainty(0.75, 0.60));
        Assert.Throws<ArgumentOutOfRangeException>(() => DrySolids.RangeUncertainty(double.NaN, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => DrySolids.WetToDryBasis(1));
        Assert.Throws<ArgumentOutOfRangeException>(() => DrySolids.WetToDryBasis(-0.1));
        Assert.Throws<ArgumentOutOfRangeException>(() => DrySolids.DryToWetBasis(double.PositiveInfinity));
        Assert.Throws<ArgumentOutOfRangeException>(() => DrySolids.LargestYield(0.7, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => DrySolids.LargestYield(double.NaN, 0.1));
        Assert.Throws<ArgumentOutOfRangeException>(() => DrySolids.MixMoisture([]));
        Assert.Throws<ArgumentOutOfRangeException>(() => DrySolids.MixMoisture([(0, 0.1)]));
        Assert.Throws<ArgumentOutOfRangeException>(() => DrySolids.MixMoisture([(1, double.NaN)]));
        Assert.Throws<ArgumentOutOfRangeException>(() => DrySolids.MixMoisture([(-1, 0.1), (2, 0.1)]));
        Assert.Throws<ArgumentOutOfRangeException>(() => DrySolids.MixMoisture([(1, 7.5)]));
    }

    // Recomputed: 0.0625 + 1.645 × 0.03 and minus.
    [Fact]
    public void An_estimate_guards_both_ways()
    {
        var estimate = new Estimate(0.0625, 0.03);
        Assert.Equal(0.11185, estimate.Upper, 1e-12);
        Assert.Equal(0.01315, estimate.Lower, 1e-12);
    }
}
