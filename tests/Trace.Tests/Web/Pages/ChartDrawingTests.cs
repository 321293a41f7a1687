using System.Globalization;
using System.Xml.Linq;
using Trace.Core.Time;
using Trace.Core.Trends;
using Trace.Web.Pages.Charts;
using Xunit;

namespace Trace.Tests.Web.Pages;

public sealed class ChartDrawingTests
{
    private static readonly DateTimeOffset Start = new(2026, 3, 2, 6, 0, 0, TimeSpan.Zero);

    private static ControlChartView Chart(int count, Func<int, double> value, ChartKind kind = ChartKind.Individuals, string dryer = "A") =>
        ControlChart.Of(
            [.. Enumerable.Range(0, count).Select(i => new BatchFact($"L{i}", Start.AddMinutes(i), i, value(i), dryer, "P", "Farm", "Ann"))],
            new(Measure.Yield, Grouping.None, null, null, kind, RuleSet.WesternElectric, DateOnly.MinValue, DateOnly.MaxValue), SiteZone.Utc);

    private static XElement Draw(ChartPanel panel, ChartSize size) => XElement.Parse(ChartSvg.Draw(panel, size, "x"));

    private static string Path(XElement svg, string name) =>
        string.Concat(svg.Elements().Where(part => part.Name.LocalName == "path" && part.Attribute("class")!.Value == name).Select(part => part.Attribute("d")!.Value));

    public static TheoryData<string> Sizes => [ChartSize.Narrow.Name, ChartSize.Wide.Name];

    private static ChartSize Size(string name) => name == "wide" ? ChartSize.Wide : ChartSize.Narrow;

    [Theory]
    [MemberData(nameof(Sizes))]
    public void A_drawing_has_a_name_a_description_dots_limits_and_marks(string size)
    {
        var panel = ChartPanel.Of(Chart(40, i => i == 30 ? 45 : 30 + i % 3))[0];
        var svg = Draw(panel, Size(size));
        Assert.Equal(("img", "x-t x-d"), (svg.Attribute("role")!.Value, svg.Attribute("aria-labelledby")!.Value));
        Assert.Equal("Yield", svg.Elements().First(part => part.Name.LocalName == "title").Value);
        Assert.Contains("40 values from 30.00 to 45.00 % of the fresh mass, 1 of them", svg.Elements().First(part => part.Name.LocalName == "desc").Value);
        Assert.Equal(40, Path(svg, "dots").Count(letter => letter == 'M'));
        Assert.Equal(1, Path(svg, "signal").Count(letter => letter == 'M'));
        Assert.Equal(2, Path(svg, "limit").Count(letter => letter == 'M'));
        Assert.Equal(1, Path(svg, "line").Count(letter => letter == 'M'));
        Assert.Equal(["CL", "LCL", "UCL"], svg.Elements().Where(part => part.Attribute("class")?.Value == "name").Select(part => part.Value.Split(' ')[0]).Order());
        Assert.DoesNotContain(svg.DescendantsAndSelf().Attributes(), attribute => attribute.Name.LocalName is "style" or "onclick");
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void Everything_lies_inside_the_drawing(string name)
    {
        var size = Size(name);
        foreach (var kind in Enum.GetValues<ChartKind>())
        {
            foreach (var panel in ChartPanel.Of(Chart(700, i => i % 97 == 0 ? 1e4 : Math.Sin(i), kind)))
            {
                var svg = Draw(panel, size);
                foreach (var part in svg.Elements().Where(part => part.Name.LocalName == "path" && part.Attribute("class")!.Value is "dots" or "limit" or "center" or "line"))
                {
                    var numbers = part.Attribute("d")!.Value.Replace("h0", "", StringComparison.Ordinal).Split(['M', 'L', ' '], StringSplitOptions.RemoveEmptyEntries)
                        .SelectMany(one => one.Split(['H', 'V'])).Where(one => one.Length > 0).Select(one => double.Parse(one, CultureInfo.InvariantCulture));
                    Assert.All(numbers, number => Assert.InRange(number, 0, size.Width));
                }
            }
        }
    }

    [Fact]
    public void A_year_of_batches_is_drawn_with_few_marks_and_every_signal_is_kept()
    {
        var view = Chart(15_000, i => i is 4_999 or 5_000 or 14_999 ? 60 + i % 7 : 30 + i * 7919 % 101 / 100.0);
        var panel = ChartPanel.Of(view)[0];
        foreach (var size in new[] { ChartSize.Narrow, ChartSize.Wide })
        {
            var text = ChartSvg.Draw(panel, size, "x");
            var svg = XElement.Parse(text);
            Assert.InRange(text.Length, 1_000, 120_000);
            Assert.Equal(size.PlotWidth, Path(svg, "bars").Count(letter => letter == 'M'));
            var scale = ChartScale.Of(panel, size);
            var marked = Enumerable.Range(0, 15_000).Where(place => panel.Marked[place]).ToList();
            Assert.Superset(new HashSet<int> { 4_999, 5_000, 14_999 }, marked.ToHashSet());
            Assert.Equal(
                marked.Select(place => ((int)scale.X(scale.ColumnOf(place)), (int)scale.Y(panel.Values[place]!.Value))).Distinct().Count(),
                Path(svg, "signal").Count(letter => letter == 'M'));
        }
    }

    [Fact]
    public void Columns_hold_every_place_once()
    {
        foreach (var count in new[] { 1, 2, 245, 246, 247, 887, 888, 889, 15_000 })
        {
            var scale = ChartScale.Of(ChartPanel.Of(Chart(count, i => i % 5))[0], ChartSize.Wide);
            for (var place = 0; place < count; place++)
            {
                var column = scale.ColumnOf(place);
                Assert.True(scale.First(column) <= place && place < scale.First(column + 1), $"{place} of {count}");
            }

            Assert.Equal((0, count), (scale.First(0), scale.First(scale.Columns)));
        }
    }

    [Fact]
    public void One_batch_no_batch_and_a_constant_are_drawn_too()
    {
        foreach (var count in new[] { 0, 1, 2, 30 })
        {
            foreach (var panel in ChartPanel.Of(Chart(count, _ => 30)))
                Assert.DoesNotContain("NaN", Draw(panel, ChartSize.Wide).ToString(), StringComparison.Ordinal);
        }

        Assert.Equal("No values.", ChartSvg.Describe(ChartPanel.Of(Chart(0, _ => 1))[0]));
    }

    [Fact]
    public void A_row_of_signals_is_told_once_and_the_newest_first()
    {
        ChartSignal At(int point, string words) => new(point, $"L{point}", Start, "R", words, false);
        var told = SignalEpisodes.Of([At(3, "high"), At(3, "run"), At(4, "high"), At(5, "high"), At(7, "high"), At(7, "run")]);
        Assert.Equal(
            [("L7", "L7", 1), ("L7", "L7", 1), ("L3", "L3", 1), ("L3", "L5", 3)], told.Select(one => (one.First.Lot, one.Last.Lot, one.Count)));
    }
}
