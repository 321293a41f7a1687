using System.Xml.Linq;
using SkiaSharp;
using Trace.Core.Labels;
using Trace.Tests.Labels;
using Trace.Web.Printing;
using Xunit;

namespace Trace.Tests.Printing;

/// <summary>The label as SVG for the screen and as PNG for a printer's dots: the same drawing as the PDF.</summary>
public sealed class LabelPictureTests
{
    private static readonly XNamespace Svg = "http://www.w3.org/2000/svg";

    public static TheoryData<string> Templates => [.. SampleLabels.TemplateNames];

    private static LabelDrawing Lay(string template, int? dpi = null, LabelContent? content = null)
    {
        var read = SampleLabels.Template(template);
        return LabelPdf.Lay(read, content ?? SampleLabels.For(read), dpi).Drawing!;
    }

    [Theory]
    [MemberData(nameof(Templates))]
    public void The_SVG_is_shapes_alone_with_a_title_and_the_text_for_those_who_do_not_see(string template)
    {
        var label = Lay(template);
        var svg = XDocument.Parse(LabelSvg.Draw(label, "Label <L00001>")).Root!;
        Assert.Equal(["desc", "path", "svg", "title"], svg.DescendantsAndSelf().Select(element => element.Name.LocalName).Distinct().Order());
        Assert.Equal(("img", "Label <L00001>", "Label <L00001>"),
            ((string?)svg.Attribute("role"), (string?)svg.Attribute("aria-label"), svg.Element(Svg + "title")!.Value));
        Assert.Equal($"0 0 {label.WidthDots} {label.HeightDots}", (string?)svg.Attribute("viewBox"));
        Assert.All(label.Texts, text => Assert.Contains(text.Text, svg.Element(Svg + "desc")!.Value, StringComparison.Ordinal));

        // Nothing that runs or is fetched: no attribute but these, so neither href nor style nor on….
        Assert.Equal(
            ["aria-label", "d", "fill", "height", "role", "shape-rendering", "viewBox", "width", "xmlns"],
            svg.DescendantsAndSelf().Attributes().Select(attribute => attribute.Name.LocalName).Distinct().Order());
    }

    /// <summary>The outlines drawn by the drawing library's own reader of path data are the dots of the picture, but for some on the edges
    /// of letters, which the two round apart.</summary>
    [Theory]
    [MemberData(nameof(Templates))]
    public void The_SVG_shows_what_the_picture_shows(string template)
    {
        var label = Lay(template, content: SampleLabels.For(SampleLabels.Template(template)) with { Training = true });
        using var drawn = new SKBitmap(label.WidthDots, label.HeightDots, SKColorType.Gray8, SKAlphaType.Opaque);
        using var canvas = new SKCanvas(drawn);
        using var paint = new SKPaint();
        foreach (var shape in XDocument.Parse(LabelSvg.Draw(label, "x")).Descendants(Svg + "path"))
        {
            using var path = SKPath.ParseSvgPathData((string?)shape.Attribute("d"));
            Assert.NotNull(path);
            paint.Color = (string?)shape.Attribute("fill") == "#fff" ? SKColors.White : SKColors.Black;
            canvas.DrawPath(path, paint);
        }

        var png = Raster.OfPng(LabelPng.Draw(label));
        var shown = new Raster(label.WidthDots, label.HeightDots, [.. drawn.Pixels.Select(pixel => pixel.Red)]);
        var different = 0;
        for (var y = 0; y < png.Height; y++)
        {
            for (var x = 0; x < png.Width; x++)
            {
                if (png[x, y] == shown[x, y]) continue;
                different++;
                Assert.True(IsEdge(png, x, y) || IsEdge(shown, x, y), $"The dot {x},{y} is on no edge, and different.");
            }
        }

        Assert.True(different < png.Grey.Length / 25, $"{different} of {png.Grey.Length} dots are different.");
        Assert.Contains(label.Texts, text => text.White);
    }

    [Theory]
    [MemberData(nameof(Templates))]
    public void The_PNG_has_a_pixel_a_dot_in_black_and_white_alone_and_says_how_many_stand_on_an_inch(string template)
    {
        foreach (var dpi in new[] { 203, 300, 600 })
        {
            var label = Lay(template, dpi);
            var png = LabelPng.Draw(label);
            var raster = Raster.OfPng(png);
            Assert.Equal((label.WidthDots, label.HeightDots), (raster.Width, raster.Height));
            Assert.Equal([0, 255], raster.Grey.Distinct().Order().Select(grey => (int)grey));

            // W3C PNG specification 11.3.4.3: dots per metre, and 1 for the metre; 203 dots an inch are 7992 a metre.
            var at = png.AsSpan().IndexOf("pHYs"u8);
            var perMetre = System.Buffers.Binary.BinaryPrimitives.ReadUInt32BigEndian(png.AsSpan(at + 4));
            Assert.Equal((dpi switch { 203 => 7992u, 300 => 11811u, _ => 23622u }, (byte)1), (perMetre, png[at + 12]));
        }
    }

    private static bool IsEdge(Raster picture, int x, int y)
    {
        for (var row = Math.Max(0, y - 1); row <= Math.Min(picture.Height - 1, y + 1); row++)
            for (var column = Math.Max(0, x - 1); column <= Math.Min(picture.Width - 1, x + 1); column++)
                if (picture[column, row] != picture[x, y]) return true;
        return false;
    }

    [Fact]
    public void The_same_label_gives_the_same_bytes()
    {
        var label = Lay("shipping-105x148");
        Assert.Equal(LabelPng.Draw(label), LabelPng.Draw(label));
        Assert.Equal(LabelSvg.Draw(label, "x"), LabelSvg.Draw(label, "x"));
    }

    [Fact]
    public void On_a_printer_whose_dots_make_no_allowed_module_the_label_is_refused()
    {
        var laid = LabelPdf.Lay(SampleLabels.Template("case-100x60"), SampleLabels.For(SampleLabels.Template("case-100x60")), dpi: 24);
        Assert.Contains(laid.Problems, problem => problem.Field == "dpi");
    }
}
