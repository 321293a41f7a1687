using Trace.Core.Lots;
using Trace.Core.Units;

namespace Trace.Core.Labels;

/// <summary>
/// What one label says: plain data, gathered by whoever prints. Texts may be empty where a label need not say it;
/// a template decides what it cannot do without.
/// </summary>
public sealed record LabelContent
{
    /// <summary>A code of <see cref="DateMark.Languages"/>.</summary>
    public required string Language { get; init; }
    public required string ProductName { get; init; }

    /// <summary>What the goods are for, such as <c>Pet treat. Not for human consumption.</c></summary>
    public required string Purpose { get; init; }

    /// <summary>Without the letter L: the label puts it in front, as Directive 2011/91/EU wants.</summary>
    public required string LotCode { get; init; }
    public required DateOnly ProductionDate { get; init; }
    public DateOnly? BestBefore { get; init; }
    public Mass? NetMass { get; init; }
    public string Storage { get; init; } = "";
    public required string ProducerName { get; init; }
    public string ProducerAddress { get; init; } = "";
    public string? ApprovalNumber { get; init; }

    /// <summary>Whole sentences, such as the allergen statement; they follow one another.</summary>
    public IReadOnlyList<string> Cautions { get; init; } = [];

    /// <summary>Additives, moisture and constituents of feed, as its law wants them.</summary>
    public string FeedParticulars { get; init; } = "";
    public string Ingredients { get; init; } = "";
    public string Allergens { get; init; } = "";

    /// <summary>Where a customer may ask, free of charge.</summary>
    public string Contact { get; init; } = "";

    /// <summary>False: best before is printed as month and year; it is then the last day of a month.</summary>
    public bool DayShown { get; init; } = true;

    /// <summary>The lot's web address: the exact text of a symbol that says <see cref="SymbolMessage.Link"/>.</summary>
    public required string Uri { get; init; }
    public Gtin? Gtin { get; init; }

    /// <summary>The case or shipping unit that the label is for; null for a pack and a container.</summary>
    public LabelledUnit? Unit { get; init; }

    /// <summary>Whom the unit goes to, with address.</summary>
    public string ShipTo { get; init; } = "";

    /// <summary>The logo's file; null for none.</summary>
    public ReadOnlyMemory<byte>? Logo { get; init; }

    /// <summary>The pack's own number; null when all labels of a print are the same.</summary>
    public string? Serial { get; init; }

    /// <summary>Which container a tag hangs on.</summary>
    public string Container { get; init; } = "";

    /// <summary>1 for the lot's first label, then counted on, so that no label is without a number.</summary>
    public required int PrintNumber { get; init; }

    /// <summary>Why it was printed again; null for a first print.</summary>
    public string? ReprintReason { get; init; }

    /// <summary>Made for practice: the label then says so in the place of the purpose, white on black.</summary>
    public bool Training { get; init; }

    /// <summary>On a sample for the laboratory: the label says so in the same way.</summary>
    public bool Sample { get; init; }

    /// <summary>Why the lot is held, on the tag of a held lot, which says so in the same way; null on all others.</summary>
    public string? HoldReason { get; init; }

    /// <summary>Whether the place of the purpose holds a warning.</summary>
    public bool Warns => Training || Sample || HoldReason is not null;
}

/// <summary>The names that a template may use for its texts, and what each prints. Empty text prints nothing.</summary>
public static class LabelFields
{
    private static readonly Dictionary<string, Func<LabelContent, LabelLanguage, string>> Table = new(StringComparer.Ordinal)
    {
        ["productName"] = (label, _) => label.ProductName,
        ["purpose"] = (label, words) =>
            label.HoldReason is not null ? words.Held : label.Training ? words.NotForSale : label.Sample ? words.Sample : label.Purpose,
        ["holdReason"] = (label, _) => label.HoldReason ?? "",
        ["lotCode"] = (label, _) => $"L {label.LotCode}",
        ["productionDate"] = (label, words) => $"{Capital(words.Produced)} {Day(words, label.ProductionDate)}",
        ["bestBeforeWords"] = (label, words) => label.BestBefore is null ? "" : Capital(DateMark.LeadWords(words.Code, Detail(label))),
        ["bestBefore"] = (label, words) => label.BestBefore is { } date ? DateMark.Date(words.Code, date, Detail(label)) : "",
        ["netMass"] = (label, words) => label.NetMass is { } mass ? Quantity(words, mass) : "",
        ["netMassWords"] = (label, words) => label.NetMass is null ? "" : Capital(words.NetWeight),
        ["storage"] = (label, _) => label.Storage,
        ["producer"] = (label, words) => string.Join(", ", Producer(label, words).Where(part => part.Length > 0)),
        ["cautions"] = (label, _) => string.Join(' ', label.Cautions),
        ["feedParticulars"] = (label, _) => label.FeedParticulars,
        ["ingredients"] = (label, _) => label.Ingredients,
        ["allergens"] = (label, _) => label.Allergens,
        ["contact"] = (label, _) => label.Contact,
        ["gtin"] = (label, _) => label.Gtin is null ? "" : $"(01) {label.Gtin}",
        ["itemText"] = (label, _) => SymbolMessages.Bracketed(SymbolMessage.Item, label),
        ["caseText"] = (label, _) => SymbolMessages.Bracketed(SymbolMessage.Case, label),
        ["unitText"] = (label, _) => SymbolMessages.Bracketed(SymbolMessage.Unit, label),
        ["contentsText"] = (label, _) => SymbolMessages.Bracketed(SymbolMessage.Contents, label, int.MaxValue),
        ["packs"] = (label, words) => label.Unit is not { } unit ? ""
            : FormattableString.Invariant($"{unit.Packs} ×{(label.NetMass is { } mass ? " " + Quantity(words, mass) : "")}"),
        ["grossMass"] = (label, words) => label.Unit?.GrossMass is { } mass ? $"{Capital(words.GrossWeight)} {Quantity(words, mass)}" : "",
        ["shipTo"] = (label, words) => label.ShipTo.Length == 0 ? "" : $"{Capital(words.To)}: {label.ShipTo}",
        ["shipFrom"] = (label, words) => $"{Capital(words.From)}: {string.Join(", ", Producer(label, words)[..2].Where(part => part.Length > 0))}",
        [PackSerials.Field] = (label, _) => label.Serial is null ? "" : $"# {label.Serial}",
        ["container"] = (label, _) => label.Container,
        ["printNote"] = (label, words) => $"{Capital(label.ReprintReason is null ? words.Print : words.Reprint)} {label.PrintNumber}",
        ["reprintReason"] = (label, _) => label.ReprintReason ?? "",
    };

    public static IReadOnlyCollection<string> Names => Table.Keys;

    /// <exception cref="ArgumentException">There is no such field, or no such language.</exception>
    public static string Text(string field, LabelContent content) => Table.TryGetValue(field, out var text)
        ? text(content, LabelLanguage.For(content.Language))
        : throw new ArgumentException($"A label has no field '{field}'.", nameof(field));

    private static string[] Producer(LabelContent label, LabelLanguage words)
    {
        var approval = string.IsNullOrEmpty(label.ApprovalNumber) ? "" : $"{words.Approval} {label.ApprovalNumber}";
        return [label.ProducerName, label.ProducerAddress, approval];
    }

    private static DateDetail Detail(LabelContent label) => label.DayShown ? DateDetail.DayMonthAndYear : DateDetail.MonthAndYear;

    private static string Day(LabelLanguage words, DateOnly date) => DateMark.Date(words.Code, date, DateDetail.DayMonthAndYear);

    /// <summary>Grams below one kilogram, kilograms from there on; never rounded.</summary>
    private static string Quantity(LabelLanguage words, Mass mass) => (mass.Grams < 1000m
        ? FormattableString.Invariant($"{mass.Grams:0.###} g")
        : FormattableString.Invariant($"{mass.Grams / 1000m:0.######} kg")).Replace('.', words.DecimalPoint);

    private static string Capital(string text) => char.ToUpperInvariant(text[0]) + text[1..];
}
