using Trace.Core.Specifications;

namespace Trace.Core.Labels;

/// <summary>What the symbols of a template must keep: sizes, what each may say, and the text that bars have beside them.</summary>
internal static class SymbolTemplateRules
{
    public static IEnumerable<LabelTemplateRules.Fault> Check(LabelTemplate template)
    {
        if (template.Symbols.Count == 0) yield return new("symbols", -1, "A label has at least one symbol.");
        if (template.For == TemplateKind.Shipping
            && !template.Symbols.Any(symbol => symbol is { Code: SymbolCode.Gs1128, Says: SymbolMessage.Unit }))
            yield return new("symbols", -1, "A label for Shipping has a Gs1128 code that says Unit: its SSCC.");
        for (var i = 0; i < template.Symbols.Count; i++)
        {
            var symbol = template.Symbols[i];
            LabelTemplateRules.Fault Because(string reason) => new("symbols", i, $"{symbol.Code}: {reason}");

            if (!Enum.IsDefined(symbol.Code) || !Enum.IsDefined(symbol.Says))
            {
                yield return new("symbols", i, "There is no such code or message.");
                continue;
            }

            if (SymbolRules.IsGs1(symbol.Code) == (symbol.Says == SymbolMessage.Link))
                yield return Because("Qr and DataMatrix say Link; Gs1DataMatrix and Gs1128 say a GS1 message.");
            if (!Says(template.For).Contains(symbol.Says))
                yield return Because($"a label for {template.For} says {string.Join(", ", Says(template.For))}; not {symbol.Says}.");
            foreach (var fault in Size(template, symbol)) yield return Because(fault);
            if (symbol.Code == SymbolCode.Gs1128 && template.Texts.All(text => text.Field != SymbolRules.TextField(symbol.Says)))
                yield return Because($"bars have their message for people beside them: a place for '{SymbolRules.TextField(symbol.Says)}'.");
            for (var other = 0; other < i; other++)
            {
                if (template.Symbols[other].Code == symbol.Code && template.Symbols[other].Says == symbol.Says) yield return Because("it stands there twice.");
                if (LabelTemplateRules.Box(symbol).Meets(LabelTemplateRules.Box(template.Symbols[other])))
                    yield return Because($"its box overlaps that of the {template.Symbols[other].Code} code.");
            }
        }
    }

    private static IEnumerable<string> Size(LabelTemplate template, SymbolElement symbol)
    {
        var module = symbol.DotsPerModule * 25.4 / Math.Max(template.Dpi, 1);
        var (least, largest) = SymbolRules.ModuleMm(symbol);
        if (module < least || module > largest)
            yield return FormattableString.Invariant($"a module of {module:0.000} mm is outside {least:0.000} to {largest:0.000} mm: change dotsPerModule.");
        if (symbol.Code == SymbolCode.Gs1128 && symbol.HeightMm < SymbolRules.LeastBarsMm(symbol))
            yield return FormattableString.Invariant($"bars that say {symbol.Says} are at least {SymbolRules.LeastBarsMm(symbol):0.00} mm high.");
        if (symbol.WidthMm is not > 0 || symbol.HeightMm is not > 0
            || !LabelTemplateRules.Box(symbol).Within(template))
            yield return "its box leaves the label.";
    }

    private static SymbolMessage[] Says(TemplateKind kind) => kind switch
    {
        TemplateKind.Pack => [SymbolMessage.Link, SymbolMessage.Item],
        TemplateKind.Case => [SymbolMessage.Link, SymbolMessage.Case],
        TemplateKind.Shipping => [SymbolMessage.Link, SymbolMessage.Unit, SymbolMessage.Contents],
        _ => [SymbolMessage.Link],
    };
}
