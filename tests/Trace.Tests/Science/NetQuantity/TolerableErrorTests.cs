using Trace.Core.Science.NetQuantity;
using Xunit;

namespace Trace.Tests.Science.NetQuantity;

public class TolerableErrorTests
{
    [Theory]
    [InlineData(25, 2.3)]
    [InlineData(50, 4.5)]
    [InlineData(125, 5.7)]
    [InlineData(150, 6.8)]
    [InlineData(250, 9)]
    [InlineData(400, 12)]
    [InlineData(454, 13.7)]
    [InlineData(750, 15)]
    [InlineData(2500, 37.5)]
    [CheckValue(Mark.Recomputed, typeof(TolerableError), "Directive 76/211/EEC, Annex I, table of 2.4, by hand; rounding up to 0.1 g from memory")]
    public void The_error_is_that_of_the_directive(int grams, double wanted)
    {
        var nominal = grams * 1000L;
        Assert.Equal((long)Math.Round(wanted * 1000), TolerableError.Milligrams(nominal));
        Assert.Equal(nominal - TolerableError.Milligrams(nominal), TolerableError.T1Milligrams(nominal));
        Assert.Equal(nominal - 2 * TolerableError.Milligrams(nominal), TolerableError.T2Milligrams(nominal));
    }

    // Read: the directive's own column, one row each.
    [Theory]
    [InlineData(10, 0.9)]
    [InlineData(80, 4.5)]
    [InlineData(200, 9)]
    [InlineData(300, 9)]
    [InlineData(500, 15)]
    [InlineData(1000, 15)]
    [InlineData(10_000, 150)]
    [CheckValue(Mark.Published, typeof(TolerableError), "Directive 76/211/EEC, Annex I, table of 2.4, read in a public copy")]
    public void The_rows_are_those_of_the_directive(int grams, double wanted) =>
        Assert.Equal((long)Math.Round(wanted * 1000), TolerableError.Milligrams(grams * 1000L));

    [Fact]
    public void The_rows_meet_and_the_error_never_falls()
    {
        Assert.Equal(TolerableError.LeastNominalMilligrams, TolerableError.Table[0].FromMilligrams);
        Assert.Equal(TolerableError.MostNominalMilligrams, TolerableError.Table[^1].ToMilligrams);
        Assert.All(TolerableError.Table.Zip(TolerableError.Table.Skip(1)), pair => Assert.Equal(pair.First.ToMilligrams, pair.Second.FromMilligrams));
        Assert.All(TolerableError.Table, row => Assert.True(row.PerMille is null != row.FixedMilligrams is null));
        var last = 0L;
        for (var nominal = 5_000L; nominal <= 10_000_000; nominal += nominal < 60_000 ? 7 : 997)
        {
            var error = TolerableError.Milligrams(nominal);
            Assert.True(error >= last && error % 100 == 0, $"{nominal} mg: {error} after {last}");
            last = error;
        }
    }

    [Theory]
    [InlineData(4_999)]
    [InlineData(10_000_001)]
    [InlineData(0)]
    [InlineData(-5_000)]
    [InlineData(long.MaxValue)]
    public void Packs_beside_the_range_are_refused_by_name(long nominalMilligrams)
    {
        Assert.False(TolerableError.Covers(nominalMilligrams));
        var refused = Assert.Throws<ArgumentOutOfRangeException>(() => TolerableError.Milligrams(nominalMilligrams));
        Assert.Equal("nominalMilligrams", refused.ParamName);
        Assert.Contains("from 5 g to 10000 g", refused.Message);
    }
}
