using CsCheck;
using Trace.Core.Science;
using Trace.Core.Science.Moisture;
using Xunit;

namespace Trace.Tests.Science;

public sealed class DryingAdviceTests
{
    [Theory]
    [CheckValue(Mark.Recomputed, typeof(DryingEndPoint), "own derivation R = Δ·q/(1 − q), two invented runs, in Python")]
    [InlineData(105, 82, 165, .383, 14.3, .174)]
    [InlineData(92, 80, 150, .207, 3.13, .039)]
    public void Falling_losses_say_what_is_left(double third, double last, double second, double ratio, double removable, double moisture)
    {
        var sign = DryingEndPoint.FromLosses([250, second, third, last])!.Value;
        Assert.Equal(ratio, sign.Ratio, 5e-4);
        Assert.Equal(removable, sign.RemovableGrams, 0.05);
        Assert.Equal(moisture, sign.Moisture, 5e-4);
    }

    [Fact]
    public void Losses_that_do_not_fall_say_nothing()
    {
        Assert.Null(DryingEndPoint.FromLosses([250, 230, 200, 150]));
        Assert.Null(DryingEndPoint.FromLosses([250, 200, 150, 150]));
        Assert.Null(DryingEndPoint.FromLosses([250, 200, 150, 160]));
        Assert.Throws<ArgumentOutOfRangeException>("massesGrams", () => DryingEndPoint.FromLosses([250, 200, 150]));
        Assert.Throws<ArgumentOutOfRangeException>("massesGrams", () => DryingEndPoint.FromLosses([250, 200, double.NaN, 120]));
        Assert.True(DryingEndPoint.IsConstantWeight(80.4, 80, 0.01));
        Assert.False(DryingEndPoint.IsConstantWeight(82, 80, 0.01));
        Assert.Throws<ArgumentOutOfRangeException>("massAfterGrams", () => DryingEndPoint.IsConstantWeight(80, 82, 0.01));
    }

    [Fact]
    [CheckValue(Mark.Recomputed, typeof(DryingAdvice), "largest yield (1 − M0)/(1 − limit): 0.333 for M0 0.70 and 10 %, by hand")]
    public void The_operator_sees_what_is_still_to_lose()
    {
        var advice = DryingAdvice.After(250, new(0.70, 0.03), 0.10, DrySolids.ResolutionUncertainty(1), [new(300, 140, 110)]);
        Assert.Equal(110 - 250 * 0.3 / 0.9, advice.StillToLoseGrams, 1e-9);
        Assert.Equal(1 - 75.0 / 110, advice.Moisture.Value, 1e-12);
        Assert.Equal(267, advice.NextSeconds);
        var done = DryingAdvice.After(250, new(0.70, 0.03), 0.10, 0, [new(300, 95, 80)]);
        Assert.Equal((0, null), (done.StillToLoseGrams, done.NextSeconds));
    }

    [Fact]
    public void A_falling_pace_makes_the_cycle_longer_but_never_longer_than_the_last()
    {
        var steady = DryingAdvice.After(250, new(0.70, 0.03), 0.10, 0, [new(300, 120, 90)]).NextSeconds!.Value;
        var falling = DryingAdvice.After(250, new(0.70, 0.03), 0.10, 0, [new(300, 180, 120), new(300, 120, 90)]).NextSeconds!.Value;
        Assert.True(falling > steady, $"{falling} {steady}");
        Assert.Equal(300, DryingAdvice.After(250, new(0.70, 0.03), 0.10, 0, [new(300, 180, 130), new(300, 130, 125)]).NextSeconds);
        Assert.Null(DryingAdvice.After(250, new(0.70, 0.03), 0.10, 0, [new(300, 120, 120)]).NextSeconds);
    }

    [Fact]
    public void Whatever_the_cycles_the_advice_is_a_number_within_bounds() =>
        Gen.Select(Gen.Double[100, 900], Gen.Double[0.55, 0.8], Gen.Double[0.02, 0.2], Gen.Double[0, 0.9], Gen.Double[0, 0.9], Gen.Double[20, 900]).Sample(
            (massIn, fresh, limit, first, second, seconds) =>
            {
                var (a, b) = (massIn * (1 - first * fresh), massIn * (1 - first * fresh) * (1 - second * 0.5));
                var advice = DryingAdvice.After(massIn, new(fresh, 0.02), limit, 0.3, [new(seconds, massIn, a), new(seconds, a, b)]);
                Assert.True(double.IsFinite(advice.Moisture.Value) && advice.StillToLoseGrams >= 0 && advice.StillToLoseGrams < massIn);
                if (advice.NextSeconds is { } next) Assert.InRange(next, 1, seconds);
                Assert.Equal(advice.StillToLoseGrams > 0, advice.Moisture.Value > limit + 1e-12);
            });
}
