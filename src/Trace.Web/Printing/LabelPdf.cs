using Trace.Core.Labels;
using Trace.Web.Printing.Logos;

namespace Trace.Web.Printing;

/// <summary>Labels as a PDF: one page each, as large as the label, or many on a sheet.</summary>
public static class LabelPdf
{
    /// <summary>A fixed date: when a label was printed stands in the journal, and the same label must give the same bytes.</summary>
    private static readonly DateTimeOffset NoDate = new(2000, 1, 1, 0, 0, 0, TimeSpan.Zero);

    /// <summary>Lays a label out with the codes and fonts that print it.</summary>
    /// <param name="dpi">Of the printer, when it is another than that which the template was made for.</param>
    public static LabelLayoutResult Lay(LabelTemplate template, LabelContent content, int? dpi = null) =>
        LabelLayout.Lay(template, content, SymbolEncoder.Instance, PrintMeasure.Instance, dpi, LogoPress.Instance);

    /// <exception cref="ArgumentException">No label, or labels for printers of different resolutions.</exception>
    /// <param name="sheet">Of labels that come on sheets.</param>
    /// <param name="startAt">The first free place of the first sheet, from 1.</param>
    public static byte[] Draw(IReadOnlyList<LabelDrawing> labels, SheetElement? sheet = null, int startAt = 1)
    {
        if (labels.Count == 0) throw new ArgumentException("A document has at least one label.", nameof(labels));
        var dpi = labels[0].Grid.Dpi;
        if (labels.Any(label => label.Grid.Dpi != dpi))
            throw new ArgumentException("Labels of one document are for one printer resolution.", nameof(labels));
        using var pdf = new PdfDrawing("Labels", NoDate, dpi);
        if (sheet is not null) Sheets(pdf, labels, sheet, startAt - 1);
        else foreach (var label in labels) Page(pdf, label);
        return pdf.Finish();
    }

    private static void Page(PdfDrawing pdf, LabelDrawing label)
    {
        pdf.BeginPage(label.WidthDots, label.HeightDots, label.Grid.Dpi);
        LabelPage.Draw(pdf.Page, label);
        pdf.EndPage();
    }

    private static void Sheets(PdfDrawing pdf, IReadOnlyList<LabelDrawing> labels, SheetElement sheet, int skipped)
    {
        var grid = labels[0].Grid;
        for (var i = 0; i < labels.Count; i++)
        {
            var place = (skipped + i) % sheet.Labels;
            if (i == 0 || place == 0) pdf.BeginPage(grid.Inside(sheet.PageWidthMm), grid.Inside(sheet.PageHeightMm), grid.Dpi);
            var (row, column) = Math.DivRem(place, sheet.Columns);
            LabelPage.Draw(
                pdf.Page, labels[i], grid.Nearest(sheet.LeftMm + column * sheet.PitchXMm), grid.Nearest(sheet.TopMm + row * sheet.PitchYMm));
            if (i == labels.Count - 1 || place == sheet.Labels - 1) pdf.EndPage();
        }
    }
}
