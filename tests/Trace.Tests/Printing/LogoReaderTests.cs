using System.IO.Compression;
using System.Text;
using SkiaSharp;
using Trace.Web.Printing.Logos;
using Xunit;

namespace Trace.Tests.Printing;

public class LogoReaderTests
{
    private static byte[] Svg(string inside, string root = "viewBox=\"0 0 10 10\"") =>
        Encoding.UTF8.GetBytes($"<svg xmlns=\"http://www.w3.org/2000/svg\" {root}>\n{inside}\n</svg>");

    private static string Dots(byte[] file, int width = 10, int height = 10)
    {
        using var art = LogoReader.Read(file);
        var dots = LogoDots.Of(art, width, height);
        return string.Join('/', Enumerable.Range(0, height).Select(row =>
            string.Concat(Enumerable.Range(0, width).Select(column => dots[row, column] ? '#' : '.'))));
    }

    private static byte[] Png(int width, int height, Func<int, int, SKColor> colour)
    {
        using var bitmap = new SKBitmap(width, height);
        for (var y = 0; y < height; y++) for (var x = 0; x < width; x++) bitmap.SetPixel(x, y, colour(x, y));
        using var data = bitmap.Encode(SKEncodedImageFormat.Png, 100);
        return data.ToArray();
    }

    [Theory]
    [InlineData("<rect x=\"2\" y=\"2\" width=\"2\" height=\"6\"/>")]
    [InlineData("<path d=\"M2 2h2v6h-2z\"/>")]
    [InlineData("<polygon points=\"2,2 4,2 4,8 2,8\"/>")]
    [InlineData("<g transform=\"translate(2 2)\"><g fill=\"#101010\"><rect width=\"2\" height=\"6\"/></g></g>")]
    [InlineData("<g transform=\"translate(2,2) scale(2)\"><rect width=\"1\" height=\"3\"/></g>")]
    [InlineData("<rect transform=\"rotate(90) translate(2 -4)\" width=\"6\" height=\"2\"/>")]
    [InlineData("<rect transform=\"matrix(0 1 -1 0 4 2)\" width=\"6\" height=\"2\"/>")]
    [InlineData("<title>A bar</title><rect fill=\"#123\" x=\"2\" y=\"2\" width=\"2\" height=\"6\"/><rect fill=\"none\" width=\"9\" height=\"9\"/>")]
    public void The_same_bar_drawn_in_many_ways_is_the_same_dots(string shapes) =>
        Assert.Equal("........../........../..##....../..##....../..##....../..##....../..##....../..##....../........../..........", Dots(Svg(shapes)));

    [Fact]
    public void A_white_shape_on_a_black_one_leaves_a_hole_and_even_odd_does_too()
    {
        const string ring = "####/#..#/#..#/####";
        Assert.Equal(ring, Dots(Svg("<rect width=\"4\" height=\"4\"/><rect fill=\"white\" x=\"1\" y=\"1\" width=\"2\" height=\"2\"/>", "viewBox=\"0 0 4 4\""), 4, 4));
        Assert.Equal(ring, Dots(Svg("<path fill-rule=\"evenodd\" d=\"M0 0h4v4h-4z M1 1h2v2h-2z\"/>", "width=\"4\" height=\"4\""), 4, 4));
    }

    [Fact]
    public void It_keeps_its_shape_in_the_middle_of_a_wider_box() =>
        Assert.Equal("..####../..####../..####../..####..", Dots(Svg("<rect width=\"10\" height=\"10\"/>"), 8, 4));

    /// <summary>The area of a disc is π r²: π/4 of its square, which is 7,854 of 10,000 dots.</summary>
    [Fact]
    public void A_circle_has_the_area_of_a_circle()
    {
        var black = Dots(Svg("<circle cx=\"5\" cy=\"5\" r=\"5\"/>"), 100, 100).Count(dot => dot == '#');
        Assert.InRange(black, 7854 - 40, 7854 + 40);
    }

    [Fact]
    public void A_png_is_black_where_it_is_darker_than_half_grey_and_white_where_nothing_is()
    {
        var png = Png(4, 1, (x, _) => x switch { 0 => SKColors.Black, 1 => new SKColor(0x40, 0x40, 0x40), 2 => new SKColor(0xC0, 0xC0, 0xC0), _ => SKColors.Transparent });
        Assert.Equal("##..", Dots(png, 4, 1));
        Assert.Null(LogoReader.Check(png));
    }

    [Theory]
    [InlineData("<script>alert(1)</script>", "<script> is not read")]
    [InlineData("<rect onload=\"alert(1)\" width=\"2\" height=\"2\"/>", "'onload' is not read")]
    [InlineData("<image href=\"https://example.org/a.png\"/>", "<image> is not read")]
    [InlineData("<use href=\"#a\"/>", "<use> is not read")]
    [InlineData("<text>Hi</text>", "<text> is not read")]
    [InlineData("<style>*{}</style>", "<style> is not read")]
    [InlineData("<foreignObject/>", "<foreignObject> is not read")]
    [InlineData("<a href=\"javascript:alert(1)\"><rect width=\"2\" height=\"2\"/></a>", "<a> is not read")]
    [InlineData("<rect style=\"fill:url(https://example.org)\" width=\"2\" height=\"2\"/>", "'style' is not read")]
    [InlineData("<rect fill=\"url(#a)\" width=\"2\" height=\"2\"/>", "the colour 'url(#a)' is not read")]
    [InlineData("<path stroke=\"black\" d=\"M0 0h2\"/>", "lines ('stroke') are not read")]
    [InlineData("<rect width=\"1e9\" height=\"2\"/>", "'width' has a number that is none, or is too large")]
    [InlineData("<rect width=\"NaN\" height=\"2\"/>", "'width' has a number that is none, or is too large")]
    [InlineData("<rect width=\"5%\" height=\"2\"/>", "'width' has a number that is none, or is too large")]
    [InlineData("<path d=\"no path\"/>", "'d' is no path")]
    [InlineData("<polygon points=\"1 2 3\"/>", "'points' has an odd number of numbers")]
    [InlineData("<g transform=\"skewX(5)\"><rect width=\"2\" height=\"2\"/></g>", "'transform' is not read: matrix, translate, scale and rotate are")]
    [InlineData("<rect width=\"2\" height=\"2\"><animate/></rect>", "something stands inside a shape")]
    [InlineData("words", "text stands outside a title")]
    [InlineData("<rect width=\"2\" height=\"2\"", "line 3 is no XML that is read here")]
    [InlineData("<rect fill=\"white\" width=\"2\" height=\"2\"/>", "no black dot")]
    [InlineData("<rect fill=\"#eeeeee\" width=\"2\" height=\"2\"/>", "no black dot")]
    [InlineData("", "no black dot")]
    [Asvs("1.3.4")]
    public void What_a_logo_may_not_hold_is_refused_by_name(string inside, string reason) =>
        Assert.Contains(reason, LogoReader.Check(Svg(inside)), StringComparison.Ordinal);

    [Theory]
    [InlineData("<!DOCTYPE svg [<!ENTITY a \"aaaa\"><!ENTITY b \"&a;&a;&a;&a;\">]><svg viewBox=\"0 0 1 1\"><title>&b;</title></svg>", "no XML that is read here")]
    [InlineData("<!DOCTYPE svg SYSTEM \"file:///etc/passwd\"><svg viewBox=\"0 0 1 1\"/>", "no XML that is read here")]
    [InlineData("<html><body/></html>", "its first element is not <svg>")]
    [InlineData("GIF89a", "neither a PNG nor a sound SVG")]
    [InlineData("", "neither a PNG nor a sound SVG")]
    [InlineData("<svg/>", "the picture has no size")]
    [InlineData("<svg viewBox=\"0 0 0 1\"/>", "the picture has no size")]
    [InlineData("<svg viewBox=\"0 0 1\"/>", "'viewBox' has four numbers")]
    [Asvs("1.5.1")]
    public void What_is_no_logo_is_refused(string file, string reason) =>
        Assert.Contains(reason, LogoReader.Check(Encoding.UTF8.GetBytes(file)), StringComparison.Ordinal);

    [Fact]
    public void Too_many_shapes_and_too_deep_groups_are_refused()
    {
        Assert.Contains("more than 2000 shapes", LogoReader.Check(Svg(string.Concat(Enumerable.Repeat("<rect width=\"1\" height=\"1\"/>", 2001)))), StringComparison.Ordinal);
        Assert.Contains("more than 32 deep", LogoReader.Check(Svg(string.Concat(Enumerable.Repeat("<g>", 40)) + string.Concat(Enumerable.Repeat("</g>", 40)))), StringComparison.Ordinal);
    }

    /// <summary>A PNG header that claims 60,000 × 60,000 pixels in a few bytes; chunk layout of ISO/IEC 15948, CRC-32 as in its annex D.</summary>
    [Fact]
    public void A_small_file_that_claims_a_huge_picture_is_refused_before_it_is_unpacked()
    {
        using var file = new MemoryStream();
        file.Write([0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A]);
        Chunk("IHDR", [0, 0, 0xEA, 0x60, 0, 0, 0xEA, 0x60, 8, 0, 0, 0, 0]);
        using var packed = new MemoryStream();
        using (var zlib = new ZLibStream(packed, CompressionLevel.Optimal, leaveOpen: true)) zlib.Write(new byte[60_001]);
        Chunk("IDAT", packed.ToArray());
        Chunk("IEND", []);
        Assert.Contains("60000 × 60000 pixels", LogoReader.Check(file.ToArray()), StringComparison.Ordinal);

        void Chunk(string name, byte[] data)
        {
            Span<byte> number = stackalloc byte[4];
            System.Buffers.Binary.BinaryPrimitives.WriteInt32BigEndian(number, data.Length);
            file.Write(number);
            byte[] body = [.. Encoding.ASCII.GetBytes(name), .. data];
            file.Write(body);
            System.Buffers.Binary.BinaryPrimitives.WriteUInt32BigEndian(number, Crc(body));
            file.Write(number);
        }
    }

    [Fact]
    public void A_png_that_is_cut_or_flipped_anywhere_is_read_or_refused_but_breaks_nothing()
    {
        var png = Png(16, 16, (x, y) => (x ^ y) % 3 == 0 ? SKColors.Black : SKColors.White);
        for (var at = 0; at < png.Length; at++)
        {
            _ = LogoReader.Check(png.AsMemory(0, at));
            var flipped = (byte[])png.Clone();
            flipped[at] ^= 0x55;
            _ = LogoReader.Check(flipped);
        }

        Assert.Contains("damaged", LogoReader.Check(png.AsMemory(0, png.Length / 2)), StringComparison.Ordinal);
        Assert.Null(LogoReader.Check(png));
    }

    private static uint Crc(ReadOnlySpan<byte> body)
    {
        var sum = uint.MaxValue;
        foreach (var one in body)
        {
            sum ^= one;
            for (var bit = 0; bit < 8; bit++) sum = (sum & 1) != 0 ? 0xEDB88320 ^ (sum >> 1) : sum >> 1;
        }

        return ~sum;
    }
}
