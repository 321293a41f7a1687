using System.Text;
using SkiaSharp;

namespace Trace.Web.Printing;

/// <summary>
/// Draws pages of black shapes and text into one PDF. The same calls give the same bytes, so that a document's hash can be kept;
/// hence no clock and no chance in here. Units are the page's own: <c>unitsPerInch</c> is 25.4 for millimetres or a printer's dots per
/// inch. Not for use by several threads at once.
/// </summary>
internal sealed class PdfDrawing : IDisposable
{
    private const float PointsPerInch = 72f;
    private const double HairDots = 0.01;

    private readonly MemoryStream bytes = new();
    private readonly SKDocument document;
    private readonly SKPaint black = new() { Color = SKColors.Black, IsAntialias = true };
    private readonly SKPaint white = new() { Color = SKColors.White, IsAntialias = true };
    private readonly SKPaint grey = new() { Color = new SKColor(0xE8, 0xE8, 0xE8), IsAntialias = true };
    private SKCanvas? canvas;

    /// <param name="madeAt">Written into the file as its date of making; the caller's time, never the machine's.</param>
    /// <param name="dpi">Pages are as large as so many whole dots: the drawing library rounds them so.</param>
    public PdfDrawing(string title, DateTimeOffset madeAt, int dpi)
    {
        var metadata = SKDocumentPdfMetadata.Default;
        // A hair more dots an inch makes the page a hair smaller than its dots, so that no renderer that rounds up adds another row.
        metadata.RasterDpi = dpi * 1.000001f;
        metadata.Title = title;
        metadata.Creator = "Trace";
        metadata.Producer = "Trace";
        metadata.Creation = madeAt.UtcDateTime;
        metadata.Modified = madeAt.UtcDateTime;
        document = SKDocument.CreatePdf(bytes, metadata);
    }

    public void BeginPage(double width, double height, double unitsPerInch)
    {
        var scale = PointsPerInch / unitsPerInch;
        canvas = document.BeginPage((float)(width * scale), (float)(height * scale));
        canvas.Scale((float)scale);
    }

    public void EndPage()
    {
        document.EndPage();
        canvas = null;
    }

    /// <summary>One line of text that starts at (x, base line). Its text can be found and copied in the file.</summary>
    /// <exception cref="UnprintableTextException">The font lacks a character. Nothing is drawn: a box in its place could hide what
    /// matters.</exception>
    public void Text(string text, double x, double baseline, double size, bool bold, bool inWhite = false)
    {
        if (text.Length == 0) return;
        if (PrintMeasure.Instance.FirstUnprintable(text, bold) is { } odd) throw new UnprintableTextException(odd, text);
        var face = PrintFont.For(bold);
        var shaped = face.Shape(text);
        if (shaped.Glyphs.Any(glyph => glyph.Id == 0)) throw new UnprintableTextException("a combination of characters", text);

        // Text and clusters go along so that what is copied out of the file is the text, not its glyphs.
        var utf8 = Encoding.UTF8.GetBytes(text);
        using var font = new SKFont(face.Typeface, (float)size) { Subpixel = true, LinearMetrics = true, Hinting = SKFontHinting.None };
        using var builder = new SKTextBlobBuilder();
        var run = builder.AllocatePositionedTextRun(font, shaped.Glyphs.Count, utf8.Length);
        run.SetGlyphs([.. shaped.Glyphs.Select(glyph => glyph.Id)]);
        run.SetPositions([.. shaped.Glyphs.Select(glyph => new SKPoint((float)(glyph.XEm * size), (float)(-glyph.YEm * size)))]);
        run.SetText(utf8);
        run.SetClusters([.. shaped.Glyphs.Select(glyph => glyph.Cluster)]);
        using var blob = builder.Build();
        Page.DrawText(blob, (float)x, (float)baseline, inWhite ? white : black);
    }

    public void Box(double x, double y, double width, double height) =>
        Page.DrawRect((float)x, (float)y, (float)width, (float)height, black);

    public void GreyBox(double x, double y, double width, double height) =>
        Page.DrawRect((float)x, (float)y, (float)width, (float)height, grey);

    /// <summary>
    /// The dark modules as one shape: drawn one by one, viewers show hair lines between them. The shape's outline stands a hair inside
    /// the dots, since a renderer that colours every dot which is touched would else let the rounding of a number darken a white one.
    /// </summary>
    public void Modules(bool[,] modules, double x, double y, double module)
    {
        using var shape = new SKPathBuilder();
        for (var row = 0; row < modules.GetLength(0); row++)
        {
            foreach (var (start, end) in Runs(modules, row, row)) Add(start, row * module + HairDots, end, (row + 1) * module - HairDots);
            if (row == 0) continue;
            foreach (var (start, end) in Runs(modules, row - 1, row))
                Add(start, row * module - 2 * HairDots, end, row * module + 2 * HairDots);
        }

        using var path = shape.Detach();
        Page.DrawPath(path, black);

        void Add(int start, double top, int end, double bottom) => shape.AddRect(
            new SKRect((float)(x + start * module + HairDots), (float)(y + top), (float)(x + end * module - HairDots), (float)(y + bottom)),
            SKPathDirection.Clockwise);
    }

    /// <summary>Runs of columns that are dark in both rows: start inclusive, end exclusive.</summary>
    private static IEnumerable<(int Start, int End)> Runs(bool[,] modules, int row, int otherRow)
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

    public byte[] Finish()
    {
        document.Close();
        return bytes.ToArray();
    }

    public void Dispose()
    {
        document.Dispose();
        bytes.Dispose();
        black.Dispose();
        white.Dispose();
        grey.Dispose();
    }

    private SKCanvas Page => canvas ?? throw new InvalidOperationException("Begin a page first.");
}

/// <summary>A text holds a character that the fonts cannot print; the message names it.</summary>
internal sealed class UnprintableTextException(string character, string text)
    : Exception($"The fonts cannot print {character} in \"{text}\".");
