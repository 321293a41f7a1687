using System.Globalization;
using Trace.Core.Recall;
using Trace.Core.Trends;

namespace Trace.Web.Pages.Charts;

/// <summary>One drawing: values with the lines that they are judged by, place for place. Null where there is none.</summary>
/// <param name="Format">Writes a value without its unit.</param>
/// <param name="Starts">Where the line between the values is interrupted.</param>
/// <param name="Marked">Where something signals.</param>
/// <param name="Steady">Whether the limits are a stream's own numbers, so that they can be written at their lines.</param>
public sealed record ChartPanel(
    string Title, string Unit, Func<double, string> Format, double?[] Values, double?[] Center, double?[] Lower, double?[] Upper,
        bool[] Starts,
    bool[] Marked, bool Steady, IReadOnlyList<DateTimeOffset> Times)
{
    public string Text(double value) => Format(value);

    /// <summary>Counts per unit of exposure: the limits are each point's own, and none goes below zero worth drawing.</summary>
    public static ChartPanel OfRates(string title, string unit, IReadOnlyList<ComplaintMonth> months, double? centre) => new(
        title, unit, value => value.ToString("0.##", CultureInfo.InvariantCulture), [.. months.Select(month => month.Rate)],
        [.. months.Select(_ => centre)], new double?[months.Count], [.. months.Select(month => month.Upper)], new bool[months.Count],
        [.. months.Select(month => month.IsSignal)], false,
        [.. months.Select(month => new DateTimeOffset(month.Month.ToDateTime(TimeOnly.MinValue), TimeSpan.Zero))]);

    public static IReadOnlyList<ChartPanel> Of(ControlChartView view)
    {
        var title = Measures.Title(view.Measure);
        ChartPanel Panel(
            string name, Func<ChartedBatch, double?> value,
            Func<ChartedBatch, StreamLimits, (double? Lower, double? Center, double? Upper)> lines,
            Func<ChartSignal, bool> marks, bool steady)
        {
            var count = view.Points.Count;
            var panel = new ChartPanel(
                name, view.Unit, number => Measures.Text(view.Measure, number), new double?[count], new double?[count],
                    new double?[count], new double?[count],
                new bool[count], new bool[count], steady, [.. view.Points.Select(point => point.At)]);
            for (var place = 0; place < count; place++)
            {
                var point = view.Points[place];
                panel.Values[place] = value(point);
                (panel.Lower[place], panel.Center[place], panel.Upper[place]) = lines(point, view.Limits[point.Limits]);
                panel.Starts[place] = point.StartsSegment;
            }

            foreach (var signal in view.Signals.Where(marks)) panel.Marked[signal.Point] = true;
            return panel;
        }

        return view.Chart switch
        {
            ChartKind.Individuals =>
            [
                Panel(
                    title, point => point.Value, (_, limits) => (limits.Lower, limits.Center, limits.Upper), signal => signal.Rule != "MR",
                    true),
                Panel(
                    "Moving range", point => point.MovingRange, (_, limits) => (null, limits.MeanRange, limits.RangeUpper),
                    signal => signal.Rule == "MR", true),
            ],
            ChartKind.Ewma =>
            [
                Panel(
                    $"{title}, weighted mean", point => point.Ewma, (point, limits) => (point.EwmaLower, limits.Center, point.EwmaUpper), _ => true,
                    false),
            ],
            _ =>
            [
                Panel(
                    $"{title}, sum above the centre line", point => point.CusumHigh, (_, limits) => (null, null, Sum(limits)),
                    signal => view.Points[signal.Point].CusumHigh > Sum(view.Limits[view.Points[signal.Point].Limits]), true),
                Panel(
                    $"{title}, sum below the centre line", point => point.CusumLow, (_, limits) => (null, null, Sum(limits)),
                    signal => view.Points[signal.Point].CusumLow > Sum(view.Limits[view.Points[signal.Point].Limits]), true),
            ],
        };
    }

    private static double? Sum(StreamLimits limits) => limits.Sigma * ControlChart.CusumLimit;
}
