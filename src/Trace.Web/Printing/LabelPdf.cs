using Trace.Core.Labels;

namespace Trace.Web.Printing;

/// <summary>Labels as a PDF, one page each, the page as large as the label.</summary>
public static class LabelPdf
{
    /// <summary>A fixed date: when a label was printed stands in the journal, and the same label must give the same bytes.</summary>
    private static readonly DateTimeOffset NoDate = new(2000, 1, 1, 0, 0, 0, TimeSpan.Zero);

    /// <summary>Lays a label out with the code of its own address and the fonts that print it, so that the two cannot part.</summary>
    public static LabelLayoutResult Lay(LabelTemplate template, LabelContent content)
    {
        try
        {
            return LabelLayout.Lay(template, content, QrModules.For(content.Uri), PrintMeasure.Instance);
        }
        catch (QRCoder.Exceptions.DataTooLongException)
        {
            return new(null, [new("uri", "The address is too long for any QR code.")]);
        }
    }

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
            if (each.Current.Grid.Dpi != dpi) throw new ArgumentException("Labels of one document are for one printer resolution.", nameof(labels));
            Page(pdf, each.Current);
        }
        while (each.MoveNext());
        return pdf.Finish();
    }

    /// <summary>Drawn in dots, so that edges of modules are whole numbers in the file and stay sharp at the printer's resolution.</summary>
    private static void Page(PdfDrawing pdf, LabelDrawing label)
    {
        var dotsPerMm = 1 / label.Grid.Mm(1);
        pdf.BeginPage(label.WidthDots, label.HeightDots, label.Grid.Dpi);
        foreach (var box in label.Boxes) pdf.Box(box.XDots, box.YDots, box.WidthDots, box.HeightDots);
        foreach (var text in label.Texts)
            pdf.Text(text.Text, text.XMm * dotsPerMm, text.BaselineMm * dotsPerMm, text.SizeMm * dotsPerMm, text.Bold, text.White);
        pdf.Modules(label.Qr.Modules, label.Qr.XDots, label.Qr.YDots, label.Qr.DotsPerModule);
        pdf.EndPage();
    }
}
