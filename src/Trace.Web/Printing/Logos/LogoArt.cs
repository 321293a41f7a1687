using SkiaSharp;

namespace Trace.Web.Printing.Logos;

/// <summary>A logo that was read. Whoever has one knows that it can be drawn.</summary>
internal abstract class LogoArt : IDisposable
{
    /// <summary>Width and height in the file's own units, both above 0.</summary>
    public abstract SKSize Size { get; }

    /// <summary>Draws it on white, in its own units.</summary>
    public abstract void Draw(SKCanvas canvas);

    public abstract void Dispose();
}

/// <summary>A file cannot serve as a logo; the message is for the person who sent it.</summary>
internal sealed class LogoException(string message) : Exception(message);

/// <summary>A logo as the printer's dots: label printers know black and white alone, so what is lighter than half grey is white.</summary>
internal static class LogoDots
{
    private const byte HalfGrey = 128;

    /// <summary>As large as fits into the box, in its middle. [row, column], true is black.</summary>
    public static bool[,] Of(LogoArt art, int widthDots, int heightDots)
    {
        using var bitmap = new SKBitmap(new SKImageInfo(widthDots, heightDots, SKColorType.Gray8, SKAlphaType.Opaque));
        using (var canvas = new SKCanvas(bitmap))
        {
            canvas.Clear(SKColors.White);
            var scale = Math.Min(widthDots / art.Size.Width, heightDots / art.Size.Height);
            canvas.Translate((widthDots - art.Size.Width * scale) / 2, (heightDots - art.Size.Height * scale) / 2);
            canvas.Scale(scale);
            canvas.ClipRect(SKRect.Create(art.Size));
            art.Draw(canvas);
        }

        var grey = bitmap.GetPixelSpan();
        var dots = new bool[heightDots, widthDots];
        for (var row = 0; row < heightDots; row++)
            for (var column = 0; column < widthDots; column++)
                dots[row, column] = grey[row * bitmap.RowBytes + column] < HalfGrey;
        return dots;
    }

    /// <summary>The dots as a picture for the screen.</summary>
    public static byte[] Png(bool[,] dots)
    {
        var (height, width) = (dots.GetLength(0), dots.GetLength(1));
        using var bitmap = new SKBitmap(new SKImageInfo(width, height, SKColorType.Gray8, SKAlphaType.Opaque));
        var grey = bitmap.GetPixelSpan();
        for (var row = 0; row < height; row++)
            for (var column = 0; column < width; column++)
                grey[row * bitmap.RowBytes + column] = dots[row, column] ? byte.MinValue : byte.MaxValue;
        using var data = bitmap.Encode(SKEncodedImageFormat.Png, 100);
        return data.ToArray();
    }
}
