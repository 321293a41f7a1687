using Trace.Core.Labels;

namespace Trace.Web.Printing;

/// <summary>
/// The labels of a print as drawings, one by one as they are asked for. The label is laid out once; where packs have their own numbers only
/// the codes and the number differ from label to label.
/// </summary>
public static class PrintedLabels
{
    /// <param name="content">What the print's labels say, without a pack's number.</param>
    /// <param name="place">Of the first label wanted, 0 for the print's first.</param>
    /// <param name="dpi">Of the printer, when it is another than that which the template was made for.</param>
    /// <returns>Null when the label does not fit the template.</returns>
    public static IEnumerable<LabelDrawing>? Of(
        LabelTemplate template, LabelsPrinted printed, LabelContent content, int place, int count, int? dpi = null)
    {
        if (LabelPdf.Lay(template, PackSerials.WidestOf(content, printed.SerialSeed), dpi).Drawing is not { } drawing) return null;
        return printed.SerialSeed is not { } seed
            ? Enumerable.Repeat(drawing, count)
            : Enumerable.Range(printed.FirstSerial + place, count)
                .Select(number => Numbered(template, drawing, content, PackSerials.At(seed, printed.Lot, number)));
    }

    /// <summary>All numbers have the same length, so each code is as large as the one that was laid out.</summary>
    private static LabelDrawing Numbered(LabelTemplate template, LabelDrawing drawing, LabelContent label, string serial)
    {
        var content = PackSerials.With(label, serial);
        return drawing with
        {
            Texts = [.. drawing.Texts.Select(text => HasNumber(text) ? Numbered(template, text, serial) : text)],
            Symbols = [.. drawing.Symbols.Select((symbol, place) => Numbered(template.Symbols[place], symbol, content))],
        };
    }

    private static bool HasNumber(TextDrawing text) => text.Text.Contains(PackSerials.Widest, StringComparison.Ordinal);

    private static SymbolDrawing Numbered(SymbolElement element, SymbolDrawing symbol, LabelContent content)
    {
        var (text, problem) = SymbolMessages.Of(element, content);
        if (problem is null && text == symbol.Text) return symbol;
        return problem is null && SymbolEncoder.Instance.Modules(symbol.Code, text) is { } modules
            && modules.Length == symbol.Modules.Length
            ? symbol with { Text = text, Modules = modules }
            : throw new InvalidOperationException("The code of a pack is not as large as that of the others.");
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
