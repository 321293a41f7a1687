using System.Globalization;
using System.Xml;
using SkiaSharp;

namespace Trace.Web.Printing.Logos;

/// <summary>What a group hands down. <paramref name="Colour"/> null: nothing is filled.</summary>
internal readonly record struct SvgPaint(SKMatrix Place, SKColor? Colour, bool EvenOdd)
{
    public static SvgPaint Initial => new(SKMatrix.Identity, SKColors.Black, false);
}

/// <summary>One element with its attributes; an attribute that is not known is refused, since it could mean anything.</summary>
internal sealed class SvgElement
{
    private const float Farthest = 1e6f;

    private static readonly HashSet<string> Harmless = ["id", "version", "baseProfile", "role", "aria-label", "stroke-width", "stroke-linejoin"];

    private static readonly Dictionary<string, string[]> Shapes = new(StringComparer.Ordinal)
    {
        ["svg"] = ["viewBox", "width", "height", "x", "y", "preserveAspectRatio"],
        ["g"] = [],
        ["path"] = ["d"],
        ["rect"] = ["x", "y", "width", "height", "rx", "ry"],
        ["circle"] = ["cx", "cy", "r"],
        ["ellipse"] = ["cx", "cy", "rx", "ry"],
        ["polygon"] = ["points"],
    };

    private readonly XmlReader xml;
    private readonly Dictionary<string, string> attributes = new(StringComparer.Ordinal);

    private SvgElement(XmlReader xml) => this.xml = xml;

    /// <exception cref="LogoException">The element or one of its attributes is not read.</exception>
    public static SvgElement Of(XmlReader xml)
    {
        if (!Shapes.TryGetValue(xml.LocalName, out var own) || xml.NamespaceURI is not ("" or "http://www.w3.org/2000/svg"))
            throw SvgLogo.At(xml, $"<{Short(xml.Name)}> is not read");
        var element = new SvgElement(xml);
        for (var more = xml.MoveToFirstAttribute(); more; more = xml.MoveToNextAttribute())
        {
            if (xml.Prefix is "xmlns" or "xml" || xml.Name == "xmlns" || Harmless.Contains(xml.Name)) continue;
            if (!own.Contains(xml.Name) && xml.Name is not ("fill" or "fill-rule" or "transform" or "stroke"))
                throw SvgLogo.At(xml, $"'{Short(xml.Name)}' is not read");
            element.attributes[xml.Name] = xml.Value.Trim();
        }

        xml.MoveToElement();
        if (element.attributes.GetValueOrDefault("stroke", "none") != "none") throw SvgLogo.At(xml, "lines ('stroke') are not read, filled shapes are");
        return element;
    }

    /// <summary>What of the drawing's plane is shown.</summary>
    public SKRect Window()
    {
        if (attributes.TryGetValue("viewBox", out var box))
        {
            var numbers = Numbers(box, "viewBox");
            if (numbers.Count != 4) throw SvgLogo.At(xml, "'viewBox' has four numbers");
            return Sized(numbers[0], numbers[1], numbers[2], numbers[3]);
        }

        return Sized(0, 0, Number("width"), Number("height"));

        SKRect Sized(float left, float top, float width, float height) => width > 0 && height > 0
            ? SKRect.Create(left, top, width, height)
            : throw SvgLogo.At(xml, "the picture has no size: give 'viewBox'");
    }

    public SvgPaint Paint(SvgPaint outer) => new(
        attributes.TryGetValue("transform", out var moves) && xml.LocalName != "svg"
            ? SKMatrix.Concat(outer.Place, SvgTransform.Read(moves, this))
            : outer.Place,
        attributes.TryGetValue("fill", out var fill) ? Colour(fill) : outer.Colour,
        attributes.TryGetValue("fill-rule", out var rule) ? rule == "evenodd" : outer.EvenOdd);

    /// <summary>The shape where it stands on the plane; null when it is not filled or has no area.</summary>
    public SKPath? Shape(SvgPaint paint)
    {
        var path = Outline();
        if (paint.Colour is null || path.IsEmpty)
        {
            path.Dispose();
            return null;
        }

        using (path)
        {
            var place = paint.Place;
            using var builder = new SKPathBuilder();
            builder.AddPath(path, in place);
            builder.FillType = paint.EvenOdd ? SKPathFillType.EvenOdd : SKPathFillType.Winding;
            return builder.Detach();
        }
    }

    internal LogoException Refuse(string reason) => SvgLogo.At(xml, reason);

    internal List<float> Numbers(string text, string name)
    {
        var numbers = new List<float>();
        foreach (var part in text.Split([' ', ',', '\t', '\r', '\n'], StringSplitOptions.RemoveEmptyEntries))
        {
            if (!float.TryParse(part, NumberStyles.Float, CultureInfo.InvariantCulture, out var number) || !(Math.Abs(number) <= Farthest))
                throw SvgLogo.At(xml, $"'{name}' has a number that is none, or is too large");
            numbers.Add(number);
        }

        return numbers;
    }

    private SKPath Outline()
    {
        using var builder = new SKPathBuilder();
        switch (xml.LocalName)
        {
            case "path":
                return attributes.TryGetValue("d", out var d) && d.Length > 0
                    ? SKPath.ParseSvgPathData(d) ?? throw SvgLogo.At(xml, "'d' is no path")
                    : builder.Detach();
            case "rect":
                var corner = attributes.ContainsKey("rx") ? Number("rx") : Number("ry");
                builder.AddRoundRect(SKRect.Create(Number("x"), Number("y"), Number("width"), Number("height")), corner,
                    attributes.ContainsKey("ry") ? Number("ry") : corner);
                break;
            case "circle":
                builder.AddCircle(Number("cx"), Number("cy"), Number("r"));
                break;
            case "ellipse":
                var (x, y) = (Number("rx"), Number("ry"));
                builder.AddOval(new SKRect(Number("cx") - x, Number("cy") - y, Number("cx") + x, Number("cy") + y));
                break;
            default:
                var corners = Numbers(attributes.GetValueOrDefault("points", ""), "points");
                if (corners.Count % 2 != 0) throw SvgLogo.At(xml, "'points' has an odd number of numbers");
                if (corners.Count >= 6) builder.AddPoly([.. corners.Chunk(2).Select(pair => new SKPoint(pair[0], pair[1]))], close: true);
                break;
        }

        return builder.Detach();
    }

    /// <summary>A length in the drawing's own units; 0 when it is not given.</summary>
    private float Number(string name)
    {
        if (!attributes.TryGetValue(name, out var text)) return 0;
        if (text.EndsWith("px", StringComparison.Ordinal) || text.EndsWith("mm", StringComparison.Ordinal)) text = text[..^2];
        return Numbers(text, name) is [var number] ? number : throw SvgLogo.At(xml, $"'{name}' is not one number");
    }

    private SKColor? Colour(string text) => text switch
    {
        "none" or "transparent" => null,
        "black" or "currentColor" => SKColors.Black,
        "white" => SKColors.White,
        _ when text.StartsWith('#') && SKColor.TryParse(text, out var colour) => colour,
        _ => throw SvgLogo.At(xml, $"the colour '{Short(text)}' is not read; black, white, none and #rrggbb are"),
    };

    private static string Short(string text) => text.Length <= 30 ? text : text[..30] + "…";
}
