using Trace.Core.Figures;
using Trace.Core.Science;
using Trace.Core.Specifications;
using Xunit;

namespace Trace.Tests.Figures;

public sealed class PlanFiguresTests
{
    [Fact]
    [CheckValue(Mark.Published, typeof(AcceptanceSampling), "Adams and Moss, Food Microbiology, table 11.1, n 10, c 0: 90 % and 60 % and 35 % of lots with 1, 5 and 10 % defectives accepted (rounded)")]
    public void How_often_a_bad_lot_passes_a_two_class_plan()
    {
        var figures = PlanFigures.Of(new("salmonella", LotKind.Packed, 10, 0, 0, 0, false, "in 25 g", "example"));
        Assert.Equal([0.90, 0.60, 0.35], figures.PassesOften.Take(3).Select(point => Math.Round(point.Passes, 2)));
        Assert.Equal([0.01, 0.05, 0.10, 0.20], figures.PassesOften.Select(point => point.BadShare));
        Assert.Null(figures.MarginalCurve);
        Assert.Equal((0, 1), (figures.Curve[0].BadShare, figures.Curve[0].Passes));
        Assert.Equal((1, 0), (figures.Curve[^1].BadShare, figures.Curve[^1].Passes));
    }

    /// <summary>In a three-class plan c forgives units between m and M, never one over M.</summary>
    [Fact]
    [CheckValue(Mark.Recomputed, typeof(AcceptanceSampling), "n 5, c 2: trinomial in Python: 20 % marginal 0.9421, 30 % 0.8369, 50 % 0.5; 20 % over M, none marginal: 0.8^5 = 0.3277")]
    public void A_three_class_plan_forgives_no_unit_over_M()
    {
        var figures = PlanFigures.Of(new("count", LotKind.Packed, 5, 2, 10, 300, true, "CFU/g", "example"));
        Assert.Equal(0.3277, figures.PassesOften[3].Passes, 1e-4);
        Assert.Equal(0.9421, figures.MarginalCurve!.Single(point => point.BadShare == 0.2).Passes, 1e-4);
        Assert.Equal(0.5, figures.MarginalCurve!.Single(point => point.BadShare == 0.5).Passes, 1e-9);
    }

    [Theory]
    [CheckValue(Mark.Recomputed, typeof(SamplingPower), "1 − 0.05^(1/n), by hand: 63.2, 45.1 and 25.9 %")]
    [InlineData(3, 0.632)]
    [InlineData(5, 0.451)]
    [InlineData(10, 0.259)]
    public void Clean_grabs_leave_so_much_possible(int grabs, double share) => Assert.Equal(share, PlanFigures.OfGrabs(grabs).UpperBound, 5e-4);
}
