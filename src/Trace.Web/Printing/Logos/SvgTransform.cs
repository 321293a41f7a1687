using SkiaSharp;

namespace Trace.Web.Printing.Logos;

/// <summary>The attribute 'transform' of SVG 1.1, 7.6: a list of moves, the first the outermost.</summary>
internal static class SvgTransform
{
    /// <exception cref="LogoException">A move that is not read.</exception>
    public static SKMatrix Read(string text, SvgElement element)
    {
        var place = SKMatrix.Identity;
        var rest = text.AsSpan().Trim([' ', ',', '\t', '\r', '\n']);
        while (rest.Length > 0)
        {
            var (open, close) = (rest.IndexOf('('), rest.IndexOf(')'));
            if (open < 1 || close < open) throw element.Refuse("'transform' is not read");
            var move = Move(rest[..open].Trim().ToString(), element.Numbers(rest[(open + 1)..close].ToString(), "transform"))
                ?? throw element.Refuse("'transform' is not read: matrix, translate, scale and rotate are");
            place = SKMatrix.Concat(place, move);
            rest = rest[(close + 1)..].Trim([' ', ',', '\t', '\r', '\n']);
        }

        return place;
    }

    private static SKMatrix? Move(string name, List<float> of) => (name, of.Count) switch
    {
        ("translate", 1) => SKMatrix.CreateTranslation(of[0], 0),
        ("translate", 2) => SKMatrix.CreateTranslation(of[0], of[1]),
        ("scale", 1) => SKMatrix.CreateScale(of[0], of[0]),
        ("scale", 2) => SKMatrix.CreateScale(of[0], of[1]),
        ("rotate", 1) => SKMatrix.CreateRotationDegrees(of[0]),
        ("rotate", 3) => SKMatrix.CreateRotationDegrees(of[0], of[1], of[2]),
        ("matrix", 6) => new SKMatrix(of[0], of[2], of[4], of[1], of[3], of[5], 0, 0, 1),
        _ => null,
    };
}
