using Trace.Core.Specifications;

namespace Trace.Core.Labels;

/// <summary>How well a duty is known.</summary>
public enum DutyMark
{
    /// <summary>Read in the text of the law named.</summary>
    Read,
    FromMemory,

    /// <summary>A habit of the trade, no source.</summary>
    CommonPractice,
}

/// <summary>A field that a label of this use must have a place for, and why.</summary>
public sealed record LabelDuty(LabelUse Use, string Field, string Source, DutyMark Mark);

/// <summary>
/// What a label of a pack must have a place for, by use. Data, with its source: other markets have other laws, and whoever approves a
/// template checks the printed label with their authority.
/// </summary>
public static class LabelDuties
{
    private const string Feed = "Regulation (EC) No 767/2009 Art. 15";
    private const string Food = "Regulation (EU) No 1169/2011 Art. 9";

    public static IReadOnlyList<LabelDuty> All { get; } =
    [
        .. ForEach("productName", "What it is", DutyMark.CommonPractice, LabelUse.FeedMaterial, LabelUse.PetFood),
        .. ForEach("purpose", $"{Feed}(a): the type of feed", DutyMark.Read, LabelUse.FeedMaterial, LabelUse.PetFood),
        .. ForEach("producer", $"{Feed}(b), (c)", DutyMark.Read, LabelUse.FeedMaterial, LabelUse.PetFood),
        .. ForEach("lotCode", $"{Feed}(d)", DutyMark.Read, LabelUse.FeedMaterial, LabelUse.PetFood),
        .. ForEach("netMass", $"{Feed}(e)", DutyMark.Read, LabelUse.FeedMaterial, LabelUse.PetFood),
        new(LabelUse.FeedMaterial, "feedParticulars", $"{Feed}(f), (g), Art. 16 and Annex V: additives, moisture, protein, fat", DutyMark.FromMemory),
        new(LabelUse.PetFood, "feedParticulars", $"{Feed}(f), (g), Art. 17: composition, constituents, animals, how to use it", DutyMark.FromMemory),
        new(LabelUse.PetFood, "bestBeforeWords", "Regulation (EC) No 767/2009 Art. 17: minimum storage life", DutyMark.Read),
        new(LabelUse.PetFood, "bestBefore", "Regulation (EC) No 767/2009 Art. 17: minimum storage life", DutyMark.Read),
        new(LabelUse.PetFood, "contact", "Regulation (EC) No 767/2009 Art. 19: where to ask what is in it, free of charge", DutyMark.FromMemory),
        new(LabelUse.Food, "productName", Food, DutyMark.FromMemory),
        new(LabelUse.Food, "purpose", "That it is food, so that no feed is taken for it", DutyMark.CommonPractice),
        new(LabelUse.Food, "producer", Food, DutyMark.FromMemory),
        new(LabelUse.Food, "lotCode", "Directive 2011/91/EU Art. 3", DutyMark.Read),
        new(LabelUse.Food, "netMass", Food, DutyMark.FromMemory),
        new(LabelUse.Food, "ingredients", Food, DutyMark.FromMemory),
        new(LabelUse.Food, "allergens", "The authorisations of insects as novel food, such as Regulation (EU) 2021/1975: close to the ingredients", DutyMark.Read),
        new(LabelUse.Food, "bestBeforeWords", "Regulation (EU) No 1169/2011 Art. 24 and Annex X", DutyMark.Read),
        new(LabelUse.Food, "bestBefore", "Regulation (EU) No 1169/2011 Art. 24 and Annex X", DutyMark.Read),
        new(LabelUse.Food, "storage", "Regulation (EU) No 1169/2011 Art. 25", DutyMark.FromMemory),
        .. ForEach("cautions", "Dust and allergens: a caution on every pack", DutyMark.CommonPractice, Enum.GetValues<LabelUse>()),
    ];

    /// <summary>How far the allergen statement may stand from the ingredients: "close to". An engineering choice.</summary>
    public const double LargestAllergenGapMm = 3;

    public static IEnumerable<LabelDuty> Of(LabelUse use) => All.Where(duty => duty.Use == use);

    private static IEnumerable<LabelDuty> ForEach(string field, string source, DutyMark mark, params LabelUse[] uses) =>
        uses.Select(use => new LabelDuty(use, field, source, mark));
}
