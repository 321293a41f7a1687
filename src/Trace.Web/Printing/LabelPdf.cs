using Trace.Core.Labels;
using Trace.Web.Printing.Logos;

namespace Trace.Web.Printing;

/// <summary>Labels as a PDF, one page each, the page as large as the label.</summary>
public static class LabelPdf
{
    /// <summary>A fixed date: when a label was printed stands in the journal, and the same label must give the same bytes.</summary>
    private static readonly DateTimeOffset NoDate = new(2000, 1, 1, 0, 0, 0, TimeSpan.Zero);

    /// <summary>Lays a label out with the codes and fonts that print it.</summary>
    /// <param name="dpi">Of the printer, when it is another than that which the template was made for.</param>
    public static LabelLayoutResult Lay(LabelTemplate template, LabelContent content, int? dpi = null) =>
        LabelLayout.Lay(template, content, SymbolEncoder.Instance, PrintMeasure.Instance, dpi, LogoPress.Instance);

    /// <summary>Takes each label when its page is drawn, so that of many different ones only one is in memory.</summary>
    /// <exception cref="ArgumentException">No label, or labels for printers of different resolutions.</exception>
    public static byte[] Draw(IEnumerable<LabelDrawing> labels)
    {
        using var each = labels.GetEnumerator();
        if (!each.MoveNext()) throw new ArgumentException("A document has at least one label.", nameof(labels));
        var dpi = each.Current.Grid.Dpi;
        using var pdf = new PdfDrawing("Labels", NoDate, dpi);
        do
        {
            var label = each.Current;
            if (label.Grid.Dpi != dpi) throw new ArgumentException("Labels of one document are for one printer resolution.", nameof(labels));
            pdf.BeginPage(label.WidthDots, label.HeightDots, dpi);
            LabelPage.Draw(pdf.Page, label);
            pdf.EndPage();
        }
        while (each.MoveNext());
        return pdf.Finish();
    }
}
