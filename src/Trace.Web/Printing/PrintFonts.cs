using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text;
using HarfBuzzSharp;
using SkiaSharp;
using Trace.Core.Labels;

namespace Trace.Web.Printing;

/// <summary>One glyph of a shaped text; positions in em from the text's start, cluster in UTF-8 bytes.</summary>
internal readonly record struct Glyph(ushort Id, uint Cluster, double XEm, double YEm);

internal sealed record Shaped(IReadOnlyList<Glyph> Glyphs, double WidthEm);

/// <summary>
/// A font of the program's own, embedded so that a label looks the same on every machine. Lives as long as the program;
/// its native parts are only read after construction, so it may be used from many threads.
/// </summary>
[SuppressMessage("Design", "CA1001", Justification = "There are two of them, made once and used until the program ends.")]
internal sealed class PrintFont
{
    private const int MeasuringSize = 1000;

    // Kept as fields because the shaper reads the font's bytes as long as it lives.
    private readonly SKData data;
    private readonly Blob blob;
    private readonly Face face;
    private readonly HarfBuzzSharp.Font shaper;
    private readonly SKFont glyphs;
    private readonly int unitsPerEm;

    private PrintFont(string resource)
    {
        using var stream = typeof(PrintFont).Assembly.GetManifestResourceStream(resource)
            ?? throw new InvalidOperationException($"The font {resource} is not in the program.");
        var bytes = new byte[stream.Length];
        stream.ReadExactly(bytes);
        data = SKData.CreateCopy(bytes);
        Typeface = SKTypeface.FromData(data) ?? throw new InvalidOperationException($"The font {resource} cannot be read.");
        // Not Blob.FromStream: it hands over the address of a managed array that the collector may move.
        blob = new Blob(data.Data, bytes.Length, MemoryMode.ReadOnly);
        face = new Face(blob, 0);
        face.MakeImmutable();
        unitsPerEm = face.UnitsPerEm;
        shaper = new HarfBuzzSharp.Font(face);
        shaper.SetScale(unitsPerEm, unitsPerEm);
        shaper.SetFunctionsOpenType();
        glyphs = new SKFont(Typeface, MeasuringSize) { Hinting = SKFontHinting.None };
        XHeightEm = HeightEm("x");
        FigureHeightEm = HeightEm("1");
    }

    public static PrintFont Regular { get; } = new("fonts/NotoSans-Regular.ttf");

    public static PrintFont Bold { get; } = new("fonts/NotoSans-Bold.ttf");

    public SKTypeface Typeface { get; }

    public double XHeightEm { get; }

    public double FigureHeightEm { get; }

    public static PrintFont For(bool bold) => bold ? Bold : Regular;

    /// <summary>The font at a size, in the canvas's units. Outlines are drawn as they are, so that all surfaces show the same.</summary>
    public SKFont At(double size) => new(Typeface, (float)size) { Subpixel = true, LinearMetrics = true, Hinting = SKFontHinting.None };

    /// <exception cref="UnprintableTextException">The font lacks a character of the text.</exception>
    public Shaped ShapeWhole(string text)
    {
        if (FirstUnprintable(text) is { } odd) throw new UnprintableTextException(odd, text);
        var shaped = Shape(text);
        return shaped.Glyphs.Any(glyph => glyph.Id == 0) ? throw new UnprintableTextException("a combination of characters", text) : shaped;
    }

    public Shaped Shape(string text)
    {
        var utf8 = Encoding.UTF8.GetBytes(text);
        var shaped = new List<Glyph>(text.Length);
        var advance = 0L;
        foreach (var run in TextRuns.Of(text)) advance = Shape(utf8, run, advance, shaped);
        return new(shaped, (double)advance / unitsPerEm);
    }

    private long Shape(byte[] utf8, TextRun run, long advance, List<Glyph> shaped)
    {
        using var buffer = new HarfBuzzSharp.Buffer();
        buffer.AddUtf8(utf8, run.Start, run.Length);
        buffer.Script = run.Script;
        buffer.Direction = Direction.LeftToRight;
        shaper.Shape(buffer);
        var infos = buffer.GetGlyphInfoSpan();
        var places = buffer.GetGlyphPositionSpan();
        for (var i = 0; i < infos.Length; i++)
        {
            shaped.Add(new((ushort)infos[i].Codepoint, infos[i].Cluster,
                (double)(advance + places[i].XOffset) / unitsPerEm, (double)places[i].YOffset / unitsPerEm));
            advance += places[i].XAdvance;
        }

        return advance;
    }

    /// <summary>
    /// False for what the font lacks, which would print as an empty box, and for characters that are invisible or turn
    /// the direction of their neighbours, which would make a label read otherwise than its record.
    /// </summary>
    public bool CanPrint(Rune character) => Rune.GetUnicodeCategory(character) is not
            (UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.PrivateUse or UnicodeCategory.OtherNotAssigned
            or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator)
        && character != Rune.ReplacementChar
        && glyphs.GetGlyph(character.Value) != 0;

    /// <summary>The first character of a text that it cannot print, named for a person; null when all can.</summary>
    public string? FirstUnprintable(string text)
    {
        foreach (var character in text.EnumerateRunes())
            if (!CanPrint(character)) return Unprintable.Name(character);
        return null;
    }

    private double HeightEm(string letter)
    {
        glyphs.MeasureText(letter, out var bounds);
        return bounds.Height / MeasuringSize;
    }
}

/// <summary>Measures with the fonts that print.</summary>
public sealed class PrintMeasure : ITextMeasure
{
    private PrintMeasure()
    {
    }

    public static PrintMeasure Instance { get; } = new();

    public double WidthMm(string text, double sizeMm, bool bold) => PrintFont.For(bold).Shape(text).WidthEm * sizeMm;

    public double XHeightMm(double sizeMm, bool bold) => PrintFont.For(bold).XHeightEm * sizeMm;

    public double FigureHeightMm(double sizeMm, bool bold) => PrintFont.For(bold).FigureHeightEm * sizeMm;

    public string? FirstUnprintable(string text, bool bold) => PrintFont.For(bold).FirstUnprintable(text);
}
