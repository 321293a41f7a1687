using CsCheck;
using Trace.Core.Science;
using Trace.Core.Science.WaterActivity;
using Xunit;

namespace Trace.Tests.Science;

public sealed class IsothermFitTests
{
    // Published: data set in the manual of an R package for sorption isotherms.
    private static readonly double[] Activities = [.1145, .2274, .3265, .4291, .6342, .7385, .8274, .9573];
    private static readonly double[] Adsorbed = [.0234, .0366, .0496, .0648, .0887, .1096, .1343, .1938];
    private static readonly double[] Desorbed = [.0459, .0637, .0794, .0884, .1158, .1298, .1500, .1938];
    private static readonly DateOnly Day = new(2026, 2, 2);

    private static List<SorptionPair> Pairs(double[] moistures) => [.. Activities.Zip(moistures, (activity, moisture) => new SorptionPair(activity, moisture))];

    [Fact]
    [CheckValue(Mark.Recomputed, typeof(IsothermFit), "data of an R sorption package's manual (read); constants by least squares in Python")]
    public void Gab_is_fitted_to_the_published_data()
    {
        var up = IsothermFit.Fit(SorptionModelKind.Gab, Pairs(Adsorbed));
        Assert.Equal(.051684, up.Model.Constants[0], 5e-6);
        Assert.Equal(7.3524, up.Model.Constants[1], 5e-4);
        Assert.Equal(.77790, up.Model.Constants[2], 5e-5);
        Assert.Equal(1.9557e-5, up.SumOfSquares, 5e-10);
        Assert.Equal(0.0184, up.MeanRelativeError, 5e-4);

        var down = IsothermFit.Fit(SorptionModelKind.Gab, Pairs(Desorbed));
        Assert.Equal(.069749, down.Model.Constants[0], 5e-6);
        Assert.Equal(19.913, down.Model.Constants[1], 5e-3);
        Assert.Equal(.67565, down.Model.Constants[2], 5e-5);
        Assert.Equal(3.1615e-5, down.SumOfSquares, 5e-10);
    }

    [Fact]
    [CheckValue(Mark.Recomputed, typeof(IsothermFit), "the four pairs below aw 0.5 of the same data; constants by a grid search for the least squares of X, in Python (the usual straight-line fit of aw/((1 − aw)X) gives .04417 and 6.51 instead)")]
    public void Bet_takes_only_the_pairs_below_one_half()
    {
        var fit = IsothermFit.Fit(SorptionModelKind.Bet, Pairs(Adsorbed));
        Assert.Equal(.044471, fit.Model.Constants[0], 5e-6);
        Assert.Equal(6.341, fit.Model.Constants[1], 5e-4);
        Assert.Equal(.4291, SorptionIsotherm.Through(SorptionModelKind.Bet, Pairs(Adsorbed), SorptionBranch.Adsorption, 25, Day).HighestWaterActivity);
    }

    [Fact]
    public void What_was_made_from_constants_is_found_again() =>
        Gen.Select(Gen.Double[0.02, 0.12], Gen.Double[2, 40], Gen.Double[0.5, 0.97], Gen.Enum<SorptionModelKind>()).Sample((monolayer, c, k, kind) =>
        {
            var made = new SorptionModel(kind, kind switch
            {
                SorptionModelKind.Gab => [monolayer, c, k],
                SorptionModelKind.Bet => [monolayer, c],
                SorptionModelKind.Oswin => [monolayer, k],
                _ => [monolayer, k, 2 * monolayer, 2 + c / 4],
            });
            double[] activities = [.05, .12, .2, .28, .36, .43, .49, .6, .7, .8, .9];
            var fit = IsothermFit.Fit(kind, [.. activities.Select(activity => new SorptionPair(activity, made.DryBasis(activity)))]);
            foreach (var activity in activities.Where(activity => activity <= SorptionModel.HighestWaterActivity(kind)))
                Assert.Equal(made.DryBasis(activity), fit.Model.DryBasis(activity), 2e-4);
        }, iter: 60);

    [Fact]
    public void Outside_the_measured_range_nothing_is_said()
    {
        var curve = SorptionIsotherm.Through(SorptionModelKind.Gab, Pairs(Adsorbed), SorptionBranch.Adsorption, 25, Day);
        Assert.Throws<ArgumentOutOfRangeException>("waterActivity", () => curve.DryBasis(0.10));
        Assert.Throws<ArgumentOutOfRangeException>("waterActivity", () => curve.DryBasis(0.97));
        Assert.Throws<ArgumentOutOfRangeException>("dryBasis", () => curve.WaterActivity(new(0.02, 0)));
        Assert.Throws<ArgumentOutOfRangeException>("dryBasis", () => curve.WaterActivity(new(double.NaN, 0)));
        Assert.Equal("GAB through own pairs of 2026-02-02, adsorption at 25 °C, aw 0.1145 to 0.9573; errs on the safe side for freshly dried larvae", curve.Statement);
    }

    [Fact]
    [CheckValue(Mark.Recomputed, typeof(Sorption), "slope dX/daw 0.1192 at 0.4 of the invented GAB set: 0.01 g/g is 0.084 in aw; in Python")]
    public void The_doubt_of_the_moisture_becomes_doubt_of_the_water_activity()
    {
        var made = new SorptionModel(SorptionModelKind.Gab, [0.045, 10, 0.90]);
        var pairs = Activities.Select(activity => new SorptionPair(activity, made.DryBasis(activity))).ToList();
        var curve = SorptionIsotherm.Through(SorptionModelKind.Gab, pairs, SorptionBranch.Desorption, 25, Day);
        var activity = curve.WaterActivity(new(made.DryBasis(0.4), 0.01));
        Assert.Equal(0.4, activity.Value, 1e-6);
        Assert.Equal(0.084, activity.Uncertainty, 5e-4);
    }

    [Fact]
    public void The_same_moisture_has_the_lower_water_activity_on_the_way_down()
    {
        var (up, down) = (IsothermFit.Fit(SorptionModelKind.Gab, Pairs(Adsorbed)).Model, IsothermFit.Fit(SorptionModelKind.Gab, Pairs(Desorbed)).Model);
        Assert.Equal(.0577, up.DryBasis(0.4), 5e-5);
        Assert.Equal(.0842, down.DryBasis(0.4), 5e-5);
        Assert.True(down.WaterActivity(0.08) < up.WaterActivity(0.08));
    }

    [Fact]
    public void Too_few_pairs_and_impossible_ones_are_refused_by_number()
    {
        Refused("Gab needs at least 4 pairs", Pairs(Adsorbed)[..3]);
        Refused("Pair 2: the water activity must lie between 0 and 1, not 22.7", [new(.11, .02), new(22.7, .03), new(.3, .04), new(.4, .06)]);
        Refused("Pair 3: the moisture, dry basis", [new(.11, .02), new(.2, .03), new(.3, double.NaN), new(.4, .06)]);
        Refused("there are 2", [new(.11, .02), new(.11, .03), new(.3, .04), new(.3, .06)]);

        static void Refused(string words, IReadOnlyList<SorptionPair> pairs) =>
            Assert.Contains(words, Assert.Throws<ArgumentException>(() => IsothermFit.Fit(SorptionModelKind.Gab, pairs)).Message, StringComparison.Ordinal);
    }
}
