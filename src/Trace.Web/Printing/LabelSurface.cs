using Trace.Core.Labels;

namespace Trace.Web.Printing;

/// <summary>What a label can be drawn on. Units are printer dots; all is black but text in white.</summary>
internal interface ILabelSurface
{
    void Box(double x, double y, double width, double height);

    /// <summary>One line of text that starts at (x, base line).</summary>
    /// <exception cref="UnprintableTextException">The font lacks a character.</exception>
    void Text(string text, double x, double baseline, double size, bool bold, bool inWhite = false);

    /// <summary>The dark modules of a symbol, each so wide and high.</summary>
    void Modules(bool[,] modules, double x, double y, double width, double height);
}

/// <summary>A label on whatever surface: the one place that turns a drawing into calls.</summary>
internal static class LabelPage
{
    /// <summary>In dots, so that edges of modules are whole numbers and stay sharp at the printer's resolution.</summary>
    /// <param name="left">Where the label begins on the surface.</param>
    public static void Draw(ILabelSurface surface, LabelDrawing label, int left = 0, int top = 0)
    {
        var dotsPerMm = 1 / label.Grid.Mm(1);
        foreach (var box in label.Boxes) surface.Box(left + box.XDots, top + box.YDots, box.WidthDots, box.HeightDots);
        foreach (var text in label.Texts)
        {
            surface.Text(
                text.Text, left + text.XMm * dotsPerMm, top + text.BaselineMm * dotsPerMm, text.SizeMm * dotsPerMm, text.Bold, text.White);
        }

        if (label.Logo is { } logo) surface.Modules(logo.Dots, left + logo.XDots, top + logo.YDots, 1, 1);
        foreach (var symbol in label.Symbols)
        {
            surface.Modules(
                symbol.Modules, left + symbol.XDots, top + symbol.YDots, symbol.DotsPerModule, symbol.ModuleHeightDots);
        }
    }
}
