using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Products;
using Trace.Core.Specifications;
using Trace.Web.Hosting;
using Trace.Web.Pages.Forms;
using static Trace.Web.Pages.Forms.Fields;

namespace Trace.Web.Pages.Labels;

/// <summary>The form of a product's label: the label's part of its specification. What it sends is a whole new version.</summary>
internal static class LabelForm
{
    /// <summary>Texts that each language has, in the order of the form.</summary>
    private static readonly (string Name, string Label, FieldKind Kind)[] Texts =
    [
        ("name", "Product name", FieldKind.Line), ("purpose", "What it is for", FieldKind.Line), ("storage", "Storage", FieldKind.Line),
        ("cautions", "Cautions, one a line", FieldKind.Paragraph), ("allergens", "Allergens", FieldKind.Line),
        ("ingredients", "Ingredients", FieldKind.Line),
        ("feedParticulars", "Feed particulars (additives, moisture, constituents)", FieldKind.Line),
    ];

    public static Operation Operation { get; } = Trace.Core.Areas.Find("products/specify")!;

    /// <param name="specification">What the new version starts from; all that the form does not show is taken over.</param>
    public static BenchForm For(ProductSpecification specification, LabelTemplates shipped) => new(
        Operation, $"Label of {specification.Product}",
        [
            Choose("template", "Template", state => Templates(state, shipped)) with { Preset = "" },
            Choose("logo", "Logo", Logos) with { Preset = "" },
            Choose("language", "Language of the texts below", Languages) with
            {
                Preset = "",
                Hint = "When it is said, labels are printed in it and in the translations below alone.",
            },
            Choose("use", "Sold as", _ => Enum.GetValues<LabelUse>()
                .Select(use => new FormOption(use.ToString(), Pages.Templates.TemplateWords.Of(use)))),
            .. Texts.Select(text => Field("", text.Name, text.Label, text.Kind)),
            Optional(Line("contact", "Contact for customers")), Optional(Line("species", "Species, scientific name")),
            Optional(Line("authorisation", "Authorisation as food")) with { Hint = "Only for food: the act under which the species may be sold." },
            Optional(Line("gtin", "GTIN of the pack")),
            new("monthOnly", "Best before as month and year only", FieldKind.YesNo),
            .. DateMark.Languages.SelectMany(code => Texts.Select(text => Field(code + ".", text.Name, text.Label, text.Kind))),
        ],
        values => Request(specification, values))
    {
        Button = "Write as a new version",
    };

    /// <summary>The fields of one translation; of the form's own language for null.</summary>
    public static IEnumerable<FormField> FieldsOf(BenchForm form, string? language) => language is null
        ? form.Fields.Where(field => !field.Name.Contains('.'))
        : form.Fields.Where(field => field.Name.StartsWith(language + ".", StringComparison.Ordinal));

    public static Dictionary<string, string> TextsOf(ProductSpecification specification)
    {
        var facts = specification.Label;
        var texts = new Dictionary<string, string>(StringComparer.Ordinal)
        {
            ["template"] = facts.Template ?? "",
            ["logo"] = facts.Logo ?? "",
            ["language"] = facts.Language ?? "",
            ["use"] = facts.Use.ToString(),
            ["contact"] = facts.Contact,
            ["species"] = facts.Species ?? "",
            ["authorisation"] = facts.Authorisation ?? "",
            ["gtin"] = facts.Gtin ?? "",
            ["monthOnly"] = facts.MonthOnly ? "yes" : "no",
        };
        Put("", new(
            "", specification.Name, facts.Purpose, facts.Storage, facts.Cautions, facts.FeedParticulars, facts.Ingredients,
            facts.Allergens));
        foreach (var words in facts.Translations) Put(words.Language + ".", words);
        return texts;

        void Put(string before, LabelWords words)
        {
            texts[before + "name"] = words.Name;
            texts[before + "purpose"] = words.Purpose;
            texts[before + "storage"] = words.Storage;
            texts[before + "cautions"] = string.Join('\n', words.Cautions);
            texts[before + "allergens"] = words.Allergens;
            texts[before + "ingredients"] = words.Ingredients;
            texts[before + "feedParticulars"] = words.FeedParticulars;
        }
    }

    /// <summary>A refusal of the request at the form's field.</summary>
    public static Refusal AtField(Refusal refusal, IReadOnlyList<LabelWords> translations)
    {
        const string label = "label.", of = "translations[";
        if (refusal.Field?.StartsWith(label, StringComparison.OrdinalIgnoreCase) != true) return refusal;
        var field = refusal.Field[label.Length..];
        var detail = refusal.Detail.StartsWith(refusal.Field + ": ", StringComparison.OrdinalIgnoreCase)
            ? refusal.Detail[(refusal.Field.Length + 2)..]
            : refusal.Detail;
        var end = field.IndexOf(']', StringComparison.Ordinal);
        if (!field.StartsWith(of, StringComparison.OrdinalIgnoreCase)
            || !int.TryParse(field.AsSpan(of.Length, end - of.Length), out var place))
            return refusal with { Field = field, Detail = detail };
        var rest = field.Length > end + 2 ? field[(end + 2)..] : "name";
        return refusal with { Field = $"{translations[place].Language}.{rest}", Detail = detail };
    }

    private static FormField Field(string before, string name, string label, FieldKind kind) =>
        new(before + name, label, kind) { IsOptional = before.Length > 0 || name is not ("name" or "purpose") };

    private static IEnumerable<FormOption> Logos(SiteState state) =>
        [new("", "none"), .. state.Logos.Names.Select(name => new FormOption(name, name))];

    private static IEnumerable<FormOption> Languages(SiteState state) =>
        [new("", "not said"), .. DateMark.Languages.Select(code => new FormOption(code, LanguageNames.Of(code)))];

    private static IEnumerable<FormOption> Templates(SiteState state, LabelTemplates shipped) =>
    [
        new("", "the first that is made for the use"),
        .. TemplateChoice.Names(state.Templates, shipped.Shipped)
            .Where(name => TemplateChoice.For(name, state.Templates, shipped.Shipped)?.Layout.For == TemplateKind.Pack)
            .Select(name => new FormOption(name, name)),
    ];

    private static SpecifyProduct Request(ProductSpecification from, FormValues values)
    {
        var own = Words("", "", values);
        var language = values.LineOrNull("language");
        var facts = from.Label with
        {
            Template = values.LineOrNull("template"),
            Logo = values.LineOrNull("logo"),
            Language = language,
            Use = values.Choice<LabelUse>("use"),
            Purpose = own.Purpose,
            Storage = own.Storage,
            Cautions = own.Cautions,
            Allergens = own.Allergens,
            Ingredients = own.Ingredients,
            FeedParticulars = own.FeedParticulars,
            Contact = values.LineOrNull("contact") ?? "",
            Species = values.LineOrNull("species"),
            Authorisation = values.LineOrNull("authorisation"),
            Gtin = values.LineOrNull("gtin"),
            MonthOnly = values.YesNo("monthOnly"),
            Translations =
            [
                .. DateMark.Languages.Where(code => code != language && Texts.Any(text => values.LineOrNull($"{code}.{text.Name}") is not null))
                    .Select(code => Words(code, code + ".", values)),
            ],
        };
        return new SpecifyProduct(
            from.Product, own.Name, from.Sanitising, from.Drying, from.Cooling, from.Handling, from.Tests, facts, from.Sources,
            from.NetQuantity);
    }

    private static LabelWords Words(string language, string before, FormValues values)
    {
        string Text(string name) => values.LineOrNull(before + name) ?? "";
        return new(
            language, Text("name"), Text("purpose"), Text("storage"),
            [.. Text("cautions").Split('\n', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries)],
            Text("feedParticulars"), Text("ingredients"), Text("allergens"));
    }
}
