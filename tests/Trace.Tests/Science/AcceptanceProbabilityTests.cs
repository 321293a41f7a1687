using Trace.Core.Science;
using Xunit;

namespace Trace.Tests.Science;

public class AcceptanceProbabilityTests
{
    [CheckValue(Mark.Published, typeof(AcceptanceSampling), "Adams and Moss, Food Microbiology, Table 11.1: % of lots accepted with c = 0, rounded by the book")]
    [Theory]
    [InlineData(10, 1, 90)]
    [InlineData(10, 2, 82)]
    [InlineData(10, 5, 60)]
    [InlineData(10, 10, 35)]
    [InlineData(20, 1, 82)]
    [InlineData(20, 2, 67)]
    [InlineData(20, 5, 36)]
    [InlineData(20, 10, 12)]
    [InlineData(100, 1, 37)]
    [InlineData(100, 2, 13)]
    [InlineData(100, 5, 0.6)]
    public void The_textbook_table_is_met(int n, double defectivePercent, double acceptedPercent)
    {
        var accepted = 100 * AcceptanceSampling.TwoClassProbability(n, 0, defectivePercent / 100);
        Assert.Equal(acceptedPercent, accepted, acceptedPercent < 1 ? 0.05 : 0.5);
    }

    [CheckValue(Mark.Published, typeof(AcceptanceSampling), "NIST/SEMATECH e-Handbook 6.2.3.2, n 52, c 3, read in a copy; its .845 and .739 are .8460 and .7383 when recomputed: tolerance 1e-3")]
    [Fact]
    public void The_curve_of_the_nist_handbook_is_met()
    {
        double[] published = [.998, .980, .930, .845, .739, .620, .502, .394, .300, .223, .162, .115];
        for (var i = 0; i < published.Length; i++)
            Assert.Equal(published[i], AcceptanceSampling.TwoClassProbability(52, 3, (i + 1) / 100.0), 1.01e-3);
    }

    [CheckValue(Mark.Published, typeof(AcceptanceSampling), "Vignette of the R package AcceptanceSampling (n 20), a second vignette's risks for n 144, c 4")]
    [Theory]
    [InlineData(20, 0, 0.05, 0.35848592)]
    [InlineData(20, 0, 0.15, 0.03875953)]
    [InlineData(144, 4, 0.01, 1 - 0.01534843)]
    [InlineData(144, 4, 0.05, 0.1487162)]
    public void Published_acceptance_probabilities_are_met(int n, int c, double p, double accepted) =>
        Assert.Equal(accepted, AcceptanceSampling.TwoClassProbability(n, c, p), 5e-8);

    [CheckValue(Mark.Published, typeof(AcceptanceSampling), "A statistics package's manual, N 5000, n 52, c 2: Pa(.015) .957, Pa(.10) .097")]
    [Theory]
    [InlineData(52, 2, 0.015, 0.957, 5e-4)]
    [InlineData(52, 2, 0.10, 0.097, 5e-4)]
    public void The_manual_of_a_statistics_package_is_met(int n, int c, double p, double accepted, double tolerance) =>
        Assert.Equal(accepted, AcceptanceSampling.TwoClassProbability(n, c, p), tolerance);

    [CheckValue(Mark.Recomputed, typeof(AcceptanceSampling), "Binomial sums, for plans printed in the R vignette (n 80, c 7) and in that manual (n 52, c 2)")]
    [Theory]
    [InlineData(80, 7, 0.05, 0.9534, 5e-5)]
    [InlineData(80, 7, 0.15, 0.0727, 5e-5)]
    [InlineData(52, 2, 0.015, 0.95670, 5e-6)]
    [InlineData(52, 2, 0.10, 0.09663, 5e-6)]
    public void Plans_of_others_pass_as_often_as_recomputed(int n, int c, double p, double accepted, double tolerance) =>
        Assert.Equal(accepted, AcceptanceSampling.TwoClassProbability(n, c, p), tolerance);

    [CheckValue(Mark.FromMemory, typeof(AcceptanceSampling), "ISO 2859-1, code J, AQL 1.0, n 80, c 2: quality accepted with 95 %, 50 % and 10 %")]
    [Theory]
    [InlineData(80, 2, 0.01030, 0.95, 5e-4)]
    [InlineData(80, 2, 0.03329, 0.50, 5e-4)]
    [InlineData(80, 2, 0.06516, 0.10, 5e-4)]
    public void The_standard_plan_is_met(int n, int c, double p, double accepted, double tolerance) =>
        Assert.Equal(accepted, AcceptanceSampling.TwoClassProbability(n, c, p), tolerance);

    [CheckValue(Mark.Recomputed, typeof(AcceptanceSampling), "Binomial sums by hand: n 60 and the plans of three to ten units")]
    [Theory]
    [InlineData(60, 0, 0.05, 0.0461, 5e-5)]
    [InlineData(5, 0, 0.01, 0.951, 5e-4)]
    [InlineData(5, 0, 0.05, 0.774, 5e-4)]
    [InlineData(5, 0, 0.10, 0.590, 5e-4)]
    [InlineData(5, 0, 0.20, 0.328, 5e-4)]
    [InlineData(5, 0, 0.30, 0.168, 5e-4)]
    [InlineData(5, 0, 0.50, 0.031, 5e-4)]
    [InlineData(3, 0, 0.10, 0.729, 5e-4)]
    [InlineData(3, 0, 0.50, 0.125, 5e-4)]
    [InlineData(10, 0, 0.10, 0.349, 5e-4)]
    [InlineData(10, 0, 0.50, 0.001, 5e-4)]
    [InlineData(8, 1, 0.20, 0.503316, 5e-7)]
    public void Recomputed_acceptance_probabilities_are_met(int n, int c, double p, double accepted, double tolerance) =>
        Assert.Equal(accepted, AcceptanceSampling.TwoClassProbability(n, c, p), tolerance);

    [CheckValue(Mark.Recomputed, typeof(AcceptanceSampling), "The smallest n that sees at least one defective unit with 95 % and 99 %: ln(risk) / ln(1 − p), rounded up")]
    [Theory]
    [InlineData(0.05, 59, 90)]
    [InlineData(0.10, 29, 44)]
    [InlineData(0.20, 14, 21)]
    [InlineData(0.25, 11, 17)]
    [InlineData(0.30, 9, 13)]
    [InlineData(0.50, 5, 7)]
    public void Sample_sizes_for_seeing_one_are_met(double p, int for95, int for99)
    {
        foreach (var (n, risk) in new[] { (for95, 0.05), (for99, 0.01) })
        {
            Assert.True(AcceptanceSampling.TwoClassProbability(n, 0, p) <= risk);
            Assert.True(AcceptanceSampling.TwoClassProbability(n - 1, 0, p) > risk);
        }
    }

    [CheckValue(Mark.Recomputed, typeof(AcceptanceSampling), "The 95 % upper bound on the share after n clean units, 1 − 0.05^(1/n)")]
    [Theory]
    [InlineData(3, 0.63)]
    [InlineData(5, 0.45)]
    [InlineData(10, 0.26)]
    [InlineData(20, 0.14)]
    public void Clean_units_exclude_only_large_shares(int n, double share) =>
        Assert.InRange(
            0.05,
            AcceptanceSampling.TwoClassProbability(n, 0, share + 0.005),
            AcceptanceSampling.TwoClassProbability(n, 0, share - 0.005));

    [CheckValue(Mark.Recomputed, typeof(AcceptanceSampling), "Trinomial sums for n 5, c 2; a share of one half and none over M by symmetry: half of all cases have at most 2 of 5")]
    [Theory]
    [InlineData(0.2, 0, 0.9421)]
    [InlineData(0.3, 0, 0.8369)]
    [InlineData(0.5, 0, 0.5000)]
    [InlineData(0.2, 0.05, 0.7225)]
    [InlineData(0.2, 0.1, 0.5454)]
    [InlineData(0.2, 0.2, 0.2938)]
    public void Three_class_probabilities_are_met(double marginal, double defective, double accepted) =>
        Assert.Equal(accepted, AcceptanceSampling.ThreeClassProbability(5, 2, marginal, defective), 5e-5);

    [CheckValue(Mark.Recomputed, typeof(AcceptanceSampling), "Log-normal counts with a spread of 0.8 log, m 10, M 300, the normal integral by Simpson's rule")]
    [Theory]
    [InlineData(0.5, 0.855)]
    [InlineData(1.0, 0.451)]
    [InlineData(1.5, 0.090)]
    public void A_log_normal_lot_passes_as_often_as_recomputed(double meanLog, double accepted)
    {
        double Above(double limit) => 0.5 - NormalFromZero((Math.Log10(limit) - meanLog) / 0.8);
        var defective = Above(300);
        Assert.Equal(accepted, AcceptanceSampling.ThreeClassProbability(5, 2, Above(10) - defective, defective), 5.1e-4);
    }

    private static double NormalFromZero(double z)
    {
        const int Parts = 1000;
        var step = z / Parts;
        double sum = 0;
        for (var i = 0; i <= Parts; i++)
            sum += (i == 0 || i == Parts ? 1 : i % 2 == 1 ? 4 : 2) * Math.Exp(-i * step * i * step / 2);
        return sum * step / 3 / Math.Sqrt(2 * Math.PI);
    }

    [Fact]
    public void Certain_cases_are_certain()
    {
        Assert.Equal(1, AcceptanceSampling.TwoClassProbability(5, 0, 0));
        Assert.Equal(0, AcceptanceSampling.TwoClassProbability(5, 0, 1));
        Assert.Equal(1, AcceptanceSampling.TwoClassProbability(5, 5, 1), 1e-14);
        Assert.Equal(1, AcceptanceSampling.TwoClassProbability(5, 5, 0.3), 1e-14);
        Assert.Equal(0, AcceptanceSampling.ThreeClassProbability(5, 2, 0, 1));
        Assert.Equal(1, AcceptanceSampling.ThreeClassProbability(5, 5, 1, 0), 1e-14);
        Assert.Equal(0.16807, AcceptanceSampling.ThreeClassProbability(5, 5, 0.7, 0.3), 1e-12); // 0.7⁵, by hand.
    }

    [CheckValue(Mark.Recomputed, typeof(AcceptanceSampling), "By symmetry: at p = 0.5 and odd n, half of all cases lie at or below (n − 1)/2; the plain factorials would overflow")]
    [Fact]
    public void Large_plans_neither_overflow_nor_underflow() =>
        Assert.Equal(0.5, AcceptanceSampling.TwoClassProbability(5001, 2500, 0.5), 1e-9);

    [Theory]
    [InlineData(0, 0, 0.1, 0)]
    [InlineData(5, -1, 0.1, 0)]
    [InlineData(5, 6, 0.1, 0)]
    [InlineData(5, 2, -0.1, 0)]
    [InlineData(5, 2, 1.1, 0)]
    [InlineData(5, 2, double.NaN, 0)]
    [InlineData(5, 2, 0.1, double.NaN)]
    [InlineData(5, 2, 0.6, 0.5)]
    public void Plans_and_shares_that_cannot_be_are_refused(int n, int c, double marginal, double defective) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => AcceptanceSampling.ThreeClassProbability(n, c, marginal, defective));
}
