using System.Globalization;
using System.Net;
using System.Text;

namespace Trace.Web.Pages.Charts;

/// <summary>How large a drawing is, in its own units: one for phones, one for wide windows, so that its letters stay readable.</summary>
public sealed record ChartSize(string Name, int Width, int Height)
{
    public const int Left = 46;
    public const int Right = 66;
    public const int Top = 12;
    public const int Bottom = 28;

    public static readonly ChartSize Narrow = new("narrow", 360, 250);
    public static readonly ChartSize Wide = new("wide", 1000, 260);

    public int PlotWidth => Width - Left - Right;

    public int PlotHeight => Height - Top - Bottom;
}

/// <summary>
/// Draws a panel as SVG without style or script inside. Values are round, signals square and larger, limits dashed, the centre line
/// solid: colour only repeats what shape says. When there are more values than there is room, each column of the drawing shows the
/// lowest and highest of its values; every signal keeps its mark.
/// </summary>
public static class ChartSvg
{
    /// <summary>Cost: a few times through the values.</summary>
    /// <param name="id">Prefix of the identities inside, unique on the page.</param>
    public static string Draw(ChartPanel panel, ChartSize size, string id)
    {
        var scale = ChartScale.Of(panel, size);
        var svg = new StringBuilder(16_384);
        svg.Append(CultureInfo.InvariantCulture, $"<svg class=\"chart {size.Name}\" viewBox=\"0 0 {size.Width} {size.Height}\" role=\"img\" aria-labelledby=\"{id}-t {id}-d\">")
            .Append(CultureInfo.InvariantCulture, $"<title id=\"{id}-t\">{WebUtility.HtmlEncode(panel.Title)}</title>")
            .Append(CultureInfo.InvariantCulture, $"<desc id=\"{id}-d\">{WebUtility.HtmlEncode(Describe(panel))}</desc>");
        Axes(svg, panel, size, scale);
        if (scale.Count > 0)
        {
            Lines(svg, panel, scale);
            Values(svg, panel, scale);
            Marks(svg, panel, scale);
            if (panel.Steady) LineNames(svg, panel, size, scale);
        }

        return svg.Append("</svg>").ToString();
    }

    /// <summary>The drawing in one or two sentences, for whoever does not see it.</summary>
    public static string Describe(ChartPanel panel)
    {
        var count = panel.Values.Count(value => value is not null);
        if (count == 0) return "No values.";
        var (low, high) = (panel.Values.Min()!.Value, panel.Values.Max()!.Value);
        var text = FormattableString.Invariant(
            $"{count} values from {panel.Text(low)} to {panel.Text(high)} {panel.Unit}, {panel.Marked.Count(marked => marked)} of them marked as signals.");
        if (panel.Steady && panel.Upper[^1] is { } upper)
        {
            text += panel.Lower[^1] is { } lower
                ? $" Control limits at the end: {panel.Text(lower)} to {panel.Text(upper)}."
                : $" Upper control limit at the end: {panel.Text(upper)}.";
        }

        return text + " The table below has the same values.";
    }

    private static void Axes(StringBuilder svg, ChartPanel panel, ChartSize size, ChartScale scale)
    {
        var (right, bottom) = (ChartSize.Left + size.PlotWidth, ChartSize.Top + size.PlotHeight);
        var grid = new StringBuilder();
        foreach (var tick in scale.Ticks())
        {
            var y = scale.Y(tick);
            grid.Append(CultureInfo.InvariantCulture, $"M{ChartSize.Left} {y:0.#}H{right}");
            svg.Append(CultureInfo.InvariantCulture, $"<text class=\"tick end\" x=\"{ChartSize.Left - 6}\" y=\"{y + 4:0.#}\">{scale.TickText(tick)}</text>");
        }

        svg.Append(CultureInfo.InvariantCulture, $"<path class=\"grid\" d=\"{grid}\"/>");
        svg.Append(CultureInfo.InvariantCulture, $"<path class=\"axis\" d=\"M{ChartSize.Left} {ChartSize.Top}V{bottom}H{right}\"/>");
        if (scale.Count == 0) return;
        svg.Append(CultureInfo.InvariantCulture, $"<text class=\"tick\" x=\"{ChartSize.Left}\" y=\"{bottom + 20}\">{panel.Times[0]:yyyy-MM-dd}</text>");
        if (scale.Count > 1)
            svg.Append(CultureInfo.InvariantCulture, $"<text class=\"tick end\" x=\"{right}\" y=\"{bottom + 20}\">{panel.Times[^1]:yyyy-MM-dd}</text>");
    }

    private static void Lines(StringBuilder svg, ChartPanel panel, ChartScale scale)
    {
        foreach (var (name, line) in new[] { ("center", panel.Center), ("limit", panel.Lower), ("limit", panel.Upper) })
        {
            var path = new StringBuilder();
            double? before = null;
            for (var column = 0; column < scale.Columns; column++)
            {
                var here = line[scale.First(column)];
                if (here != before)
                {
                    if (before is not null) path.Append(CultureInfo.InvariantCulture, $"H{scale.EdgeOf(column):0.#}");
                    if (here is { } value)
                    {
                        path.Append(before is null ? FormattableString.Invariant($"M{scale.EdgeOf(column):0.#} ") : "V")
                            .Append(CultureInfo.InvariantCulture, $"{scale.Y(value):0.#}");
                    }
                }

                before = here;
            }

            if (before is not null) path.Append(CultureInfo.InvariantCulture, $"H{scale.EdgeOf(scale.Columns):0.#}");
            if (path.Length > 0) svg.Append(CultureInfo.InvariantCulture, $"<path class=\"{name}\" d=\"{path}\"/>");
        }
    }

    private static void Values(StringBuilder svg, ChartPanel panel, ChartScale scale)
    {
        var (line, dots) = (new StringBuilder(), new StringBuilder());
        if (scale.Columns < scale.Count)
        {
            for (var column = 0; column < scale.Columns; column++)
            {
                double low = double.MaxValue, high = double.MinValue;
                for (var place = scale.First(column); place < scale.First(column + 1); place++)
                {
                    if (panel.Values[place] is not { } value) continue;
                    (low, high) = (Math.Min(low, value), Math.Max(high, value));
                }

                // A pixel at least, or one value alone would not be seen.
                if (low <= high) line.Append(CultureInfo.InvariantCulture, $"M{scale.X(column):0.#} {scale.Y(low) + 0.5:0.#}V{scale.Y(high) - 0.5:0.#}");
            }
        }
        else
        {
            var joined = false;
            for (var place = 0; place < scale.Count; place++)
            {
                joined &= !panel.Starts[place];
                if (panel.Values[place] is { } value)
                {
                    line.Append(joined ? 'L' : 'M').Append(CultureInfo.InvariantCulture, $"{scale.X(place):0.#} {scale.Y(value):0.#}");
                    dots.Append(CultureInfo.InvariantCulture, $"M{scale.X(place):0.#} {scale.Y(value):0.#}h0");
                }

                joined = panel.Values[place] is not null;
            }
        }

        svg.Append(CultureInfo.InvariantCulture, $"<path class=\"{(dots.Length > 0 ? "line" : "bars")}\" d=\"{line}\"/>");
        if (dots.Length > 0) svg.Append(CultureInfo.InvariantCulture, $"<path class=\"dots\" d=\"{dots}\"/>");
    }

    private static void Marks(StringBuilder svg, ChartPanel panel, ChartScale scale)
    {
        // Two marks on one pixel look like one.
        var (path, seen) = (new StringBuilder(), new HashSet<(int, int)>());
        var half = Math.Clamp(scale.ColumnWidth / 2, 2.5, 4.5);
        for (var place = 0; place < scale.Count; place++)
        {
            if (!panel.Marked[place] || panel.Values[place] is not { } value) continue;
            var (x, y) = (scale.X(scale.ColumnOf(place)), scale.Y(value));
            if (seen.Add(((int)x, (int)y))) path.Append(CultureInfo.InvariantCulture, $"M{x - half:0.#} {y - half:0.#}h{2 * half:0.#}v{2 * half:0.#}h{-2 * half:0.#}z");
        }

        if (path.Length > 0) svg.Append(CultureInfo.InvariantCulture, $"<path class=\"signal\" d=\"{path}\"/>");
    }

    private static void LineNames(StringBuilder svg, ChartPanel panel, ChartSize size, ChartScale scale)
    {
        var last = double.NegativeInfinity;
        foreach (var (name, line) in new[] { ("UCL", panel.Upper), ("CL", panel.Center), ("LCL", panel.Lower) })
        {
            // Written from the top down; what would lie on the name above is left out.
            if (line[^1] is not { } value || scale.Y(value) < last + 12) continue;
            last = scale.Y(value);
            svg.Append(CultureInfo.InvariantCulture, $"<text class=\"name\" x=\"{ChartSize.Left + size.PlotWidth + 4}\" y=\"{last + 4:0.#}\">{name} {scale.NameText(value)}</text>");
        }
    }
}
