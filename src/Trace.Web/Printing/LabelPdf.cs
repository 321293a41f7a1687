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

    /// <summary>
    /// Takes each label when its page is drawn and writes each page when it is done: into a file, memory does not grow with the labels.
    /// </summary>
    /// <exception cref="ArgumentException">No label, or labels for printers of different resolutions.</exception>
    /// <param name="sheet">Of labels that come on sheets.</param>
    /// <param name="startAt">The first free place of the first sheet, from 1.</param>
    public static void Draw(Stream to, IEnumerable<LabelDrawing> labels, SheetElement? sheet = null, int startAt = 1)
    {
        using var each = labels.GetEnumerator();
        if (!each.MoveNext()) throw new ArgumentException("A document has at least one label.", nameof(labels));
        var dpi = each.Current.Grid.Dpi;
        using var pdf = new PdfDrawing(to, "Labels", NoDate, dpi);
        var place = startAt - 1;
        do
        {
            var label = each.Current;
            if (label.Grid.Dpi != dpi) throw new ArgumentException("Labels of one document are for one printer resolution.", nameof(labels));
            if (sheet is null) Page(pdf, label);
            else OnSheet(pdf, label, sheet, place++);
        }
        while (each.MoveNext());
        pdf.Finish();
    }

    private static void Page(PdfDrawing pdf, LabelDrawing label)
    {
        pdf.BeginPage(label.WidthDots, label.HeightDots, label.Grid.Dpi);
        LabelPage.Draw(pdf.Page, label);
    }

    /// <param name="place">Counts on over all sheets, from 0.</param>
    private static void OnSheet(PdfDrawing pdf, LabelDrawing label, SheetElement sheet, int place)
    {
        var grid = label.Grid;
        var onSheet = place % sheet.Labels;
        if (onSheet == 0 || !pdf.HasPage) pdf.BeginPage(grid.Inside(sheet.PageWidthMm), grid.Inside(sheet.PageHeightMm), grid.Dpi);
        var (row, column) = Math.DivRem(onSheet, sheet.Columns);
        LabelPage.Draw(
            pdf.Page, label, grid.Nearest(sheet.LeftMm + column * sheet.PitchXMm), grid.Nearest(sheet.TopMm + row * sheet.PitchYMm));
    }
}
