using System.Text.Json.Serialization;
using Trace.Core.Specifications;

namespace Trace.Core.Labels;

/// <summary>
/// Where things stand on a label of one size: data, read from a file in <c>label-templates/</c> whose README explains each member.
/// Positions are millimetres from the top left corner.
/// </summary>
/// <param name="Name">What it is called; the file's name without its ending, and what a print names.</param>
/// <param name="Description">What it is for, in a sentence.</param>
/// <param name="WidthMm">Width of the label stock. The page is as many whole printer dots as fit into it.</param>
/// <param name="Shape">Round stock is as wide as high, and every box lies within its circle.</param>
/// <param name="Sheet">Labels that come on sheets of paper: where they stand on it. The page is then the sheet.</param>
/// <param name="HeightMm">Height of the label stock.</param>
/// <param name="Symbols">Codes for scanners, in the order in which they are drawn; each code says a message at most once.</param>
/// <param name="Texts">Boxes of text; each field at most once, and none overlaps another, a rule or a symbol.</param>
/// <param name="Lines">Black rules.</param>
/// <param name="Logo">A place for the logo that the product's label names; it stays white when it names none.</param>
/// <param name="For">Which lots it is printed for.</param>
/// <param name="Uses">What packs with it may be sold as; empty for all but packs. It must have a place for each use's
/// <see cref="LabelDuties"/>.</param>
/// <param name="Schema">For editors: where the description of these members lies.</param>
/// <param name="Dpi">Dots per inch of the printer it is made for. The page and the symbols are whole dots at it.</param>
/// <param name="LeastXHeightMm">No text is printed with a lower letter x. Regulation (EU) No 1169/2011 Art. 13: 1.2 mm; 0.9 mm on
/// small packs.</param>
public sealed record LabelTemplate(
    string Name,
    string Description,
    double WidthMm,
    double HeightMm,
    int Dpi,
    double LeastXHeightMm,
    IReadOnlyList<SymbolElement> Symbols,
    IReadOnlyList<TextElement> Texts,
    IReadOnlyList<LineElement> Lines,
    TemplateKind For,
    IReadOnlyList<LabelUse>? Uses = null,
    LogoElement? Logo = null,
    LabelShape Shape = LabelShape.Rectangle,
    SheetElement? Sheet = null,
    [property: JsonPropertyName("$schema")] string? Schema = null)
{
    public IReadOnlyList<LabelUse> Uses { get; init; } = Uses ?? [];
}

public enum LabelShape
{
    Rectangle,

    /// <summary>Such as the lid of a jar.</summary>
    Round,
}

/// <summary>A sheet of labels: how many stand beside and below each other, where the first is, how far it is to the next.</summary>
/// <param name="LeftMm">From the sheet's left edge to that of the first label.</param>
/// <param name="TopMm">From the sheet's top edge to that of the first label.</param>
/// <param name="PitchXMm">From the left edge of a label to that of the next.</param>
/// <param name="PitchYMm">From the top edge of a label to that of the next below.</param>
public sealed record SheetElement(
    double PageWidthMm, double PageHeightMm, int Columns, int Rows, double LeftMm, double TopMm, double PitchXMm, double PitchYMm)
{
    /// <summary>Labels on one sheet.</summary>
    [JsonIgnore]
    public int Labels => Columns * Rows;
}

/// <summary>A box that holds one field's text, which is made smaller until it fits, down to <paramref name="LeastSizeMm"/>.</summary>
/// <param name="SizeMm">Height of the font's em; a capital is about 0.71 and a letter x about 0.54 of it.</param>
/// <param name="Lines">At most so many lines; the box's height may allow fewer.</param>
/// <param name="Required">The label is refused when the field is empty.</param>
public sealed record TextElement(
    string Field,
    double XMm,
    double YMm,
    double WidthMm,
    double HeightMm,
    double SizeMm,
    double LeastSizeMm,
    int Lines = 1,
    bool Bold = false,
    TextAlign Align = TextAlign.Left,
    bool Required = false);

public enum TextAlign
{
    Left,
    Right,
    Centre,
}

/// <summary>A box for a logo: it is drawn as large as fits, in the middle.</summary>
public sealed record LogoElement(double XMm, double YMm, double WidthMm, double HeightMm);

/// <summary>A straight black rule, level or upright, as thick as so many dots.</summary>
public sealed record LineElement(double XMm, double YMm, double LengthMm, bool Upright, int ThicknessDots);
