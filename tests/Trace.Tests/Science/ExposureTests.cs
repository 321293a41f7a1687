using CsCheck;
using Trace.Core.Science.Exposure;
using Xunit;

namespace Trace.Tests.Science;

/// <summary>The worked example: five batches into two containers, three packs, grams.</summary>
public sealed class ExposureTests
{
    private static double[] One(int batch) => [.. Enumerable.Range(0, 5).Select(at => at == batch ? 1.0 : 0)];

    private static double[] First { get; } = Commingling.Shares([(80, One(0)), (76, One(1)), (40, One(2))]);

    private static double[] Second { get; } = Commingling.Shares([(44, One(2)), (80, One(3)), (78, One(4))]);

    [Fact]
    [CheckValue(Mark.Recomputed, typeof(Commingling), "worked example of five batches, two containers, three packs, in Python")]
    public void Shares_follow_the_masses()
    {
        Near([.4082, .3878, .2041, 0, 0], First);
        Near([.3918, .3722, .2046, .0158, .0154], Commingling.Shares([(96, First), (4, Second)]));
        Near([0, 0, .2178, .3960, .3861], Second);
        Assert.Equal((0, 80), Commingling.Bounds(100, 196, 80));
        Assert.Equal((4, 80), Commingling.Bounds(120, 196, 80));

        static void Near(double[] expected, double[] actual) =>
            Assert.All(expected.Zip(actual), pair => Assert.Equal(pair.First, pair.Second, 5e-5));
    }

    [Fact]
    [CheckValue(Mark.Recomputed, typeof(BatchDispersion), "the same example with the definitions of Dupuy, Botta-Genoulaz and Guinet 2005 (from memory)")]
    public void Dispersion_counts_every_link_however_small()
    {
        DispersionLink[] links = [new(0, 0), new(1, 0), new(2, 0), new(0, 1), new(1, 1), new(2, 1), new(3, 1), new(4, 1), new(2, 2), new(3, 2), new(4, 2), new(4, 2)];
        var counts = BatchDispersion.Count(5, 3, links);
        Assert.Equal([2, 2, 3, 2, 2], counts.Downward);
        Assert.Equal([3, 5, 3], counts.Upward);
        Assert.Equal(22, counts.Batch);
        Assert.Throws<ArgumentOutOfRangeException>("links", () => BatchDispersion.Count(5, 3, [new(5, 0)]));
    }

    [Theory]
    [CheckValue(Mark.Recomputed, typeof(RecallSize), "own derivation, simulated: 3.2505 lots for draws of 10 from lots of 4")]
    [InlineData(10, 4, 3.25)]
    [InlineData(1, 4, 1)]
    public void A_draw_takes_so_many_lots(int draw, int lot, double lots) => Assert.Equal(lots, RecallSize.LotsPerDraw(draw, lot), 1e-12);

    [Fact]
    public void A_smaller_container_recalls_less()
    {
        Assert.Equal(5.08, RecallSize.Expected(5, 0.08, split: true), 1e-12);
        Assert.Equal(5.00, RecallSize.Expected(5, 0.08, split: false), 1e-12);
        Assert.Equal(1.08, RecallSize.Expected(1, 0.08, split: true), 1e-12);
        Assert.Equal(1.016, RecallSize.ContainersTouched(5, 0.08), 1e-12);
        Assert.Equal(15, RecallSize.WithoutBreak(5, 3), 1e-12);
        Assert.Throws<ArgumentOutOfRangeException>("container", () => RecallSize.Expected(0.05, 0.08, split: true));
    }

    [Fact]
    [CheckValue(Mark.Recomputed, typeof(RecallSize), "1 − 0.99^5 = 4.9 %, 1 − 0.99^12 = 11.4 %; heels .25: .25 .0625 .0156 .0039, by hand")]
    public void Chances_and_heels_are_powers()
    {
        Assert.Equal(0.049, RecallSize.AnyIsBad(0.01, 5), 5e-4);
        Assert.Equal(0.114, RecallSize.AnyIsBad(0.01, 12), 5e-4);
        double[] left = [.25, .0625, .0156, .0039];
        for (var refills = 1; refills <= 4; refills++) Assert.Equal(left[refills - 1], Commingling.HeelLeft(0.25, refills), 5e-5);
        Assert.Throws<ArgumentOutOfRangeException>("batchIsBad", () => RecallSize.AnyIsBad(1.5, 5));
    }

    [Fact]
    public void Shares_add_up_to_one_and_lie_within_the_bounds() =>
        Gen.Select(Gen.Double[1, 500], Gen.Double[1, 500], Gen.Double[1, 500], Gen.Double[0, 1]).Sample((a, b, c, part) =>
        {
            var shares = Commingling.Shares([(a, [1, 0, 0]), (b, [0, 1, 0]), (c, [0, 0, 1])]);
            Assert.Equal(1, shares.Sum(), 1e-12);
            var withdrawn = (a + b + c) * part;
            var (least, most) = Commingling.Bounds(withdrawn, a + b + c, a);
            Assert.InRange(withdrawn * shares[0], least - 1e-9, most + 1e-9);
        });
}
