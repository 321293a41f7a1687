using Trace.Core.Units;

namespace Trace.Core.Labels;

/// <summary>
/// Lays a label out. Nothing is ever cut: text that does not fit is made smaller to the template's least size and then refused by name,
/// since a label that lost the end of a lot code or of a caution is worse than none.
/// </summary>
public static class LabelLayout
{
    private const double SizeStepMm = 0.05;

    /// <param name="dpi">Of the printer, when it is another than that which the template was made for.</param>
    public static LabelLayoutResult Lay(
        LabelTemplate template, LabelContent content, ISymbolEncoder encoder, ITextMeasure measure, int? dpi = null,
        ILogoPress? logos = null)
    {
        if (!LabelLanguage.TryFor(content.Language, out _))
            return new(null, [new("language", $"There are no label words for language '{content.Language}'.")]);

        var made = new DotGrid(template.Dpi);
        var grid = new DotGrid(dpi ?? template.Dpi);
        var problems = new List<LabelProblem>();
        if (content.BestBefore < content.ProductionDate) problems.Add(new("bestBefore", "It lies before the day of making."));
        var texts = new List<TextDrawing>();
        var boxes = template.Lines.Select(line => Rule(grid, made, line)).ToList();
        foreach (var one in template.Texts)
        {
            var element = one;
            var text = LabelFields.Text(element.Field, content);
            var white = element.Field == "purpose" && content.Warns;
            if (white) element = element with { Bold = true };
            var fitted = Fit(element, text, content, template.LeastXHeightMm, measure, problems);
            if (fitted is null) continue;
            if (white) boxes.Add(Ground(grid, element));
            texts.AddRange(Place(element, fitted, white, measure));
        }

        var symbols = template.Symbols.Select(symbol => SymbolLayout.Place(grid, made, symbol, content, encoder, problems))
            .OfType<SymbolDrawing>().ToList();
        return problems.Count > 0
            ? new(null, [.. problems.Distinct()])
            : new(new LabelDrawing(
                grid, grid.Inside(template.WidthMm), grid.Inside(template.HeightMm), boxes, texts, symbols,
                PlaceLogo(grid, template.Logo, content.Logo, logos)), []);
    }

    private static LogoDrawing? PlaceLogo(DotGrid grid, LogoElement? place, ReadOnlyMemory<byte>? file, ILogoPress? logos)
    {
        if (place is null || file is not { } logo) return null;
        if (logos is null) throw new InvalidOperationException("The label has a logo, and nobody can draw it.");
        return new(
            grid.Nearest(place.XMm), grid.Nearest(place.YMm), logos.Dots(logo, grid.Inside(place.WidthMm), grid.Inside(place.HeightMm)));
    }

    /// <summary>
    /// The least height of the figures of a net quantity: 2 mm up to 50 g, 3 mm to 200 g, 4 mm to 1 kg, 6 mm above.
    /// Directive 76/211/EEC, Annex I 3.1 (from memory; check against the law of the market).
    /// </summary>
    public static double LeastFigureHeightMm(Mass netMass) => netMass.Grams switch
    {
        <= 50m => 2,
        <= 200m => 3,
        <= 1000m => 4,
        _ => 6,
    };

    private sealed record Fitted(IReadOnlyList<string> Lines, double SizeMm);

    private static Fitted? Fit(
        TextElement element, string text, LabelContent content, double leastXHeightMm, ITextMeasure measure, List<LabelProblem> problems)
    {
        Fitted? Refuse(string reason)
        {
            problems.Add(new(element.Field, reason));
            return null;
        }

        if (string.IsNullOrWhiteSpace(text)) return element.Required ? Refuse("This label cannot do without it, and it is empty.") : null;
        if (measure.FirstUnprintable(text, element.Bold) is { } odd) return Refuse($"The label fonts cannot print {odd}.");

        var steps = (int)Math.Round((element.SizeMm - element.LeastSizeMm) / SizeStepMm);
        for (var step = 0; step <= steps; step++)
        {
            var size = Math.Max(element.LeastSizeMm, element.SizeMm - step * SizeStepMm);
            var lines = TextWrap.Lines(text, line => measure.WidthMm(line, size, element.Bold) <= element.WidthMm);
            if (lines is null || lines.Count > element.Lines || TextWrap.HeightMm(lines.Count, size) > element.HeightMm + 1e-6) continue;
            if (measure.XHeightMm(size, element.Bold) < leastXHeightMm)
                return Refuse($"It fits only with a letter x below {leastXHeightMm:0.0#} mm, which is too small to read.");
            if (element.Field == "netMass" && measure.FigureHeightMm(size, element.Bold) < LeastFigureHeightMm(content.NetMass!.Value))
                return Refuse($"Figures of {measure.FigureHeightMm(size, element.Bold):0.0} mm are too low: {text} wants "
                    + $"{LeastFigureHeightMm(content.NetMass!.Value):0} mm. Take a template with a larger net quantity.");
            return new(lines, size);
        }

        return Refuse($"The text does not fit its place, not even at {element.LeastSizeMm:0.0#} mm: \"{text}\".");
    }

    private static IEnumerable<TextDrawing> Place(TextElement element, Fitted fitted, bool white, ITextMeasure measure)
    {
        // White text keeps clear of the edge of its black ground.
        var top = element.YMm + (white ? (element.HeightMm - TextWrap.HeightMm(fitted.Lines.Count, fitted.SizeMm)) / 2 : 0);
        for (var i = 0; i < fitted.Lines.Count; i++)
        {
            var free = element.WidthMm - measure.WidthMm(fitted.Lines[i], fitted.SizeMm, element.Bold);
            var indent = white || element.Align == TextAlign.Centre ? free / 2 : element.Align == TextAlign.Right ? free : 0;
            var baseline = top + TextWrap.BaselineMm(i, fitted.SizeMm);
            yield return new(element.Field, fitted.Lines[i], element.XMm + indent, baseline, fitted.SizeMm, element.Bold, white);
        }
    }

    private static BoxDrawing Rule(DotGrid grid, DotGrid made, LineElement line)
    {
        var (length, thickness) = (grid.Inside(line.LengthMm), Math.Max(1, grid.Nearest(made.Mm(line.ThicknessDots))));
        return new(grid.Nearest(line.XMm), grid.Nearest(line.YMm), line.Upright ? thickness : length, line.Upright ? length : thickness);
    }

    private static BoxDrawing Ground(DotGrid grid, TextElement element) =>
        new(grid.Nearest(element.XMm), grid.Nearest(element.YMm), grid.Inside(element.WidthMm), grid.Inside(element.HeightMm));
}
