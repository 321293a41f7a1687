using Trace.Core.Specifications;

namespace Trace.Core.Labels;

/// <summary>What a template must keep, whatever it is for. <c>Index</c> is -1 when the fault is not in one element of a list.</summary>
internal static class LabelTemplateRules
{
    /// <summary>Every label says which lot, what for (or that it is not for sale), and which print it is.</summary>
    private static readonly string[] Always = ["lotCode", "purpose", "printNote"];

    private const double LeastLogoMm = 3;

    internal sealed record Fault(string List, int Index, string Reason);

    internal readonly record struct Rectangle(double X, double Y, double Width, double Height)
    {
        public bool Meets(Rectangle other) =>
            X + Width > other.X + 1e-6 && other.X + other.Width > X + 1e-6
            && Y + Height > other.Y + 1e-6 && other.Y + other.Height > Y + 1e-6;

        /// <summary>Whether it lies on the label; of a round one all its corners lie within the circle.</summary>
        public bool Within(LabelTemplate label)
        {
            if (X < 0 || Y < 0 || X + Width > label.WidthMm + 1e-6 || Y + Height > label.HeightMm + 1e-6) return false;
            if (label.Shape != LabelShape.Round) return true;
            var radius = label.WidthMm / 2;
            return double.Hypot(
                Math.Max(radius - X, X + Width - radius), Math.Max(radius - Y, Y + Height - radius)) <= radius + 1e-6;
        }
    }

    public static IEnumerable<Fault> Check(LabelTemplate template) =>
    [
        .. Page(template), .. SheetRules.Check(template), .. Uses(template), .. SymbolTemplateRules.Check(template), .. Texts(template),
        .. Lines(template),
        .. Logo(template),
    ];

    private static IEnumerable<Fault> Page(LabelTemplate template)
    {
        if (string.IsNullOrWhiteSpace(template.Name)) yield return new("name", -1, "The template has no name.");
        if (template.WidthMm is not (>= 10 and <= 300)) yield return new("widthMm", -1, "The width is 10 to 300 mm.");
        if (template.HeightMm is not (>= 10 and <= 300)) yield return new("heightMm", -1, "The height is 10 to 300 mm.");
        if (!Enum.IsDefined(template.Shape)) yield return new("shape", -1, "A label is a Rectangle or Round.");
        if (template.Shape == LabelShape.Round && Math.Abs(template.WidthMm - template.HeightMm) > 1e-6)
            yield return new("heightMm", -1, "A round label is as high as wide.");
        if (template.Dpi is not (>= 100 and <= 1200)) yield return new("dpi", -1, "The printer has 100 to 1200 dots per inch.");
        if (template.LeastXHeightMm is not (>= 0.9 and <= 5))
            yield return new("leastXHeightMm", -1,
                "The least height of a letter x is 0.9 to 5 mm (1.2 mm but on packs with no face of 80 cm²).");
        foreach (var field in Of(template.For).Where(field => template.Texts.All(text => text.Field != field)))
            yield return new("texts", -1, $"Every label{(Always.Contains(field) ? "" : $" for {template.For}")} shows '{field}'.");
    }

    private static string[] Of(TemplateKind kind) => kind switch
    {
        TemplateKind.Case or TemplateKind.Shipping => [.. Always, "packs"],
        TemplateKind.Hold => [.. Always, "holdReason"],
        _ => Always,
    };

    private static IEnumerable<Fault> Uses(LabelTemplate template)
    {
        if (!Enum.IsDefined(template.For)) yield return new("for", -1, $"A template is for {string.Join(", ", Enum.GetNames<TemplateKind>())}.");
        if (template.For == TemplateKind.Pack && template.Uses.Count == 0)
            yield return new("for", -1, $"A label for packs says in 'uses' what they may be sold as: {string.Join(", ", Enum.GetNames<LabelUse>())}.");
        if (template.For != TemplateKind.Pack && template.Uses.Count > 0) yield return new("uses", -1, "Only labels for packs have uses.");
        foreach (var use in template.Uses)
        {
            if (!Enum.IsDefined(use)) yield return new("uses", -1, "There is no such use.");
            foreach (var duty in LabelDuties.Of(use).Where(duty => template.Texts.All(text => text.Field != duty.Field)))
                yield return new("texts", -1, $"A label for {use} has a place for '{duty.Field}' ({duty.Source}).");
        }

        if (!template.Uses.Contains(LabelUse.Food)) yield break;
        var (allergens, ingredients) = (Find("allergens"), Find("ingredients"));
        if (allergens < 0 || ingredients < 0) yield break;
        if (Gap(Box(template.Texts[allergens]), Box(template.Texts[ingredients])) > LabelDuties.LargestAllergenGapMm)
            yield return new("texts", allergens, $"'allergens': it stands close to the ingredients, {LabelDuties.LargestAllergenGapMm:0} mm at most.");

        int Find(string field) => template.Texts.ToList().FindIndex(text => text.Field == field);
    }

    /// <summary>The free space between two boxes that do not overlap.</summary>
    private static double Gap(Rectangle one, Rectangle other) => double.Hypot(
        Math.Max(0, Math.Max(other.X - (one.X + one.Width), one.X - (other.X + other.Width))),
        Math.Max(0, Math.Max(other.Y - (one.Y + one.Height), one.Y - (other.Y + other.Height))));

    private static IEnumerable<Fault> Logo(LabelTemplate template)
    {
        if (template.Logo is not { } logo) yield break;
        var box = new Rectangle(logo.XMm, logo.YMm, logo.WidthMm, logo.HeightMm);
        if (logo.WidthMm is not >= LeastLogoMm || logo.HeightMm is not >= LeastLogoMm)
            yield return new("logo", -1, $"The logo's box is at least {LeastLogoMm:0} mm wide and high.");
        if (!box.Within(template)) yield return new("logo", -1, "The logo leaves the label.");
        if (template.Symbols.Any(symbol => box.Meets(Box(symbol))))
            yield return new("logo", -1, "The logo touches a symbol's box, which must stay white.");
        if (template.Texts.FirstOrDefault(text => box.Meets(Box(text))) is { } met)
            yield return new("logo", -1, $"The logo's box overlaps that of '{met.Field}'.");
        if (template.Lines.Any(line => box.Meets(Box(line, template.Dpi)))) yield return new("logo", -1, "A line crosses the logo's box.");
    }

    private static IEnumerable<Fault> Texts(LabelTemplate template)
    {
        for (var i = 0; i < template.Texts.Count; i++)
        {
            var text = template.Texts[i];
            Fault Because(string reason) => new("texts", i, $"'{text.Field}': {reason}");

            if (!LabelFields.Names.Contains(text.Field))
                yield return Because($"there is no such field; the fields are {string.Join(", ", LabelFields.Names)}.");
            if (!Box(text).Within(template)) yield return Because("its box leaves the label.");
            if (text.LeastSizeMm is not > 0 || text.SizeMm < text.LeastSizeMm)
                yield return Because("leastSizeMm is above 0 and at most sizeMm.");
            if (text.Lines is not (>= 1 and <= 20)) yield return Because("lines is 1 to 20.");
            if (text.WidthMm is not > 0 || TextWrap.HeightMm(1, text.LeastSizeMm) > text.HeightMm + 1e-6)
                yield return Because("its box cannot hold one line of the least size.");
            foreach (var symbol in template.Symbols.Where(symbol => Box(text).Meets(Box(symbol))))
                yield return Because($"its box touches that of the {symbol.Code} code, which must stay white.");
            for (var other = 0; other < i; other++)
            {
                if (template.Texts[other].Field == text.Field) yield return Because("it stands there twice.");
                if (Box(text).Meets(Box(template.Texts[other])))
                    yield return Because($"its box overlaps that of '{template.Texts[other].Field}'.");
            }
        }
    }

    private static IEnumerable<Fault> Lines(LabelTemplate template)
    {
        for (var i = 0; i < template.Lines.Count; i++)
        {
            var line = template.Lines[i];
            var box = Box(line, template.Dpi);
            if (line.ThicknessDots is not (>= 1 and <= 40) || line.LengthMm is not > 0)
                yield return new("lines", i, "A line has a length and is 1 to 40 dots thick.");
            if (!box.Within(template)) yield return new("lines", i, "The line leaves the label.");
            if (template.Symbols.FirstOrDefault(symbol => box.Meets(Box(symbol))) is { } touched)
                yield return new("lines", i, $"The line touches the box of the {touched.Code} code, which must stay white.");
            if (template.Texts.FirstOrDefault(text => box.Meets(Box(text))) is { } crossed)
                yield return new("lines", i, $"The line crosses the box of '{crossed.Field}'.");
        }
    }

    private static Rectangle Box(LineElement line, int dpi)
    {
        var thickness = line.ThicknessDots * 25.4 / Math.Max(dpi, 1);
        return new(line.XMm, line.YMm, line.Upright ? thickness : line.LengthMm, line.Upright ? line.LengthMm : thickness);
    }

    private static Rectangle Box(TextElement text) => new(text.XMm, text.YMm, text.WidthMm, text.HeightMm);

    internal static Rectangle Box(SymbolElement symbol) => new(symbol.XMm, symbol.YMm, symbol.WidthMm, symbol.HeightMm);
}
