using Trace.Core.Labels;
using Trace.Tests.Labels;
using Trace.Web.Printing;
using Xunit;
using ZXing;

namespace Trace.Tests.Printing;

/// <summary>
/// Every symbol of every template is read by programs that are none of ours, from the PDF and from the picture, on printers of 203 and 300 dots
/// an inch: zbarimg (QR, GS1-128), ZXing.Net (all, with its word on the kind of symbol), dmtxread (Data Matrix).
/// </summary>
public sealed class SymbolReadingTests
{
    /// <summary>The nearest size of a dot in a picture that a camera takes: so many pixels on a printer's dot.</summary>
    private const int Pixels = 4;

    public static TheoryData<string, int> Prints =>
        new(SampleLabels.TemplateNames.SelectMany(name => new[] { (name, 203), (name, 300) }));

    [Theory]
    [MemberData(nameof(Prints))]
    public void Other_programs_read_exactly_what_the_label_says(string template, int dpi)
    {
        var label = Lay(template, dpi);
        foreach (var page in (Raster[])[Raster.OfPng(LabelPng.Draw(label)), Raster.Of(LabelFile.Of([label]), dpi)])
            Assert.All(label.Symbols, symbol => AssertRead(page, Around(page, symbol), symbol));
    }

    /// <summary>A camera's picture a little out of focus, and one of a label with a tenth of its pixels turned over by dirt and noise.</summary>
    [Theory]
    [MemberData(nameof(Prints))]
    public void They_are_read_out_of_focus_and_through_specks_of_a_tenth(string template, int dpi)
    {
        var label = Lay(template, dpi);
        var page = Raster.OfPng(LabelPng.Draw(label));
        foreach (var symbol in label.Symbols)
        {
            var seen = Around(page, symbol).Enlarged(Pixels);
            AssertRead(seen.Blurred(Pixels, Pixels), symbol, "blurred");

            // Bars are looked at through a slit, which is what their height is for: fifteen dots to either side, and less across.
            var specks = seen.Speckled(10, seed: 20261125);
            AssertRead(symbol.Code == SymbolCode.Gs1128 ? specks.Blurred(Pixels - 1, 15 * Pixels) : specks.Blurred(Pixels, Pixels), symbol, "speckled");
        }
    }

    [Fact]
    public void The_item_of_a_pack_is_read_as_a_GS1_message_with_its_lot_last()
    {
        var template = SampleLabels.Template("small-40x25") with
        {
            Symbols = [new(SymbolCode.Gs1DataMatrix, SymbolMessage.Item, 25.5, 0.3, 14.1, 14.1, 4)],
        };
        var label = LabelPdf.Lay(template, SampleLabels.For(template)).Drawing!;
        var symbol = Assert.Single(label.Symbols);
        Assert.Equal("0109520123456788112611251527112510P261125-001K", symbol.Text);
        AssertRead(Around(Raster.OfPng(LabelPng.Draw(label)), symbol), symbol, "alone");
    }

    private static LabelDrawing Lay(string template, int dpi)
    {
        var read = SampleLabels.Template(template);
        var laid = LabelPdf.Lay(read, SampleLabels.For(read), dpi);
        Assert.True(laid.Drawing is not null, string.Join('\n', laid.Problems));
        Assert.NotEmpty(laid.Drawing.Symbols);
        return laid.Drawing;
    }

    private static void AssertRead(Raster seen, SymbolDrawing symbol, string how) => AssertRead(seen, seen, symbol, how);

    /// <param name="close">The symbol in the middle: ZXing.Net looks for a Data Matrix nowhere else.</param>
    private static void AssertRead(Raster page, Raster close, SymbolDrawing symbol, string how = "printed")
    {
        var (format, identifier, before) = symbol.Code switch
        {
            // The identifiers of ISO/IEC 15424; ZXing.Net puts the FNC1 that begins a GS1 message into the text as it is set to.
            SymbolCode.Qr => (BarcodeFormat.QR_CODE, "]Q1", ""),
            SymbolCode.DataMatrix => (BarcodeFormat.DATA_MATRIX, "]d1", ""),
            SymbolCode.Gs1DataMatrix => (BarcodeFormat.DATA_MATRIX, "]d2", "\u001D"),
            _ => (BarcodeFormat.CODE_128, "]C1", "]C1"),
        };
        var read = close.ReadWithZxing(format);
        Assert.True(read is not null, $"ZXing.Net reads no {symbol.Code}, {how}.");
        Assert.Equal(before + symbol.Text, read.Text);
        Assert.Equal(identifier, read.ResultMetadata[ResultMetadataType.SYMBOLOGY_IDENTIFIER]);
        if (format == BarcodeFormat.DATA_MATRIX) Assert.Equal(before + symbol.Text, page.ReadWithDmtx());
        else Assert.Contains(symbol.Text, page.ReadWithZbar());
    }

    /// <summary>The symbol with its quiet zone on white paper.</summary>
    private static Raster Around(Raster page, SymbolDrawing symbol)
    {
        var (beside, above) = symbol.Code switch { SymbolCode.Qr => (4, 4), SymbolCode.Gs1128 => (10, 0), _ => (1, 1) };
        return page.Cut(
            symbol.XDots - beside * symbol.DotsPerModule, symbol.YDots - above * symbol.DotsPerModule,
            (symbol.Modules.GetLength(1) + 2 * beside) * symbol.DotsPerModule,
            symbol.Modules.GetLength(0) * symbol.ModuleHeightDots + 2 * above * symbol.DotsPerModule).Framed(8 * symbol.DotsPerModule);
    }
}
