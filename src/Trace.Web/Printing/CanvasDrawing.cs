using System.Text;
using SkiaSharp;

namespace Trace.Web.Printing;

/// <summary>
/// Draws black shapes and text on a Skia canvas: a page of a PDF, or the dots of a picture. Units are the canvas's own. Not for use by
/// several threads at once.
/// </summary>
/// <param name="smooth">False for printer dots, which are black or white and nothing between.</param>
internal sealed class CanvasDrawing(SKCanvas canvas, bool smooth) : ILabelSurface, IDisposable
{
    private const double HairDots = 0.01;

    private readonly SKPaint black = new() { Color = SKColors.Black, IsAntialias = smooth };
    private readonly SKPaint white = new() { Color = SKColors.White, IsAntialias = smooth };
    private readonly SKPaint grey = new() { Color = new SKColor(0xE8, 0xE8, 0xE8), IsAntialias = smooth };

    /// <summary>In a PDF its text can be found and copied.</summary>
    /// <exception cref="UnprintableTextException">The font lacks a character. Nothing is drawn: a box in its place could hide what
    /// matters.</exception>
    public void Text(string text, double x, double baseline, double size, bool bold, bool inWhite = false)
    {
        if (text.Length == 0) return;
        var face = PrintFont.For(bold);
        var shaped = face.ShapeWhole(text);

        // Text and clusters go along so that what is copied out of the file is the text, not its glyphs.
        var utf8 = Encoding.UTF8.GetBytes(text);
        using var font = face.At(size);
        font.Edging = smooth ? SKFontEdging.Antialias : SKFontEdging.Alias;
        using var builder = new SKTextBlobBuilder();
        var run = builder.AllocatePositionedTextRun(font, shaped.Glyphs.Count, utf8.Length);
        run.SetGlyphs([.. shaped.Glyphs.Select(glyph => glyph.Id)]);
        run.SetPositions([.. shaped.Glyphs.Select(glyph => new SKPoint((float)(glyph.XEm * size), (float)(-glyph.YEm * size)))]);
        run.SetText(utf8);
        run.SetClusters([.. shaped.Glyphs.Select(glyph => glyph.Cluster)]);
        using var blob = builder.Build();
        canvas.DrawText(blob, (float)x, (float)baseline, inWhite ? white : black);
    }

    public void Box(double x, double y, double width, double height) =>
        canvas.DrawRect((float)x, (float)y, (float)width, (float)height, black);

    public void GreyBox(double x, double y, double width, double height) =>
        canvas.DrawRect((float)x, (float)y, (float)width, (float)height, grey);

    /// <summary>
    /// The dark modules as one shape: drawn one by one, viewers show hair lines between them. The shape's outline stands a hair inside
    /// the dots, since a renderer that colours every dot which is touched would else let the rounding of a number darken a white one.
    /// </summary>
    public void Modules(bool[,] modules, double x, double y, double width, double height)
    {
        using var shape = new SKPathBuilder();
        for (var row = 0; row < modules.GetLength(0); row++)
        {
            foreach (var (start, end) in ModuleRuns.Of(modules, row, row))
                Add(start, row * height + HairDots, end, (row + 1) * height - HairDots);
            if (row == 0) continue;
            foreach (var (start, end) in ModuleRuns.Of(modules, row - 1, row))
                Add(start, row * height - 2 * HairDots, end, row * height + 2 * HairDots);
        }

        using var path = shape.Detach();
        canvas.DrawPath(path, black);

        void Add(int start, double top, int end, double bottom) => shape.AddRect(
            new SKRect((float)(x + start * width + HairDots), (float)(y + top), (float)(x + end * width - HairDots), (float)(y + bottom)),
            SKPathDirection.Clockwise);
    }

    public void Dispose()
    {
        black.Dispose();
        white.Dispose();
        grey.Dispose();
    }
}

/// <summary>Dark modules that stand side by side, as one piece.</summary>
internal static class ModuleRuns
{
    /// <summary>Runs of columns that are dark in both rows: start inclusive, end exclusive.</summary>
    public static IEnumerable<(int Start, int End)> Of(bool[,] modules, int row, int otherRow)
    {
        var columns = modules.GetLength(1);
        bool Dark(int column) => modules[row, column] && modules[otherRow, column];
        for (var start = 0; start < columns; start++)
        {
            if (!Dark(start)) continue;
            var end = start;
            while (end < columns && Dark(end)) end++;
            yield return (start, end);
            start = end;
        }
    }
}

/// <summary>A text holds a character that the fonts cannot print; the message names it.</summary>
internal sealed class UnprintableTextException(string character, string text)
    : Exception($"The fonts cannot print {character} in \"{text}\".");
