using System.Globalization;
using System.Security;
using System.Text;
using System.Text.RegularExpressions;
using SkiaSharp;
using Trace.Core.Labels;

namespace Trace.Web.Printing;

/// <summary>
/// One label as SVG, as large as the label, for the screen. Text is outlines of the fonts that print, since the reader's machine has
/// others; title and description say it for those who do not see it. No script, no style, nothing from elsewhere.
/// </summary>
internal static partial class LabelSvg
{
    /// <param name="title">Plain text: which label it is.</param>
    public static string Draw(LabelDrawing label, string title)
    {
        var surface = new SvgSurface();
        LabelPage.Draw(surface, label);
        var words = string.Join('\n', label.Texts.Select(text => text.Text));
        return string.Create(CultureInfo.InvariantCulture,
            $"""
            <svg xmlns="http://www.w3.org/2000/svg" width="{label.WidthMm:0.###}mm" height="{label.HeightMm:0.###}mm" viewBox="0 0 {label.WidthDots} {label.HeightDots}" role="img" aria-label="{SecurityElement.Escape(title)}">
            <title>{SecurityElement.Escape(title)}</title>
            <desc>{SecurityElement.Escape(words)}</desc>
            <path fill="#fff" d="M0 0h{label.WidthDots}v{label.HeightDots}h-{label.WidthDots}z"/>
            {surface.Shapes}</svg>

            """);
    }

    /// <summary>A hundredth of a dot is finer than any screen shows, and a third of the file.</summary>
    private static string Rounded(Match number) =>
        double.Parse(number.ValueSpan, CultureInfo.InvariantCulture).ToString("0.##", CultureInfo.InvariantCulture);

    [GeneratedRegex(@"\d+\.\d+")]
    private static partial Regex Decimals();

    private sealed class SvgSurface : ILabelSurface
    {
        private readonly StringBuilder shapes = new();

        public string Shapes => shapes.ToString();

        public void Box(double x, double y, double width, double height) => Sharp(Rectangle(x, y, width, height));

        public void Text(string text, double x, double baseline, double size, bool bold, bool inWhite = false)
        {
            var face = PrintFont.For(bold);
            using var font = face.At(size);
            using var outlines = new SKPathBuilder();
            foreach (var glyph in face.ShapeWhole(text).Glyphs)
            {
                using var outline = font.GetGlyphPath(glyph.Id);
                if (outline is null) continue;
                outline.Transform(SKMatrix.CreateTranslation((float)(x + glyph.XEm * size), (float)(baseline - glyph.YEm * size)));
                outlines.AddPath(outline);
            }

            using var line = outlines.Detach();
            shapes.Append("<path").Append(inWhite ? " fill=\"#fff\"" : "").Append(" d=\"").Append(Decimals().Replace(line.ToSvgPathData(), Rounded)).Append("\"/>\n");
        }

        /// <summary>Sharp edges: rows of modules that touch then leave no hair line between them.</summary>
        public void Modules(bool[,] modules, double x, double y, double width, double height)
        {
            var runs = new StringBuilder();
            for (var row = 0; row < modules.GetLength(0); row++)
            {
                foreach (var (start, end) in ModuleRuns.Of(modules, row, row))
                    runs.Append(Rectangle(x + start * width, y + row * height, (end - start) * width, height));
            }

            Sharp(runs.ToString());
        }

        private void Sharp(string shape) => shapes.Append("<path shape-rendering=\"crispEdges\" d=\"").Append(shape).Append("\"/>\n");

        private static string Rectangle(double x, double y, double width, double height) =>
            FormattableString.Invariant($"M{x} {y}h{width}v{height}h-{width}z");
    }
}
