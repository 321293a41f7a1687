using System.Buffers.Binary;
using SkiaSharp;
using Trace.Core.Labels;

namespace Trace.Web.Printing;

/// <summary>One label as a picture of its printer's dots, black or white; the file says how many stand on an inch.</summary>
internal static class LabelPng
{
    /// <summary>Signature and header chunk: what is known of the size stands behind them.</summary>
    private const int HeaderLength = 33;
    private const double InchesPerMetre = 1 / 0.0254;

    public static byte[] Draw(LabelDrawing label)
    {
        using var dots = new SKBitmap(label.WidthDots, label.HeightDots, SKColorType.Gray8, SKAlphaType.Opaque);
        using var canvas = new SKCanvas(dots);
        canvas.Clear(SKColors.White);
        using var surface = new CanvasDrawing(canvas, smooth: false);
        LabelPage.Draw(surface, label);
        canvas.Flush();
        using var image = SKImage.FromBitmap(dots);
        using var png = image.Encode(SKEncodedImageFormat.Png, 100);
        return WithSize(png.ToArray(), label.Grid.Dpi);
    }

    /// <summary>Adds the chunk pHYs (dots per metre), which the drawing library does not write: W3C PNG specification 11.3.4.3.</summary>
    private static byte[] WithSize(byte[] png, int dpi)
    {
        var chunk = new byte[21];
        var perMetre = (uint)Math.Round(dpi * InchesPerMetre);
        BinaryPrimitives.WriteUInt32BigEndian(chunk, 9);
        "pHYs"u8.CopyTo(chunk.AsSpan(4));
        BinaryPrimitives.WriteUInt32BigEndian(chunk.AsSpan(8), perMetre);
        BinaryPrimitives.WriteUInt32BigEndian(chunk.AsSpan(12), perMetre);
        chunk[16] = 1;
        BinaryPrimitives.WriteUInt32BigEndian(chunk.AsSpan(17), Crc(chunk.AsSpan(4, 13)));
        return [.. png.AsSpan(0, HeaderLength), .. chunk, .. png.AsSpan(HeaderLength)];
    }

    /// <summary>CRC-32 as PNG wants it: W3C PNG specification, annex D.</summary>
    private static uint Crc(ReadOnlySpan<byte> bytes)
    {
        var crc = uint.MaxValue;
        foreach (var value in bytes)
        {
            crc ^= value;
            for (var bit = 0; bit < 8; bit++) crc = (crc & 1) == 1 ? (crc >> 1) ^ 0xEDB88320 : crc >> 1;
        }

        return ~crc;
    }
}
