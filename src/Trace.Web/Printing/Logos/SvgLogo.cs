using System.Globalization;
using System.Xml;
using SkiaSharp;

namespace Trace.Web.Printing.Logos;

/// <summary>
/// The part of SVG (Scalable Vector Graphics 1.1) that a black mark needs: filled shapes in groups, moved, turned and scaled. Scripts,
/// links, pictures, text, styles and lines are not read; each is refused by name, since a logo that lost a part would be another logo.
/// </summary>
internal sealed class SvgLogo : LogoArt
{
    private const int MostShapes = 2000;
    private const int DeepestGroup = 32;

    private readonly List<(SKPath Path, SKColor Colour)> shapes = [];
    private SKRect window;

    private SvgLogo()
    {
    }

    public override SKSize Size => window.Size;

    /// <exception cref="LogoException">It is no SVG file, or has something that is not read; the message names line and reason.</exception>
    public static SvgLogo Read(ReadOnlyMemory<byte> file)
    {
        var logo = new SvgLogo();
        try
        {
            using var stream = new MemoryStream(file.ToArray());
            using var xml = XmlReader.Create(stream, new XmlReaderSettings
            {
                DtdProcessing = DtdProcessing.Prohibit,
                XmlResolver = null,
                IgnoreComments = true,
                IgnoreWhitespace = true,
                IgnoreProcessingInstructions = true,
            });
            logo.ReadAll(xml);
            return logo;
        }
        catch (XmlException broken)
        {
            logo.Dispose();
            throw new LogoException($"The file is neither a PNG nor a sound SVG: line {broken.LineNumber} is no XML that is read here.");
        }
        catch
        {
            logo.Dispose();
            throw;
        }
    }

    public override void Draw(SKCanvas canvas)
    {
        canvas.Translate(-window.Left, -window.Top);
        using var paint = new SKPaint { IsAntialias = true, Style = SKPaintStyle.Fill };
        foreach (var (path, colour) in shapes)
        {
            paint.Color = colour;
            canvas.DrawPath(path, paint);
        }
    }

    public override void Dispose()
    {
        foreach (var (path, _) in shapes) path.Dispose();
    }

    private void ReadAll(XmlReader xml)
    {
        if (xml.MoveToContent() != XmlNodeType.Element || xml.LocalName != "svg" || xml.NamespaceURI is not ("" or "http://www.w3.org/2000/svg"))
            throw new LogoException("The file is neither a PNG nor an SVG: its first element is not <svg>.");
        var open = new Stack<SvgPaint>();
        window = SvgElement.Of(xml).Window();
        var root = SvgElement.Of(xml).Paint(SvgPaint.Initial);
        if (xml.IsEmptyElement) return;
        open.Push(root);
        while (open.Count > 0 && xml.Read())
        {
            if (xml.NodeType == XmlNodeType.EndElement) open.Pop();
            else if (xml.NodeType == XmlNodeType.Element) ReadElement(xml, open);
            else throw At(xml, "text stands outside a title");
        }
    }

    private void ReadElement(XmlReader xml, Stack<SvgPaint> open)
    {
        if (xml.LocalName is "title" or "desc" or "metadata")
        {
            // Words about the picture: not looked at, hence not drawn.
            using var skipped = xml.ReadSubtree();
            while (skipped.Read())
            {
            }

            return;
        }

        var element = SvgElement.Of(xml);
        var paint = element.Paint(open.Peek());
        if (xml.LocalName == "g")
        {
            if (open.Count > DeepestGroup) throw At(xml, $"groups stand more than {DeepestGroup} deep");
            if (!xml.IsEmptyElement) open.Push(paint);
            return;
        }

        if (shapes.Count == MostShapes) throw At(xml, $"there are more than {MostShapes} shapes");
        var path = element.Shape(paint);
        if (path is not null) shapes.Add((path, paint.Colour!.Value));
        if (xml.IsEmptyElement) return;
        if (!xml.Read() || xml.NodeType != XmlNodeType.EndElement) throw At(xml, "something stands inside a shape");
    }

    internal static LogoException At(XmlReader xml, string reason) =>
        new($"Line {((IXmlLineInfo)xml).LineNumber.ToString(CultureInfo.InvariantCulture)} of the SVG: {reason}. Export the logo as plain filled paths, or as PNG.");
}
