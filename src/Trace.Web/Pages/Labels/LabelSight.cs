using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Web.Hosting;
using Trace.Web.Printing;

namespace Trace.Web.Pages.Labels;

/// <summary>One label as it would be printed.</summary>
/// <param name="Svg">Null when it cannot be printed.</param>
public sealed record LabelSight(string Language, string Template, string? Svg, IReadOnlyList<string> Warnings)
{
    /// <summary>One for each language that the specification has texts in.</summary>
    public static IReadOnlyList<LabelSight> All(ProductSpecification specification, SiteState state, TraceApp app, DateOnly today)
    {
        var facts = specification.Label;
        var name = PrintingLabels.UsualTemplate(facts, state.Templates, app.Templates.Shipped);
        if (TemplateChoice.For(name, state.Templates, app.Templates.Shipped) is not { } template)
            return [new("", name, null, [TemplateChoice.WhyNot(name, state.Templates, app.Templates.Shipped)])];
        return
        [
            .. (facts.Languages.Count == 0 ? [Unsaid] : facts.Languages)
                .Select(language => Of(specification, state, app, today, language, template)),
        ];
    }

    /// <summary>What labels are printed in when nobody has said.</summary>
    private const string Unsaid = "en";

    private static LabelSight Of(
        ProductSpecification specification, SiteState state, TraceApp app, DateOnly today, string language, TemplateChoice template)
    {
        var facts = specification.Label;
        var warnings = new List<string>();
        if (!template.Layout.Uses.Contains(facts.Use))
            warnings.Add($"{template.Name} is not made for what the product is sold as, so nothing is printed with it. Choose another template.");
        if (facts.Language is null) warnings.Add("The language of the texts is not said, so any lead words may be printed beside them. Say it below.");
        if (facts.Logo is { } logo && template.Layout.Logo is null) warnings.Add($"{template.Name} has no place for a logo; '{logo}' is not printed.");
        if (facts.Logo is { } missing && state.Logos.Approved(missing) is null) warnings.Add($"No version of the logo '{missing}' is approved.");
        if (facts.Gtin is null && template.Layout.Symbols.Any(symbol => symbol.Says != SymbolMessage.Link))
            warnings.Add("The template has a GS1 code, and the product has no GTIN.");
        var content = LabelPreview.Of(specification, state, app.Settings.PublicUrl, today, language);
        if (content is null) return new(language, template.Name, null, [.. warnings, "There are no texts in this language."]);
        var laid = LabelPdf.Lay(template.Layout, content);
        warnings.AddRange(laid.Problems.Select(problem => $"{problem.Field}: {problem.Reason}"));
        return new(language, template.Name, laid.Drawing is { } drawing ? LabelSvg.Draw(drawing, $"Preview of the label, {language}") : null, warnings);
    }
}
