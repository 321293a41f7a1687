namespace Trace.Core.Labels;

/// <summary>One label, laid out: what stands where. Whoever draws it decides nothing any more.</summary>
public sealed record LabelDrawing(
    DotGrid Grid,
    int WidthDots,
    int HeightDots,
    IReadOnlyList<BoxDrawing> Boxes,
    IReadOnlyList<TextDrawing> Texts,
    IReadOnlyList<SymbolDrawing> Symbols,
    LogoDrawing? Logo = null)
{
    public double WidthMm => Grid.Mm(WidthDots);

    public double HeightMm => Grid.Mm(HeightDots);
}

/// <summary>The printer's dots.</summary>
public readonly record struct DotGrid(int Dpi)
{
    private const double MmPerInch = 25.4;

    public double Mm(int dots) => dots * MmPerInch / Dpi;

    /// <summary>The whole dots that fit into a length. A hair is forgiven, so that a length made of dots gives its dots back.</summary>
    public int Inside(double millimetres) => (int)Math.Floor(millimetres * Dpi / MmPerInch + 1e-6);

    public int Nearest(double millimetres) => (int)Math.Round(millimetres * Dpi / MmPerInch, MidpointRounding.AwayFromZero);
}

/// <summary>A black rectangle in whole dots: a rule, or the ground of white text.</summary>
public sealed record BoxDrawing(int XDots, int YDots, int WidthDots, int HeightDots);

/// <summary>One line of one field.</summary>
/// <param name="XMm">Left end.</param>
/// <param name="BaselineMm">From the top edge.</param>
/// <param name="White">White on a black box.</param>
public sealed record TextDrawing(string Field, string Text, double XMm, double BaselineMm, double SizeMm, bool Bold, bool White);

/// <summary>A logo in printer dots, [row, column], true is black.</summary>
public sealed record LogoDrawing(int XDots, int YDots, bool[,] Dots);

/// <summary>A symbol without its quiet zone; <paramref name="Modules"/> is [row, column], true is black.</summary>
/// <param name="Text">What it holds.</param>
/// <param name="ModuleHeightDots">As <paramref name="DotsPerModule"/>, but the whole height of bars, which are one row.</param>
public sealed record SymbolDrawing(
    SymbolCode Code, string Text, int XDots, int YDots, int DotsPerModule, int ModuleHeightDots, bool[,] Modules);

/// <summary>What the layout must know about the fonts. Millimetres throughout.</summary>
public interface ITextMeasure
{
    double WidthMm(string text, double sizeMm, bool bold);

    /// <summary>Height of the letter x.</summary>
    double XHeightMm(double sizeMm, bool bold);

    /// <summary>Height of a figure.</summary>
    double FigureHeightMm(double sizeMm, bool bold);

    /// <summary>The first character that cannot be printed, named for a person; null when all can.</summary>
    string? FirstUnprintable(string text, bool bold);
}

/// <summary>What the layout must know about logos.</summary>
public interface ILogoPress
{
    /// <summary>The logo's file as dots, as large as fits into the box, in its middle: [row, column], true is black.</summary>
    bool[,] Dots(ReadOnlyMemory<byte> file, int widthDots, int heightDots);
}

/// <summary>Why a label was refused. <paramref name="Field"/> is the field's name in the template, or what else of the
/// label it is: <c>uri</c>, <c>symbols</c>, <c>language</c>, <c>dpi</c>.</summary>
public sealed record LabelProblem(string Field, string Reason);

/// <summary>Either a drawing or at least one problem.</summary>
public sealed record LabelLayoutResult(LabelDrawing? Drawing, IReadOnlyList<LabelProblem> Problems);
