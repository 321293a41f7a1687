using Trace.Core.Figures;
using Trace.Core.Science;
using Trace.Core.Specifications;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Figures;

public sealed class SanitisingFiguresTests
{
    private static readonly double[] Run = [24, 41, 55, 64, 70, 72, 73, 74, 74.5, 74.8, 75, 60, 40];

    private static List<CoreReading> Readings => [.. Run.Index().Select(one => new CoreReading(Facts.Noon.AddSeconds(30 * one.Index), one.Item))];

    [Fact]
    [CheckValue(Mark.Recomputed, typeof(Lethality), "half-minute steps, default rule, integrated in Python: floor 8.6627 min, exact 10.1709 min at 70 °C, z 7.5 K")]
    public void A_run_is_worth_the_same_before_and_after_it_is_recorded()
    {
        var figures = SanitisingFigures.Of(Readings, new SanitisingLimits());
        Assert.Equal(8.6627, figures.FloorMinutes!.Value, 1e-4);
        Assert.Equal(10.1709, figures.ExactMinutes!.Value, 1e-4);
        Assert.True(figures.Suffices);
        Assert.Null(figures.LogReduction);
        Assert.DoesNotContain("log reduction", figures.Words, StringComparison.Ordinal);
        Assert.Contains("no proof of safety", figures.Words, StringComparison.Ordinal);
    }

    [Theory]
    [CheckValue(Mark.Recomputed, typeof(Lethality), "F / D of the floor 8.6627 min by hand: 8.6627 / 2 = 4.331; 8.6627 / 0.3 = 28.9, capped at 7")]
    [InlineData(2, 4.331)]
    [InlineData(0.3, 7)]
    public void With_a_stated_D_the_log_reduction_is_told_capped_and_as_no_proof(double decimalReduction, double logs)
    {
        var figures = SanitisingFigures.Of(Readings, new SanitisingLimits(DecimalReductionMinutes: decimalReduction));
        Assert.Equal(logs, figures.LogReduction!.Value, 1e-3);
        Assert.Contains("log reduction at least, counted to 7 at most: computed, no proof of safety", figures.Words, StringComparison.Ordinal);
    }

    /// <summary>Every reading counts 1.645 · 1 K lower; 10^(−1.645/7.5) = 0.6035 of the rate where nothing is cut off.</summary>
    [Fact]
    [CheckValue(Mark.Recomputed, typeof(Lethality), "5 min level at 70 °C less 1.645 K: 5 · 10^(−1.645/7.5) = 3.0175 min, by hand")]
    public void The_probes_uncertainty_lowers_what_counts()
    {
        List<CoreReading> level = [.. Enumerable.Range(0, 11).Select(step => new CoreReading(Facts.Noon.AddSeconds(30 * step), 70))];
        Assert.Equal(3.0175, SanitisingFigures.Of(level, new SanitisingLimits(ProbeUncertaintyKelvin: 1)).FloorMinutes!.Value, 1e-3);
    }

    [Fact]
    public void A_record_with_a_gap_is_worth_nothing_and_says_why()
    {
        var figures = SanitisingFigures.Of([Readings[0], Readings[^1]], new SanitisingLimits());
        Assert.Null(figures.FloorMinutes);
        Assert.False(figures.Suffices);
        Assert.Contains("the lot would be held: There are 360 s without a core reading", figures.Words, StringComparison.Ordinal);
    }
}
