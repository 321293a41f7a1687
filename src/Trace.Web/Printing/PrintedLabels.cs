using Trace.Core.Labels;

namespace Trace.Web.Printing;

/// <summary>
/// The labels of a print as drawings, one by one as they are asked for. The label is laid out once; where packs have their own numbers only
/// the code and the number differ from label to label.
/// </summary>
public static class PrintedLabels
{
    /// <param name="place">Of the first label wanted, 0 for the print's first.</param>
    /// <returns>Null when the label does not fit the template.</returns>
    public static IEnumerable<LabelDrawing>? Of(LabelTemplate template, LabelsPrinted printed, int place, int count)
    {
        var content = printed.Label.ToContent();
        if (LabelPdf.Lay(template, PackSerials.WidestOf(content, printed.SerialSeed)).Drawing is not { } drawing) return null;
        return printed.SerialSeed is not { } seed
            ? Enumerable.Repeat(drawing, count)
            : Enumerable.Range(printed.FirstSerial + place, count)
                .Select(number => Numbered(template, drawing, content, PackSerials.At(seed, printed.Lot, number)));
    }

    /// <summary>All numbers have the same length, so each code is as large as the one that was laid out.</summary>
    private static LabelDrawing Numbered(LabelTemplate template, LabelDrawing drawing, LabelContent label, string serial)
    {
        var content = PackSerials.With(label, serial);
        var modules = QrModules.For(content.Uri);
        if (modules.Length != drawing.Qr.Modules.Length) throw new InvalidOperationException("The code of a pack is not as large as that of the others.");
        return drawing with
        {
            Texts = [.. drawing.Texts.Select(text => text.Field == PackSerials.Field ? Numbered(template, text, serial) : text)],
            Qr = drawing.Qr with { Modules = modules },
        };
    }

    private static TextDrawing Numbered(LabelTemplate template, TextDrawing text, string serial)
    {
        var written = text.Text.Replace(PackSerials.Widest, serial, StringComparison.Ordinal);
        double Width(string line) => PrintMeasure.Instance.WidthMm(line, text.SizeMm, text.Bold);
        var free = Width(text.Text) - Width(written);
        return text with
        {
            Text = written,
            XMm = text.XMm + template.Texts.Single(element => element.Field == text.Field).Align switch
            {
                TextAlign.Right => free,
                TextAlign.Centre => free / 2,
                _ => 0,
            },
        };
    }
}
