using Trace.Core.Labels;
using Trace.Core.Specifications;
using Trace.Web.Printing;
using Xunit;

namespace Trace.Tests.Labels;

public sealed class SymbolLayoutTests
{
    /// <summary>100 x 60 mm at 254 dpi, so that a dot is 0.1 mm.</summary>
    private static LabelTemplate Template(params SymbolElement[] symbols) =>
        new("t", "", 100, 60, 254, 0.9, symbols, [], [], TemplateKind.Pack);

    private static LabelLayoutResult Lay(SymbolElement symbol, bool[,] modules, LabelContent? content = null) =>
        LabelLayout.Lay(Template(symbol), content ?? SampleLabels.Pack(), new OneSymbol(modules), new HalfWide());

    private static LabelContent InCase(string lot) => SampleLabels.For(SampleLabels.Template("case-100x60")) with { LotCode = lot };

    /// <summary>ISO/IEC 16022 wants one module of white: (26 + 2) x 5 dots = 140 in a box of 150, so 5 are left on each side.</summary>
    [Theory]
    [InlineData(15, true)]
    [InlineData(14, true)]
    [InlineData(13.9, false)]
    public void A_Data_Matrix_has_one_module_of_white(double sizeMm, bool printed)
    {
        var laid = Lay(new(SymbolCode.DataMatrix, SymbolMessage.Link, 10, 10, sizeMm, sizeMm, 5), new bool[26, 26]);
        Assert.Equal(printed, laid.Drawing is not null);
        if (!printed) Assert.Contains("14.0 mm with its quiet zone", Assert.Single(laid.Problems).Reason);
        else Assert.Equal(100 + (int)(sizeMm * 10 - 130) / 2, laid.Drawing!.Symbols.Single().XDots);
    }

    /// <summary>GS1 General Specifications 5.4: ten modules of white at either end; (100 + 20) x 3 dots = 360.</summary>
    [Theory]
    [InlineData(36, true)]
    [InlineData(35.9, false)]
    public void Bars_have_ten_modules_of_white_at_either_end_and_the_height_of_their_box(double widthMm, bool printed)
    {
        var laid = Lay(new(SymbolCode.Gs1128, SymbolMessage.Item, 10, 10, widthMm, 20, 3), new bool[1, 100]);
        Assert.Equal(printed, laid.Drawing is not null);
        if (!printed) Assert.Contains("36.0 mm with their quiet zone", Assert.Single(laid.Problems).Reason);
        else Assert.Equal((100 + 30, 100, 3, 200), laid.Drawing!.Symbols.Select(symbol => (symbol.XDots, symbol.YDots, symbol.DotsPerModule, symbol.ModuleHeightDots)).Single());
    }

    /// <summary>Without a company prefix there is no valid (01), and (10) alone is no GS1 message.</summary>
    [Theory]
    [InlineData(SymbolMessage.Item)]
    [InlineData(SymbolMessage.Case)]
    [InlineData(SymbolMessage.Unit)]
    [InlineData(SymbolMessage.Contents)]
    public void A_product_without_a_GTIN_has_no_GS1_message(SymbolMessage says)
    {
        var content = InCase("L1") with { Gtin = null };
        var laid = Lay(new(SymbolCode.Gs1DataMatrix, says, 10, 10, 20, 20, 5), new bool[20, 20], content);
        var problem = Assert.Single(laid.Problems);
        Assert.Equal("gtin", problem.Field);
        Assert.Contains("no GTIN", problem.Reason);
    }

    [Fact]
    public void A_lot_code_outside_set_82_is_refused_for_the_message()
    {
        var laid = Lay(new(SymbolCode.Gs1DataMatrix, SymbolMessage.Item, 10, 10, 20, 20, 5), new bool[20, 20], SampleLabels.Pack() with { LotCode = "L 1" });
        Assert.Contains("set 82", Assert.Single(laid.Problems).Reason);
    }

    /// <summary>GS1 General Specifications 5.4, from memory: 48 characters. (01), (11), (15) and (10) leave 14 to the lot.</summary>
    [Theory]
    [InlineData("P261125-001K", true)]
    [InlineData("P261125-001K.A", true)]
    [InlineData("P261125-001K.AB", false)]
    [InlineData("P2611250000000000001", false)]
    public void With_a_long_lot_code_bars_leave_the_production_date_to_the_text(string lot, bool produced)
    {
        var symbol = new SymbolElement(SymbolCode.Gs1128, SymbolMessage.Case, 1, 10, 98, 20, 2);
        var text = LabelLayout.Lay(Template(symbol), InCase(lot), new OneSymbol(new bool[1, 300]), new HalfWide()).Drawing!.Symbols.Single().Text;
        Assert.Equal(produced, text.Contains("11261125", StringComparison.Ordinal));
        Assert.True(text.Length <= 48);
        Assert.EndsWith("10" + lot, text, StringComparison.Ordinal);
        Assert.Equal(text, LabelFields.Text("caseText", InCase(lot)).Replace(" ", "").Replace("(", "").Replace(")", ""));
    }

    /// <summary>
    /// On another printer the module keeps its size as nearly as whole dots allow: 4 of 203 an inch are 0.50 mm, that is 6 of 300 (0.51), or 5
    /// (0.42) where 6 do not fit; 2 of 203 are 0.25 mm, and 3 of 300.
    /// </summary>
    [Theory]
    [InlineData("pack-70x50", 300, 6)]
    [InlineData("small-40x25", 300, 5)]
    [InlineData("case-100x60", 600, 12)]
    public void On_another_printer_modules_keep_their_size_in_whole_dots(string name, int dpi, int dots)
    {
        var template = SampleLabels.Template(name);
        var symbol = LabelPdf.Lay(template, SampleLabels.For(template), dpi).Drawing!.Symbols[0];
        Assert.Equal(dots, symbol.DotsPerModule);
    }

    [Fact]
    public void What_no_code_can_hold_is_refused()
    {
        var content = SampleLabels.Pack() with { Uri = new string('a', 3000) };
        foreach (var code in new[] { SymbolCode.Qr, SymbolCode.DataMatrix })
        {
            var laid = LabelLayout.Lay(Template(new SymbolElement(code, SymbolMessage.Link, 10, 10, 20, 20, 5)), content, SymbolEncoder.Instance, new HalfWide());
            Assert.Contains("too long", Assert.Single(laid.Problems).Reason);
        }
    }
}
