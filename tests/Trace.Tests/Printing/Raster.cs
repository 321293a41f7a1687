using System.Diagnostics;
using System.Text;
using SkiaSharp;
using Xunit;
using ZXing;
using ZXing.Common;

namespace Trace.Tests.Printing;

/// <summary>A page as a printer would see it: grey bytes, 0 black to 255 white.</summary>
internal sealed record Raster(int Width, int Height, byte[] Grey)
{
    public byte this[int x, int y] => Grey[y * Width + x];

    /// <summary>Renders the first page with pdftoppm (poppler-utils), a renderer that is none of ours.</summary>
    public static Raster Of(byte[] pdf, int dpi) => InFolder(folder =>
    {
        File.WriteAllBytes(Path.Combine(folder, "page.pdf"), pdf);
        Run("pdftoppm", folder, ended: [0], "-r", $"{dpi}", "-gray", "-f", "1", "-singlefile", "page.pdf", "page");
        return ReadPgm(File.ReadAllBytes(Path.Combine(folder, "page.pgm")));
    });

    /// <summary>The pixels of a picture, decoded by the drawing library.</summary>
    public static Raster OfPng(byte[] png)
    {
        using var picture = SKBitmap.Decode(png);
        var grey = new byte[picture.Width * picture.Height];
        for (var at = 0; at < grey.Length; at++) grey[at] = picture.GetPixel(at % picture.Width, at / picture.Width).Red;
        return new(picture.Width, picture.Height, grey);
    }

    /// <summary>What zbarimg (zbar-tools) reads, code by code; separators of GS1-128 are kept.</summary>
    public IReadOnlyList<string> ReadWithZbar() => InFolder(folder =>
    {
        WritePgm(folder);
        return Run("zbarimg", folder, ended: [0, 4], "--nodbus", "-q", "--raw", "page.pgm").Split('\n', StringSplitOptions.RemoveEmptyEntries);
    });

    /// <summary>What dmtxread (dmtx-utils) reads: the first Data Matrix, FNC1 as the separator.</summary>
    public string ReadWithDmtx() => InFolder(folder =>
    {
        WritePgm(folder);
        // It ends with 1 when it finds nothing.
        return Run("dmtxread", folder, ended: [0, 1], "-n", "-N1", "-G", "29", "page.pgm").TrimEnd('\n');
    });

    /// <summary>
    /// What ZXing.Net reads of the page, held upright or turned: its finder misses about one code in three hundred in one position, whatever the
    /// scale, and nobody holds a pack always the same way. Black is told from white by its neighbourhood first, then by the whole picture: the first takes
    /// specks on white for modules.
    /// </summary>
    public Result? ReadWithZxing(BarcodeFormat format = BarcodeFormat.QR_CODE)
    {
        var page = this;
        for (var turns = 0; turns < 4; turns++, page = page.Turned())
        {
            foreach (var darkness in (Func<LuminanceSource, Binarizer>[])[source => new HybridBinarizer(source), source => new GlobalHistogramBinarizer(source)])
            {
                if (page.ReadOnceWithZxing(format, darkness) is { } read) return read;
            }
        }

        return null;
    }

    /// <summary>Only a part of the page, as somebody holds a scanner to one code.</summary>
    public Raster Cut(int x, int y, int width, int height)
    {
        var (left, top) = (Math.Max(0, x), Math.Max(0, y));
        var (right, bottom) = (Math.Min(Width, x + width), Math.Min(Height, y + height));
        var part = new byte[(right - left) * (bottom - top)];
        for (var row = top; row < bottom; row++)
            Grey.AsSpan(row * Width + left, right - left).CopyTo(part.AsSpan((row - top) * (right - left)));
        return new(right - left, bottom - top, part);
    }

    /// <summary>With white all around.</summary>
    public Raster Framed(int dots)
    {
        var (width, height) = (Width + 2 * dots, Height + 2 * dots);
        var framed = new byte[width * height];
        Array.Fill(framed, (byte)255);
        for (var row = 0; row < Height; row++) Grey.AsSpan(row * Width, Width).CopyTo(framed.AsSpan((row + dots) * width + dots));
        return new(width, height, framed);
    }

    /// <summary>Each dot becomes a square of so many pixels each way.</summary>
    public Raster Enlarged(int times)
    {
        var pixels = new byte[Grey.Length * times * times];
        for (var at = 0; at < pixels.Length; at++) pixels[at] = this[at % (Width * times) / times, at / (Width * times) / times];
        return new(Width * times, Height * times, pixels);
    }

    /// <summary>Each dot becomes the mean of so many dots to either side: a lens out of focus, or ink that ran.</summary>
    public Raster Blurred(int across, int down) => Smeared(across).Turned().Smeared(down).Turned().Turned().Turned();

    private Raster Smeared(int radius)
    {
        var dots = new byte[Grey.Length];
        for (var y = 0; y < Height; y++)
        {
            for (var x = 0; x < Width; x++)
            {
                var (from, to) = (Math.Max(0, x - radius), Math.Min(Width - 1, x + radius));
                var sum = 0;
                foreach (var dot in Grey.AsSpan(y * Width + from, to - from + 1)) sum += dot;
                dots[y * Width + x] = (byte)(sum / (to - from + 1));
            }
        }

        return this with { Grey = dots };
    }

    /// <summary>Turns so many of a hundred dots over: dust on the print head and dirt on the label.</summary>
    public Raster Speckled(int percent, int seed)
    {
        var chance = new Random(seed);
        return this with { Grey = [.. Grey.Select(dot => chance.Next(100) < percent ? (byte)(255 - dot) : dot)] };
    }

    private Result? ReadOnceWithZxing(BarcodeFormat format, Func<LuminanceSource, Binarizer> darkness) =>
        new BarcodeReaderGeneric(null, darkness, null) { Options = new DecodingOptions { TryHarder = true, AssumeGS1 = true, PossibleFormats = [format] } }
        .Decode(new RGBLuminanceSource(Grey, Width, Height, RGBLuminanceSource.BitmapFormat.Gray8));

    private void WritePgm(string folder) => File.WriteAllBytes(
        Path.Combine(folder, "page.pgm"), [.. Encoding.ASCII.GetBytes($"P5\n{Width} {Height}\n255\n"), .. Grey]);

    /// <summary>By a right angle.</summary>
    private Raster Turned()
    {
        var dots = new byte[Grey.Length];
        for (var y = 0; y < Height; y++)
        {
            for (var x = 0; x < Width; x++) dots[x * Height + Height - 1 - y] = this[x, y];
        }

        return new(Height, Width, dots);
    }

    private static Raster ReadPgm(byte[] file)
    {
        // "P5", width, height and 255, each followed by one white space, then the bytes.
        var numbers = new List<int>();
        var at = 2;
        while (numbers.Count < 3)
        {
            var end = ++at;
            while (file[end] is >= (byte)'0' and <= (byte)'9') end++;
            numbers.Add(int.Parse(Encoding.ASCII.GetString(file[at..end])));
            at = end;
        }

        Assert.Equal(255, numbers[2]);
        return new(numbers[0], numbers[1], file[(at + 1)..]);
    }

    private static string Run(string program, string folder, int[] ended, params string[] arguments)
    {
        var start = new ProcessStartInfo(program, arguments) { WorkingDirectory = folder, RedirectStandardOutput = true };
        Process process;
        try
        {
            process = Process.Start(start)!;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            // On a developer's machine the tool may be missing; the build server has it and must not skip.
            Assert.SkipUnless(Environment.GetEnvironmentVariable("CI") == "true",
                $"{program} is not installed (Debian: poppler-utils, zbar-tools, dmtx-utils).");
            throw;
        }

        using (process)
        {
            var output = process.StandardOutput.ReadToEnd();
            process.WaitForExit();
            Assert.True(ended.Contains(process.ExitCode), $"{program} ended with {process.ExitCode}.");
            return output;
        }
    }

    private static T InFolder<T>(Func<string, T> work)
    {
        var folder = Directory.CreateTempSubdirectory("trace-raster-");
        try
        {
            return work(folder.FullName);
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }
}
