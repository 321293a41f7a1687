using Trace.Web.Pages.Traces;
using Xunit;

namespace Trace.Tests.Web.Traces;

public sealed class TraceLayersTests
{
    [Fact]
    public void What_something_came_from_stands_to_its_left()
    {
        (int From, int To)[] links = [(0, 1), (1, 2), (0, 2), (2, 3), (4, 3)];
        var layers = new TraceLayers(5, links);
        Assert.All(links, link => Assert.True(layers.ColumnOf(link.From) < layers.ColumnOf(link.To)));
        Assert.Equal(4, layers.ColumnCount);

        // The link past a column has a lane there.
        Assert.Single(layers.Lanes[(0, 2)]);
    }

    /// <summary>A trace with lots of many kinds, from a fixed seed.</summary>
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void No_two_boxes_or_lanes_of_a_column_overlap(int seed)
    {
        var chance = new Random(seed);
        var links = Enumerable.Range(1, 79).SelectMany(to => Enumerable.Range(0, 1 + chance.Next(3)).Select(_ => (From: chance.Next(Math.Max(0, to - 15), to), To: to))).ToList();
        var layers = new TraceLayers(80, links);
        Assert.All(links, link => Assert.True(layers.ColumnOf(link.From) < layers.ColumnOf(link.To)));
        var rows = layers.Rows.Select((row, box) => (Column: layers.ColumnOf(box), Row: row)).GroupBy(one => one.Column);
        foreach (var column in rows)
        {
            var sorted = column.Select(one => one.Row).Order().ToList();
            Assert.All(sorted.Zip(sorted.Skip(1)), pair => Assert.True(pair.Second - pair.First > 1 - 1e-9));
        }

        Assert.Equal(0, layers.Rows.Min(), 1e-9);
    }

    [Fact]
    public void A_circle_that_a_correction_told_ends_the_walk_and_every_box_stands_somewhere()
    {
        var layers = new TraceLayers(4, [(0, 1), (1, 2), (2, 0), (2, 3), (3, 3)]);
        Assert.Equal(4, Enumerable.Range(0, layers.ColumnCount).Sum(place => layers.InColumn(place).Count()));
        Assert.Equal(3, layers.Lanes.Count);
        Assert.DoesNotContain((2, 0), layers.Lanes.Keys);
    }

    [Fact]
    public void A_long_chain_is_walked_without_a_deep_stack()
    {
        var layers = new TraceLayers(20_000, Enumerable.Range(0, 19_999).Select(box => (box, box + 1)));
        Assert.Equal(20_000, layers.ColumnCount);
    }

    /// <summary>
    /// Pool adjacent violators: rows that keep their distance stay where they want to be, others meet at the mean. By hand:
    /// wanted 5, 5, 5 less their places gives 5, 4, 3, which pool at 4; with the places again 4, 5, 6.
    /// </summary>
    [Fact]
    public void Rows_that_want_the_same_place_spread_round_it()
    {
        Assert.Equal([4.0, 5.0, 6.0], TraceLayers.Spread([5, 5, 5]));
        Assert.Equal([0.0, 3.0, 9.0], TraceLayers.Spread([0, 3, 9]));
        Assert.Empty(TraceLayers.Spread([]));
    }

    [Fact]
    public void Nothing_at_all_has_a_picture_too()
    {
        var layers = new TraceLayers(0, []);
        Assert.Equal(0, layers.LastRow);
    }
}
