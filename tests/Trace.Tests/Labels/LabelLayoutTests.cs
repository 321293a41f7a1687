using Trace.Core.Labels;
using Trace.Core.Specifications;
using Trace.Core.Units;
using Xunit;

namespace Trace.Tests.Labels;

public class LabelLayoutTests
{
    private static readonly bool[,] Code = new bool[33, 33];

    /// <summary>100 x 60 mm at 254 dpi, so that a dot is 0.1 mm and a module of 4 dots 0.4 mm.</summary>
    private static LabelTemplate Template(params TextElement[] texts) =>
        new("t", "", 100, 60, 254, 0.9, [new(SymbolCode.Qr, SymbolMessage.Link, 70, 10, 20, 20, 4)], texts, [], TemplateKind.Container);

    private static LabelLayoutResult Lay(LabelTemplate template, LabelContent content, bool[,]? code = null) =>
        LabelLayout.Lay(template, content, new OneSymbol(code ?? Code), new HalfWide());

    [Fact]
    public void Text_that_fits_keeps_its_size()
    {
        // 14 characters of half of 4 mm: 28 mm.
        var laid = Lay(Template(new TextElement("lotCode", 2, 3, 28, 6, 4, 2)), SampleLabels.Pack());
        var text = Assert.Single(laid.Drawing!.Texts);
        Assert.Equal(("L P261125-001K", 4.0, 2.0), (text.Text, text.SizeMm, text.XMm));
    }

    [Fact]
    public void Text_that_is_too_wide_is_made_smaller_but_not_cut()
    {
        var laid = Lay(Template(new TextElement("lotCode", 2, 3, 21, 6, 4, 2)), SampleLabels.Pack());
        var text = Assert.Single(laid.Drawing!.Texts);
        Assert.Equal("L P261125-001K", text.Text);
        Assert.Equal(3, text.SizeMm, 1e-9);
    }

    [Fact]
    public void Text_that_does_not_fit_at_its_least_size_is_refused_by_name()
    {
        var template = Template(new("lotCode", 2, 3, 13.9, 6, 4, 2), new("storage", 2, 10, 20, 5, 4, 3, Lines: 2));
        var laid = Lay(template, SampleLabels.Pack());
        Assert.Null(laid.Drawing);
        Assert.Equal(["lotCode", "storage"], laid.Problems.Select(problem => problem.Field));
        Assert.All(laid.Problems, problem => Assert.Contains("does not fit", problem.Reason));
    }

    [Fact]
    public void Text_breaks_at_spaces_into_no_more_lines_than_stated_and_no_more_than_its_box_is_high()
    {
        var content = SampleLabels.Pack() with { Storage = "aaaa bbbb cccc" };
        string[] LinesOf(TextElement element) => [.. Lay(Template(element), content).Drawing?.Texts.Select(text => text.Text) ?? []];
        Assert.Equal(["aaaa bbbb", "cccc"], LinesOf(new("storage", 2, 3, 9, 5, 2, 2, Lines: 2)));
        Assert.Equal(["aaaa", "bbbb", "cccc"], LinesOf(new("storage", 2, 3, 8, 8, 2, 2, Lines: 3)));
        Assert.Empty(LinesOf(new("storage", 2, 3, 8, 8, 2, 2, Lines: 2)));
        Assert.Empty(LinesOf(new("storage", 2, 3, 8, 4.7, 2, 2, Lines: 3)));
    }

    [Fact]
    public void A_character_that_cannot_be_printed_is_refused_by_field_and_character()
    {
        var laid = Lay(Template(new TextElement("storage", 2, 3, 60, 6, 2, 2)), SampleLabels.Pack() with { Storage = "Recycle ♻" });
        var problem = Assert.Single(laid.Problems);
        Assert.Equal("storage", problem.Field);
        Assert.Contains("'♻' (U+267B)", problem.Reason);
    }

    [Fact]
    public void A_required_field_that_is_empty_is_refused_and_another_is_left_out()
    {
        var content = SampleLabels.Pack() with { BestBefore = null, Storage = " " };
        var laid = Lay(Template(new("storage", 2, 3, 60, 6, 2, 2), new("bestBefore", 2, 10, 60, 6, 2, 2, Required: true)), content);
        Assert.Equal("bestBefore", Assert.Single(laid.Problems).Field);
    }

    [Fact]
    public void Letters_lower_than_the_template_allows_are_refused()
    {
        var template = Template(new TextElement("storage", 2, 3, 60, 6, 2.2, 2)) with { LeastXHeightMm = 1.2 };
        var problem = Assert.Single(Lay(template, SampleLabels.Pack()).Problems);
        Assert.Contains("letter x below 1.2 mm", problem.Reason);
    }

    /// <summary>Directive 76/211/EEC Annex I 3.1, from memory: least figure height by net quantity, at and just above each bound.</summary>
    [Theory]
    [InlineData(50, 2)]
    [InlineData(50.001, 3)]
    [InlineData(200, 3)]
    [InlineData(200.001, 4)]
    [InlineData(1000, 4)]
    [InlineData(1000.001, 6)]
    public void The_figures_of_the_net_quantity_have_a_least_height(double grams, double heightMm) =>
        Assert.Equal(heightMm, LabelLayout.LeastFigureHeightMm(Mass.FromGrams((decimal)grams)));

    [Theory]
    [InlineData(200, true)]
    [InlineData(250, false)]
    public void A_net_quantity_in_figures_that_are_too_low_is_refused(int grams, bool printed)
    {
        // 5 mm: figures of 3.55 mm.
        var laid = Lay(Template(new TextElement("netMass", 2, 3, 60, 6, 5, 5)),
            SampleLabels.Pack() with { NetMass = Mass.FromGrams(grams) });
        Assert.Equal(printed, laid.Drawing is not null);
        if (!printed) Assert.Contains("too low", Assert.Single(laid.Problems).Reason);
    }

    [Theory]
    [InlineData("en", 12.5, "12.5 g")]
    [InlineData("de", 12.5, "12,5 g")]
    [InlineData("en", 999.999, "999.999 g")]
    [InlineData("en", 1000, "1 kg")]
    [InlineData("fr", 1250.001, "1,250001 kg")]
    public void A_net_quantity_is_written_whole_and_never_rounded(string language, double grams, string text) =>
        Assert.Equal(text, LabelFields.Text("netMass",
            SampleLabels.Pack() with { Language = language, NetMass = Mass.FromGrams((decimal)grams) }));

    [Fact]
    public void The_code_stands_on_whole_dots_in_the_middle_of_its_square()
    {
        // (33 + 8) modules x 4 dots = 164 of 200 dots; 18 dots are left on each side, and 16 are quiet zone.
        var qr = Lay(Template(), SampleLabels.Pack()).Drawing!.Symbols.Single();
        Assert.Equal((700 + 18 + 16, 100 + 18 + 16, 4), (qr.XDots, qr.YDots, qr.DotsPerModule));
    }

    /// <summary>(45 + 2 x 4) modules x 4 dots = 212 dots: ISO/IEC 18004 wants a quiet zone of four modules on each side.</summary>
    [Theory]
    [InlineData(21.2, true)]
    [InlineData(21.1, false)]
    public void A_code_whose_quiet_zone_does_not_fit_is_refused(double sizeMm, bool printed)
    {
        var template = Template() with { Symbols = [new(SymbolCode.Qr, SymbolMessage.Link, 70, 10, sizeMm, sizeMm, 4)] };
        var laid = Lay(template, SampleLabels.Pack(), new bool[45, 45]);
        Assert.Equal(printed, laid.Drawing is not null);
        if (printed) return;
        var problem = Assert.Single(laid.Problems);
        Assert.Equal("uri", problem.Field);
        Assert.Contains("quiet zone", problem.Reason);
    }

    [Fact]
    public void A_practice_label_says_not_for_sale_in_white_on_black_instead_of_its_purpose()
    {
        var laid = Lay(Template(new TextElement("purpose", 2, 3, 60, 6, 3, 2)), SampleLabels.Pack() with { Training = true });
        var text = Assert.Single(laid.Drawing!.Texts);
        Assert.Equal(("TRAINING – NOT FOR SALE", true, true), (text.Text, text.White, text.Bold));
        Assert.Equal(new BoxDrawing(20, 30, 600, 60), Assert.Single(laid.Drawing.Boxes));
    }

    [Fact]
    public void A_reprint_says_so_and_a_first_print_does_not()
    {
        Assert.Equal("Print 12", LabelFields.Text("printNote", SampleLabels.Pack()));
        Assert.Equal("Reprint 13", LabelFields.Text("printNote", SampleLabels.Pack() with { PrintNumber = 13, ReprintReason = "smudged" }));
    }

    [Fact]
    public void A_best_before_date_before_the_day_of_making_is_refused()
    {
        var content = SampleLabels.Pack();
        Assert.NotNull(Lay(Template(), content with { BestBefore = content.ProductionDate }).Drawing);
        var refused = Lay(Template(), content with { BestBefore = content.ProductionDate.AddDays(-1) });
        Assert.Equal("bestBefore", Assert.Single(refused.Problems).Field);
    }

    [Fact]
    public void An_unknown_language_is_refused() =>
        Assert.Equal("language", Assert.Single(Lay(Template(), SampleLabels.Pack() with { Language = "xx" }).Problems).Field);

    [Fact]
    public void The_page_is_as_many_whole_dots_as_fit_into_the_label()
    {
        var drawing = Lay(Template() with { WidthMm = 100.09, HeightMm = 60 }, SampleLabels.Pack()).Drawing!;
        Assert.Equal((1000, 600), (drawing.WidthDots, drawing.HeightDots));
    }
}
