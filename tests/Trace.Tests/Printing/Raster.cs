using System.Diagnostics;
using System.Text;
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
        Run("pdftoppm", folder, "-r", $"{dpi}", "-gray", "-f", "1", "-singlefile", "page.pdf", "page");
        return ReadPgm(File.ReadAllBytes(Path.Combine(folder, "page.pgm")));
    });

    /// <summary>What zbarimg (zbar-tools) reads, without the newline that it adds.</summary>
    public string ReadWithZbar() => InFolder(folder =>
    {
        File.WriteAllBytes(Path.Combine(folder, "page.pgm"), [.. Encoding.ASCII.GetBytes($"P5\n{Width} {Height}\n255\n"), .. Grey]);
        return Run("zbarimg", folder, "--nodbus", "-q", "--raw", "page.pgm").TrimEnd('\n');
    });

    /// <summary>
    /// What ZXing.Net reads of the page, held upright or turned: its finder misses about one code in three hundred in one position, whatever the
    /// scale, and nobody holds a pack always the same way.
    /// </summary>
    public string? ReadWithZxing()
    {
        var page = this;
        for (var turns = 0; turns < 4; turns++, page = page.Turned())
        {
            if (page.ReadOnceWithZxing() is { } text) return text;
        }

        return null;
    }

    private string? ReadOnceWithZxing() =>
        new BarcodeReaderGeneric { Options = new DecodingOptions { TryHarder = true, PossibleFormats = [BarcodeFormat.QR_CODE] } }
        .Decode(new RGBLuminanceSource(Grey, Width, Height, RGBLuminanceSource.BitmapFormat.Gray8))?.Text;

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

    private static string Run(string program, string folder, params string[] arguments)
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
                $"{program} is not installed (Debian: poppler-utils, zbar-tools).");
            throw;
        }

        using (process)
        {
            var output = process.StandardOutput.ReadToEnd();
            process.WaitForExit();
            Assert.True(process.ExitCode == 0, $"{program} ended with {process.ExitCode}.");
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
