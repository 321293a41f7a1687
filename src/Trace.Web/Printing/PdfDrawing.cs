using SkiaSharp;

namespace Trace.Web.Printing;

/// <summary>
/// Draws pages of black shapes and text into one PDF. The same calls give the same bytes, so that a document's hash can be kept;
/// hence no clock and no chance in here. Not for use by several threads at once.
/// </summary>
internal sealed class PdfDrawing : IDisposable
{
    private const float PointsPerInch = 72f;

    private readonly SKDocument document;
    private CanvasDrawing? page;

    /// <param name="to">Gets the file piece by piece; whoever gave it closes it.</param>
    /// <param name="madeAt">Written into the file as its date of making; the caller's time, never the machine's.</param>
    /// <param name="dpi">Pages are as large as so many whole dots: the drawing library rounds them so.</param>
    public PdfDrawing(Stream to, string title, DateTimeOffset madeAt, int dpi)
    {
        var metadata = SKDocumentPdfMetadata.Default;
        // A hair more dots an inch makes the page a hair smaller than its dots, so that no renderer that rounds up adds another row.
        metadata.RasterDpi = dpi * 1.000001f;
        metadata.Title = title;
        metadata.Creator = "Trace";
        metadata.Producer = "Trace";
        metadata.Creation = madeAt.UtcDateTime;
        metadata.Modified = madeAt.UtcDateTime;
        document = SKDocument.CreatePdf(to, metadata);
    }

    /// <summary>The page that was begun.</summary>
    public CanvasDrawing Page => page ?? throw new InvalidOperationException("Begin a page first.");

    public bool HasPage => page is not null;

    /// <summary>Ends the page before, if there is one.</summary>
    /// <param name="unitsPerInch">Of the page: 25.4 for millimetres, or a printer's dots per inch.</param>
    public void BeginPage(double width, double height, double unitsPerInch)
    {
        if (HasPage) EndPage();
        var scale = PointsPerInch / unitsPerInch;
        var canvas = document.BeginPage((float)(width * scale), (float)(height * scale));
        canvas.Scale((float)scale);
        page = new CanvasDrawing(canvas, smooth: true);
    }

    public void EndPage()
    {
        Page.Dispose();
        document.EndPage();
        page = null;
    }

    public void Finish()
    {
        if (HasPage) EndPage();
        document.Close();
    }

    public void Dispose()
    {
        page?.Dispose();
        document.Dispose();
    }
}
