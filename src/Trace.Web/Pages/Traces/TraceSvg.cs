using System.Globalization;
using System.Net;
using System.Text;
using Trace.Core.Operations;
using Trace.Core.Tracing;

namespace Trace.Web.Pages.Traces;

/// <summary>
/// Draws a trace as SVG without style or script inside: each box a link, each arrow with the mass that passed. What colour says, words and
/// the shape of the border say too. The tables beside it hold the same.
/// </summary>
internal static class TraceSvg
{
    private const int BoxWidth = 168, BoxHeight = 58, RowHeight = 76, ColumnWidth = 244, Margin = 12;

    /// <summary>More arrows than this carry their masses in their titles alone.</summary>
    private const int MostMasses = 80;

    /// <param name="lotUrl">Address of a lot's page.</param>
    /// <param name="openUrl">Address of the picture with a group opened.</param>
    public static string Draw(TracePicture picture, Func<string, string> lotUrl, Func<string, string> openUrl)
    {
        var layers = new TraceLayers(picture.Boxes.Count, picture.Arrows.Select(arrow => (arrow.From, arrow.To)));
        var width = layers.ColumnCount * ColumnWidth - (ColumnWidth - BoxWidth) + 2 * Margin;
        var height = (layers.LastRow + 1) * RowHeight - (RowHeight - BoxHeight) + 2 * Margin;
        var svg = new StringBuilder(4096 + picture.Boxes.Count * 600);
        svg.Append(CultureInfo.InvariantCulture, $"<svg class=\"trace-picture\" viewBox=\"0 0 {width} {height:0.#}\" width=\"{width}\" height=\"{height:0.#}\" role=\"group\" aria-labelledby=\"picture-t picture-d\">")
            .Append(CultureInfo.InvariantCulture, $"<title id=\"picture-t\">Where it came from and went</title><desc id=\"picture-d\">{WebUtility.HtmlEncode(Describe(picture))}</desc>");
        foreach (var arrow in picture.Arrows) Arrow(svg, layers, arrow, picture.Arrows.Count <= MostMasses);
        for (var place = 0; place < layers.ColumnCount; place++)
            foreach (var box in layers.InColumn(place)) Box(svg, picture.Boxes[box], X(layers, box), Y(layers, box), lotUrl, openUrl);
        return svg.Append("</svg>").ToString();
    }

    /// <summary>The picture in a sentence, for whoever does not see it.</summary>
    public static string Describe(TracePicture picture) => FormattableString.Invariant(
        $"{picture.Lots} lots in {picture.Boxes.Count} boxes with {picture.Arrows.Count} passages between them, from left to right. The tables below have the same lots.");

    private static double X(TraceLayers layers, int box) => Margin + layers.ColumnOf(box) * ColumnWidth;

    private static double Y(TraceLayers layers, int box) => Margin + layers.Rows[box] * RowHeight;

    private static void Arrow(StringBuilder svg, TraceLayers layers, TraceArrow arrow, bool tellsMass)
    {
        var (x, y) = (X(layers, arrow.From) + BoxWidth, Y(layers, arrow.From) + BoxHeight / 2.0);
        var (endX, endY) = (X(layers, arrow.To) - 7, Y(layers, arrow.To) + BoxHeight / 2.0);
        var isTurned = !layers.Lanes.TryGetValue((arrow.From, arrow.To), out var lane);
        var path = new StringBuilder(string.Create(CultureInfo.InvariantCulture, $"M{x:0.#} {y:0.#}"));
        foreach (var stop in lane ?? [])
        {
            var (stopX, stopY) = (X(layers, stop), Y(layers, stop) + BoxHeight / 2.0);
            Bend(path, ref x, ref y, stopX, stopY);
            path.Append(CultureInfo.InvariantCulture, $"H{x = stopX + BoxWidth:0.#}");
        }

        var (middleX, middleY) = ((x + endX) / 2, (y + endY) / 2);
        Bend(path, ref x, ref y, endX, endY);
        var words = arrow.Passages > 1 ? FormattableString.Invariant($"{arrow.Grams:0.#} g in {arrow.Passages} passages") : SiteFrame.Grams(arrow.Grams);
        svg.Append(CultureInfo.InvariantCulture, $"<g class=\"arrow{(isTurned ? " turned" : "")}\"><title>{words}</title><path d=\"{path}\"/>")
            .Append(CultureInfo.InvariantCulture, $"<path class=\"tip\" d=\"M{endX + 7:0.#} {endY:0.#}l-9 -5v10z\"/>");
        if (tellsMass) svg.Append(CultureInfo.InvariantCulture, $"<text class=\"mass\" x=\"{middleX:0.#}\" y=\"{middleY - 4:0.#}\">{FormattableString.Invariant($"{arrow.Grams:0.#}")} g</text>");
        svg.Append("</g>");
    }

    private static void Bend(StringBuilder path, ref double x, ref double y, double toX, double toY)
    {
        var middle = (x + toX) / 2;
        path.Append(CultureInfo.InvariantCulture, $"C{middle:0.#} {y:0.#} {middle:0.#} {toY:0.#} {toX:0.#} {toY:0.#}");
        (x, y) = (toX, toY);
    }

    private static void Box(StringBuilder svg, TraceBox box, double x, double y, Func<string, string> lotUrl, Func<string, string> openUrl)
    {
        var kind = Words.Of(box.Kind);
        var (first, second) = box.IsGroup ? ($"{box.Lots.Count} {kind} lots", $"{box.Note} · {SiteFrame.Grams(box.Grams)}")
            : (box.Key, $"{kind} · {(box.Grams > 0 ? SiteFrame.Grams(box.Grams) : "all gone")}");
        var third = box.IsGroup ? "open" : box.IsHeld ? "ON HOLD" : box.IsAsked ? "this lot" : box.Note;
        var address = box.IsGroup ? openUrl(box.Key) : lotUrl(box.Key);

        // The link's name is what it shows, so the lines must not run together.
        svg.Append(CultureInfo.InvariantCulture, $"<a href=\"{WebUtility.HtmlEncode(address)}\" class=\"box{(box.IsHeld ? " is-held" : "")}{(box.IsAsked ? " is-asked" : "")}{(box.IsGroup ? " is-group" : "")}\">")
            .Append(CultureInfo.InvariantCulture, $"<rect x=\"{x:0.#}\" y=\"{y:0.#}\" width=\"{BoxWidth}\" height=\"{BoxHeight}\" rx=\"{(box.IsGroup ? 14 : 4)}\"/>")
            .Append(CultureInfo.InvariantCulture, $"<text class=\"name\" x=\"{x + 10:0.#}\" y=\"{y + 19:0.#}\">{WebUtility.HtmlEncode(first)}</text> ")
            .Append(CultureInfo.InvariantCulture, $"<text x=\"{x + 10:0.#}\" y=\"{y + 35:0.#}\">{WebUtility.HtmlEncode(second)}</text> ")
            .Append(CultureInfo.InvariantCulture, $"<text class=\"third\" x=\"{x + 10:0.#}\" y=\"{y + 50:0.#}\">{WebUtility.HtmlEncode(Short(third))}</text></a>");
    }

    /// <summary>Names of suppliers may be longer than a box; the tables have them whole.</summary>
    private static string Short(string text) => text.Length <= 24 ? text : text[..23] + "…";
}
