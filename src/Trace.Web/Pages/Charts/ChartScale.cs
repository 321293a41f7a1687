using System.Globalization;

namespace Trace.Web.Pages.Charts;

/// <summary>Where a value stands in a drawing: batch by batch from left to right, as many to a column as must be.</summary>
public sealed class ChartScale
{
    private readonly ChartSize size;
    private readonly double low, high;

    private ChartScale(ChartSize size, int count, double low, double high)
    {
        (this.size, Count, this.low, this.high) = (size, count, low, high);
        Columns = Math.Min(count, size.PlotWidth);
    }

    public int Count { get; }

    /// <summary>One for each value while there is room.</summary>
    public int Columns { get; }

    public double ColumnWidth => (double)size.PlotWidth / Math.Max(1, Columns);

    public static ChartScale Of(ChartPanel panel, ChartSize size)
    {
        double low = double.MaxValue, high = double.MinValue;
        foreach (var line in new[] { panel.Values, panel.Lower, panel.Center, panel.Upper })
        {
            foreach (var value in line)
            {
                if (value is not { } known) continue;
                (low, high) = (Math.Min(low, known), Math.Max(high, known));
            }
        }

        if (low > high) (low, high) = (0, 1);
        var room = high > low ? (high - low) * 0.06 : Math.Max(1, Math.Abs(high) * 0.1);

        // What cannot be negative starts on the axis.
        return new(size, panel.Values.Length, low >= 0 && low < room ? 0 : low - room, high + room);
    }

    public double Y(double value) => ChartSize.Top + (high - value) / (high - low) * size.PlotHeight;

    /// <summary>Middle of a column.</summary>
    public double X(int column) => ChartSize.Left + (column + 0.5) * size.PlotWidth / Columns;

    /// <summary>Left edge of a column; of the one behind the last, the right end.</summary>
    public double EdgeOf(int column) => ChartSize.Left + (double)column * size.PlotWidth / Columns;

    /// <summary>First value of a column.</summary>
    public int First(int column) => (int)((long)column * Count / Columns);

    public int ColumnOf(int place) => (int)(((long)(place + 1) * Columns - 1) / Count);

    /// <summary>Round numbers, four to seven of them.</summary>
    public IEnumerable<double> Ticks()
    {
        var step = Step;
        for (var tick = Math.Ceiling(low / step); tick * step <= high; tick++) yield return tick * step;
    }

    public string TickText(double tick) => Math.Round(tick, 6).ToString($"0.{new string('0', Digits(Step))}", CultureInfo.InvariantCulture);

    /// <summary>A limit at its line: one digit more than the ticks, at most four in all behind the point.</summary>
    public string NameText(double value) => value.ToString($"0.{new string('0', Math.Min(3, Digits(Step) + 1))}", CultureInfo.InvariantCulture);

    private double Step
    {
        get
        {
            var rough = (high - low) / 5;
            var power = Math.Pow(10, Math.Floor(Math.Log10(rough)));
            return (rough / power) switch
            {
                < 1.5 => power,
                < 3.5 => 2 * power,
                < 7.5 => 5 * power,
                _ => 10 * power,
            };
        }
    }

    private static int Digits(double step) => Math.Clamp((int)Math.Ceiling(-Math.Log10(step) - 1e-9), 0, 6);
}
