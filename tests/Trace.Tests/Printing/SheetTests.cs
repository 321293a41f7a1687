using Trace.Core.Labels;
using Trace.Tests.Labels;
using Trace.Web.Printing;
using UglyToad.PdfPig;
using Xunit;

namespace Trace.Tests.Printing;

/// <summary>Labels on sheets of A4: which stands where, and that each is read by a scanner.</summary>
public sealed class SheetTests
{
    private const int Dpi = 300;

    private static readonly LabelTemplate Template = SampleLabels.Template("sheet-a4-3x8");

    private static LabelDrawing Label { get; } = LabelPdf.Lay(Template, SampleLabels.For(Template)).Drawing!;

    private static byte[] Sheets(int labels, int startAt) => LabelFile.Of([.. Enumerable.Repeat(Label, labels)], Template.Sheet, startAt);

    /// <summary>24 places on a sheet.</summary>
    [Theory]
    [InlineData(1, 1, 1)]
    [InlineData(24, 1, 1)]
    [InlineData(25, 1, 2)]
    [InlineData(1, 24, 1)]
    [InlineData(2, 24, 2)]
    [InlineData(24, 2, 2)]
    [InlineData(49, 24, 3)]
    public void A_sheet_is_full_before_the_next_begins(int labels, int startAt, int pages)
    {
        using var pdf = PdfDocument.Open(Sheets(labels, startAt));
        Assert.Equal(pages, pdf.NumberOfPages);
        Assert.All(pdf.GetPages(), page => Assert.Equal((210, 297), (Math.Round(page.Width * 25.4 / 72), Math.Round(page.Height * 25.4 / 72))));
        var lots = pdf.GetPages().Sum(page => page.Text.Split("P261125-001K").Length - 1);
        Assert.Equal(labels, lots);
    }

    /// <summary>From the fifth place on: the first is the second of the second row.</summary>
    [Fact]
    public void The_first_stands_at_the_place_asked_for_and_is_the_label_itself()
    {
        var page = Raster.Of(Sheets(3, startAt: 5), Dpi);
        Assert.Equal((2480, 3507), (page.Width, page.Height));
        var alone = Raster.Of(LabelFile.Of([Label]), Dpi);
        var (pitchX, pitchY, top) = (70 / 25.4 * Dpi, 37 / 25.4 * Dpi, 0.5 / 25.4 * Dpi);
        foreach (var (place, filled) in new[] { (0, false), (3, false), (4, true), (5, true), (6, true), (7, false), (23, false) })
        {
            var (row, column) = Math.DivRem(place, 3);
            var there = page.Cut((int)Math.Round(column * pitchX), (int)Math.Round(top + row * pitchY), Label.WidthDots, Label.HeightDots);
            if (!filled) Assert.All(there.Grey, dot => Assert.Equal(255, dot));
            else if (place == 4) Assert.Equal(Modules(alone), Modules(there));
            if (filled) Assert.Equal([SampleLabels.Uri], there.ReadWithZbar());
        }
    }

    /// <summary>The dots of the code: exactly the same wherever on the sheet.</summary>
    private static byte[] Modules(Raster label)
    {
        var code = Label.Symbols.Single();
        var side = code.Modules.GetLength(0) * code.DotsPerModule;
        return label.Cut(code.XDots, code.YDots, side, side).Grey;
    }
}
