using SkiaSharp;

namespace Trace.Web.Printing.Logos;

/// <summary>A PNG picture (ISO/IEC 15948). Its size is read before anything is unpacked: a small file may claim a huge picture.</summary>
internal sealed class PngLogo : LogoArt
{
    public const int LargestSide = 2000;

    private readonly SKBitmap bitmap;

    private PngLogo(SKBitmap bitmap) => this.bitmap = bitmap;

    public override SKSize Size => new(bitmap.Width, bitmap.Height);

    public static bool IsPng(ReadOnlySpan<byte> file) => file is [0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A, ..];

    /// <exception cref="LogoException">It is damaged or too large.</exception>
    public static PngLogo Read(ReadOnlyMemory<byte> file)
    {
        using var data = SKData.CreateCopy(file.Span);
        using var codec = SKCodec.Create(data)
            ?? throw new LogoException("The PNG file is damaged: export it again.");
        var info = codec.Info;
        if (info.Width is < 1 or > LargestSide || info.Height is < 1 or > LargestSide)
        {
            throw new LogoException(
                $"The picture has {info.Width} × {info.Height} pixels; at most {LargestSide} × {LargestSide} are read. Export it smaller.");
        }

        var bitmap = new SKBitmap(info.WithColorType(SKColorType.Rgba8888).WithAlphaType(SKAlphaType.Premul));
        if (codec.GetPixels(bitmap.Info, bitmap.GetPixels()) == SKCodecResult.Success) return new(bitmap);
        bitmap.Dispose();
        throw new LogoException("The PNG file is damaged or cut short: export it again.");
    }

    public override void Draw(SKCanvas canvas) =>
        canvas.DrawBitmap(bitmap, 0, 0, new SKSamplingOptions(SKFilterMode.Linear, SKMipmapMode.Linear));

    public override void Dispose() => bitmap.Dispose();
}
