namespace Trace.Core.Labels;

/// <summary>Makes the messages of symbols from what a label says, so that symbol and print cannot part.</summary>
public static class SymbolMessages
{
    /// <summary>The text that the symbol holds; on a problem it is empty.</summary>
    public static (string Text, LabelProblem? Problem) Of(SymbolElement symbol, LabelContent content)
    {
        if (symbol.Says == SymbolMessage.Link) return (content.Uri, null);
        var (message, problem) = Of(symbol.Says, content, symbol.Code == SymbolCode.Gs1128 ? ElementString.LongestGs1128 : int.MaxValue);
        return (message?.Data ?? "", problem);
    }

    /// <summary>A message as people read it, with room for a line to break; empty when the label has no such message.</summary>
    public static string Bracketed(SymbolMessage says, LabelContent content, int longest = ElementString.LongestGs1128) =>
        string.Join(' ', Of(says, content, longest).Message?.Elements.Select(element => $"({element.Ai}){element.Value}") ?? []);

    private static (ElementString? Message, LabelProblem? Problem) Of(SymbolMessage says, LabelContent content, int longest)
    {
        if (content.Gtin is not { } gtin)
        {
            return (null, new("gtin",
                "The product has no GTIN, and without one there is no valid GS1 message. Give the product its GTIN, or take a template with a link only."));
        }

        return says switch
        {
            SymbolMessage.Item => Trade(gtin.Digits14, content, longest, content.Serial),
            SymbolMessage.Case when content.Unit?.CaseGtin is { } own => Trade(own, content, longest),
            SymbolMessage.Case => (null, new("caseGtin", "This label has a symbol with the case's GTIN, and there is none.")),
            _ when content.Unit?.Sscc is not { } => (null, new("sscc", "This label has a symbol with an SSCC, and there is none.")),
            SymbolMessage.Unit => Made([new("00", content.Unit.Sscc)], longest),
            SymbolMessage.Contents => Made(Contents(gtin, content.Unit, content), longest),
            _ => throw new ArgumentOutOfRangeException(nameof(says), says, "There is no such message."),
        };
    }

    /// <summary>Bars hold few characters: with a long lot code the production date is left to the text.</summary>
    private static (ElementString? Message, LabelProblem? Problem) Trade(
        string gtin, LabelContent content, int longest, string? serial = null)
    {
        var produced = Element.Date("11", content.ProductionDate);
        List<Element> rest = [new("01", gtin), new("10", content.LotCode)];
        if (serial is not null) rest.Add(new(DigitalLink.Serial, serial));
        if (content.BestBefore is { } date) rest.Add(Element.Date("15", date));
        var whole = Made([.. rest, produced], longest);
        return whole.Message is null ? Made(rest, longest) : whole;
    }

    private static List<Element> Contents(Gtin gtin, Lots.LabelledUnit unit, LabelContent content)
    {
        List<Element> elements =
        [
            new("00", unit.Sscc!), new("02", gtin.Digits14), new("37", FormattableString.Invariant($"{unit.Packs}")), new("10", content.LotCode),
        ];
        if (content.BestBefore is { } date) elements.Add(Element.Date("15", date));
        if (unit.GrossMass is { } gross && Element.GrossWeight(gross) is { } weight) elements.Add(weight);
        return elements;
    }

    private static (ElementString? Message, LabelProblem? Problem) Made(IReadOnlyList<Element> elements, int longest)
    {
        if (!ElementString.TryMake(elements, out var message, out var problem)) return (null, new("symbols", problem));
        return message.Data.Length > longest
            ? (null, new("symbols", $"{message} has {message.Data.Length} characters, and bars hold {longest}. Take a template with a Data Matrix."))
            : (message, null);
    }
}
