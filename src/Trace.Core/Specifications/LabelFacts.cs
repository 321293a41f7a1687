using System.Text.Json.Serialization;

namespace Trace.Core.Specifications;

/// <summary>What the label says, and how long the product keeps.</summary>
/// <param name="Gtin">GTIN of the pack, 8 to 14 digits with a good check digit, or null: then the label carries the site's plain
/// address.</param>
/// <param name="PackSizesGrams">Pack sizes allowed, net grams; empty: any.</param>
/// <param name="ShelfLifeMonths">Ceiling on the keeping time, 1 to 6 calendar months (5–6 months: common practice, no source).</param>
/// <param name="KeepingDays">Keeping time in days from a model or a storage test, when it is shorter than the ceiling.</param>
/// <param name="Purpose">What the goods are for, in the words of the label.</param>
/// <param name="Use">What packs are sold as; the label must have a place for all that this use wants.</param>
/// <param name="Species">Scientific name; for food it must be there.</param>
/// <param name="Authorisation">Under which authorisation the species may be sold as food, such as the number of a regulation. Without one nothing
/// is labelled as food.</param>
/// <param name="FeedParticulars">Additives, moisture and constituents, as the law of feed wants them.</param>
/// <param name="Contact">Where a customer may ask, free of charge.</param>
/// <param name="Template">Which template its packs are usually labelled with; null: the first that is made for the use.</param>
/// <param name="Language">The language that the texts here are written in, such as <c>en</c>. Null: nobody has said; labels then take the
/// lead words of any language, and English ones by default.</param>
/// <param name="Translations">The same texts in other languages. With <paramref name="Language"/> said, labels are printed in it and in these
/// alone: a label with lead words in one language and cautions in another is read by nobody.</param>
/// <param name="Logo">Name of the logo that its labels carry where the template has a place for one.</param>
/// <param name="SerialPacks">Whether each pack's label carries a number of its own (GS1 AI 21).</param>
/// <param name="MonthOnly">Best before is printed as month and year: then it is the last month's end that is not later.</param>
public sealed record LabelFacts(
    string? Gtin = null,
    IReadOnlyList<decimal>? PackSizesGrams = null,
    int ShelfLifeMonths = 6,
    int? KeepingDays = null,
    string Purpose = "Feed material. Not for human consumption.",
    string Storage = "Keep dry, closed, cool and dark.",
    IReadOnlyList<string>? Cautions = null,
    LabelUse Use = LabelUse.FeedMaterial,
    string? Species = null,
    string? Authorisation = null,
    string FeedParticulars = "",
    string Ingredients = "",
    string Allergens = "",
    string Contact = "",
    bool MonthOnly = false,
    string? Template = null,
    string? Language = null,
    IReadOnlyList<LabelWords>? Translations = null,
    string? Logo = null,
    bool SerialPacks = false)
{
    public IReadOnlyList<decimal> PackSizesGrams { get; init; } = PackSizesGrams ?? [];

    public IReadOnlyList<string> Cautions { get; init; } = Cautions ?? [];

    public IReadOnlyList<LabelWords> Translations { get; init; } = Translations ?? [];

    /// <summary>The languages that its labels are printed in; empty when nobody has said.</summary>
    [JsonIgnore]
    public IReadOnlyList<string> Languages => Language is null ? [] : [Language, .. Translations.Select(words => words.Language)];

    /// <summary>The texts in a language; null when there are none.</summary>
    /// <param name="name">The product's name in the specification's own language.</param>
    public LabelWords? In(string language, string name) => Language is null || Language == language
        ? new(language, name, Purpose, Storage, Cautions, FeedParticulars, Ingredients, Allergens)
        : Translations.FirstOrDefault(words => words.Language == language);
}

/// <summary>What a label says in one language. Whatever the specification says in its own language stands here too.</summary>
/// <param name="Language">Such as <c>fr</c>.</param>
/// <param name="Name">The product's name.</param>
public sealed record LabelWords(
    string Language,
    string Name,
    string Purpose,
    string Storage = "",
    IReadOnlyList<string>? Cautions = null,
    string FeedParticulars = "",
    string Ingredients = "",
    string Allergens = "")
{
    public IReadOnlyList<string> Cautions { get; init; } = Cautions ?? [];
}
