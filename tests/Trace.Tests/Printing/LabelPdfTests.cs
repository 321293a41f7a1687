using System.Globalization;
using System.Text;
using Trace.Core.Labels;
using Trace.Tests.Approved;
using Trace.Tests.Labels;
using Trace.Web.Printing;
using UglyToad.PdfPig;
using Xunit;

namespace Trace.Tests.Printing;

public class LabelPdfTests
{
    private static LabelDrawing Lay(string template, LabelContent content)
    {
        var laid = LabelPdf.Lay(SampleLabels.Template(template), content);
        Assert.True(laid.Drawing is not null, string.Join('\n', laid.Problems));
        return laid.Drawing;
    }

    public static TheoryData<string> Templates => [.. SampleLabels.TemplateNames];

    [Theory]
    [MemberData(nameof(Templates))]
    public void The_layout_is_the_approved_one(string template)
    {
        var drawing = Lay(template, SampleLabels.For(SampleLabels.Template(template)));
        var text = new StringBuilder();
        text.AppendLine(CultureInfo.InvariantCulture, $"page {drawing.WidthDots} x {drawing.HeightDots} dots at {drawing.Grid.Dpi} dpi");
        foreach (var box in drawing.Boxes)
            text.AppendLine(CultureInfo.InvariantCulture, $"box {box.XDots},{box.YDots} {box.WidthDots} x {box.HeightDots} dots");
        foreach (var line in drawing.Texts)
            text.AppendLine(CultureInfo.InvariantCulture,
                $"{line.Field} {line.XMm:0.00},{line.BaselineMm:0.00} size {line.SizeMm:0.00}{(line.Bold ? " bold" : "")}: {line.Text}");
        foreach (var symbol in drawing.Symbols)
        {
            text.AppendLine(CultureInfo.InvariantCulture,
                $"{symbol.Code} {symbol.XDots},{symbol.YDots} dots, {symbol.Modules.GetLength(0)} x {symbol.Modules.GetLength(1)} modules of {symbol.DotsPerModule} x {symbol.ModuleHeightDots} dots: {symbol.Text.Replace("\u001D", "<GS>", StringComparison.Ordinal)}");
        }

        ApprovedText.Check($"label-{template}", text.ToString());
    }

    /// <summary>59 characters: 33 modules at level M; 62 still, 63 need 37. Recomputed from the codeword table of ISO/IEC 18004.</summary>
    [Fact]
    public void The_code_is_the_smallest_that_holds_the_text()
    {
        Assert.Equal(33, QrModules.For(SampleLabels.Uri).GetLength(0));
        Assert.Equal(33, QrModules.For(new string('a', 62)).GetLength(0));
        Assert.Equal(37, QrModules.For(new string('a', 63)).GetLength(0));
    }

    /// <summary>ISO/IEC 18004: 4 modules on all sides; ISO/IEC 16022: 1; GS1-128 (GS1 General Specifications 5.4): 10, left and right.</summary>
    [Theory]
    [MemberData(nameof(Templates))]
    public void Every_module_is_whole_dots_and_the_quiet_zone_is_white(string template)
    {
        var drawing = Lay(template, SampleLabels.For(SampleLabels.Template(template)));
        Raster[] rasters = [Raster.Of(LabelFile.Of([drawing]), drawing.Grid.Dpi), Raster.OfPng(LabelPng.Draw(drawing))];
        foreach (var raster in rasters)
        {
            Assert.Equal((drawing.WidthDots, drawing.HeightDots), (raster.Width, raster.Height));
            Assert.All(drawing.Symbols, symbol => AssertSymbol(symbol, raster));
        }
    }

    private static void AssertSymbol(SymbolDrawing symbol, Raster raster)
    {
        var (beside, above) = symbol.Code switch { SymbolCode.Qr => (4, 4), SymbolCode.Gs1128 => (10, 0), _ => (1, 1) };
        var (rows, columns) = (symbol.Modules.GetLength(0), symbol.Modules.GetLength(1));
        for (var y = -above * symbol.ModuleHeightDots; y < (rows + above) * symbol.ModuleHeightDots; y++)
        {
            for (var x = -beside * symbol.DotsPerModule; x < (columns + beside) * symbol.DotsPerModule; x++)
            {
                var row = Math.DivRem(y, symbol.ModuleHeightDots).Quotient;
                var column = Math.DivRem(x, symbol.DotsPerModule).Quotient;
                var dark = x >= 0 && y >= 0 && row < rows && column < columns && symbol.Modules[row, column];
                Assert.Equal(dark ? 0 : 255, raster[symbol.XDots + x, symbol.YDots + y]);
            }
        }
    }

    [Fact]
    public void The_text_can_be_read_from_the_file()
    {
        using var pdf = PdfDocument.Open(LabelFile.Of([Lay("pack-70x50", SampleLabels.Pack())]));
        var text = string.Join(' ', pdf.GetPage(1).GetWords().Select(word => word.Text));
        foreach (var part in new[]
        {
            "Dried yellow mealworms", "Pet treat. Not for human consumption.", "L P261125-001K", "Best before", "25 November 2027",
            "Produced 25 November 2026", "250 g", "crustaceans or dust mites.", "Example Larvae Co-operative", "approval no. KE-0042",
            "Print 12",
        })
            Assert.Contains(part, text);
    }

    [Fact]
    public void The_file_has_a_page_for_each_label_as_large_as_the_label()
    {
        var pack = Lay("pack-70x50", SampleLabels.Pack());
        using var pdf = PdfDocument.Open(LabelFile.Of([pack, Lay("container-70x50", SampleLabels.Pack()), pack]));
        Assert.Equal(3, pdf.NumberOfPages);
        foreach (var page in pdf.GetPages())
        {
            Assert.Equal(pack.WidthMm, page.Width * 25.4 / 72, 0.01);
            Assert.Equal(pack.HeightMm, page.Height * 25.4 / 72, 0.01);
        }
    }

    [Fact]
    public void Labels_for_different_printers_do_not_share_a_document_and_none_is_no_document()
    {
        var pack = Lay("pack-70x50", SampleLabels.Pack());
        Assert.Throws<ArgumentException>(() => LabelFile.Of([pack, pack with { Grid = new DotGrid(300) }]));
        Assert.Throws<ArgumentException>(() => LabelFile.Of([]));
    }

    [Fact]
    public void The_same_labels_give_the_same_bytes()
    {
        byte[] Once() => LabelFile.Of([Lay("pack-70x50", SampleLabels.Pack()), Lay("container-70x50", SampleLabels.Pack())]);
        Assert.Equal(Once(), Once());
    }

    /// <summary>The fonts are shared by all threads, and their native parts have crashed the program when misused.</summary>
    [Fact]
    public void Many_threads_draw_the_same_bytes()
    {
        byte[] Once() => LabelFile.Of([Lay("pack-70x50", SampleLabels.Pack())]);
        var first = Once();
        var all = new byte[64][];
        Parallel.For(0, all.Length, new ParallelOptions { MaxDegreeOfParallelism = 8 }, i => all[i] = Once());
        Assert.All(all, one => Assert.Equal(first, one));
    }

    [Theory]
    [InlineData("en")]
    [InlineData("fr")]
    [InlineData("de")]
    [InlineData("es")]
    [InlineData("pt")]
    [InlineData("id")]
    public void All_templates_hold_the_words_of_every_language_also_as_a_reprint_and_for_practice(string language)
    {
        foreach (var template in SampleLabels.TemplateNames)
        {
            var content = SampleLabels.For(SampleLabels.Template(template)) with
            {
                Language = language,
                ProductionDate = new DateOnly(2026, 9, 29),
                BestBefore = new DateOnly(2027, 9, 29),
                PrintNumber = 12,
                ReprintReason = "smudged",
            };
            Assert.NotEmpty(Lay(template, content).Texts);
            Assert.Contains(Lay(template, content with { Training = true }).Texts, text => text.White);
        }
    }

    [Theory]
    [InlineData(84, true)]
    [InlineData(85, false)]
    [InlineData(3000, false)]
    public void An_address_too_long_for_the_place_of_the_code_is_refused(int characters, bool printed)
    {
        var laid = LabelPdf.Lay(SampleLabels.Template("pack-70x50"), SampleLabels.Pack() with { Uri = new string('a', characters) });
        Assert.Equal(printed, laid.Drawing is not null);
        if (!printed) Assert.Equal("uri", Assert.Single(laid.Problems).Field);
    }

    [Fact]
    public void A_caution_that_is_too_long_is_refused_by_name_with_the_real_fonts()
    {
        var content = SampleLabels.Pack() with { Cautions = [string.Join(' ', Enumerable.Repeat("caution", 30))] };
        var laid = LabelPdf.Lay(SampleLabels.Template("pack-70x50"), content);
        Assert.Equal("cautions", Assert.Single(laid.Problems).Field);
    }

    [Theory]
    [InlineData("Recycle ♻", "'♻' (U+267B)")]
    [InlineData("حفظ", "'ح' (U+062D)")]
    [InlineData("Keep\u202Edry", "U+202E")]
    [InlineData("Keep\ndry", "U+000A")]
    [InlineData("Keep \uD83D dry", "U+FFFD")]
    public void A_character_that_the_fonts_lack_or_that_hides_is_refused_by_name(string storage, string named)
    {
        var content = SampleLabels.Pack() with { Storage = storage };
        var laid = LabelPdf.Lay(SampleLabels.Template("pack-70x50"), content);
        var problem = Assert.Single(laid.Problems);
        Assert.Equal("storage", problem.Field);
        Assert.Contains(named, problem.Reason);
    }

    [Fact]
    public void The_drawing_itself_refuses_such_a_character_too()
    {
        using var pdf = new PdfDrawing(Stream.Null, "test", DateTimeOffset.UnixEpoch, 300);
        pdf.BeginPage(50, 50, 25.4);
        Assert.Contains("'♻' (U+267B)", Assert.Throws<UnprintableTextException>(() => pdf.Page.Text("♻", 1, 1, 1, bold: false)).Message);
    }

    [Fact]
    public void Accents_of_many_languages_are_printed_and_read_back()
    {
        const string text = "Hạn sử dụng: Bảo quản nơi khô";
        var drawing = Lay("container-70x50", SampleLabels.Pack() with { ProductName = text });
        using var pdf = PdfDocument.Open(LabelFile.Of([drawing]));
        // A letter and its mark may come out as two characters; they are the same text.
        Assert.Contains(text, string.Join(" ", pdf.GetPage(1).GetWords().Select(word => word.Text)).Replace("u\u0323", "ụ"));
    }
}
