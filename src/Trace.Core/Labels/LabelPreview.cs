using Trace.Core.Lots;
using Trace.Core.Science;
using Trace.Core.Specifications;
using Trace.Core.Units;

namespace Trace.Core.Labels;

/// <summary>
/// What a pack's label would say by a specification that nobody has approved yet: for packs made today, of a lot that does not exist.
/// </summary>
public static class LabelPreview
{
    /// <summary>As long as the codes that the site assigns; no lot can have it, since its check character is wrong.</summary>
    public const string Lot = "PREVIEW-0000";

    private const decimal UsualPackGrams = 250;

    /// <summary>As long as a <see cref="PublicCode"/>: 128 bits in base64.</summary>
    private const int CodeLength = 22;

    /// <param name="today">At the site.</param>
    /// <returns>Null when the specification has no texts in the language.</returns>
    public static LabelContent? Of(
        ProductSpecification specification, SiteState state, string publicBaseUrl, DateOnly today, string language)
    {
        var facts = specification.Label;
        if (facts.In(language, specification.Name) is not { } words) return null;
        Gtin? gtin = null;
        if (facts.Gtin is not null) _ = Gtin.TryParse(facts.Gtin, out gtin, out _);
        var address = gtin is null ? DigitalLink.PlainUri(publicBaseUrl, state.Site.Code, Lot) : DigitalLink.Uri(publicBaseUrl, gtin, Lot);
        return new LabelContent
        {
            Language = language,
            ProductName = words.Name,
            Purpose = words.Purpose,
            LotCode = Lot,
            ProductionDate = today,
            BestBefore = BestBefore.Latest(today, facts),

            // The largest wants the highest figures.
            NetMass = Mass.FromGrams(facts.PackSizesGrams.Count == 0 ? UsualPackGrams : facts.PackSizesGrams.Max()),
            Storage = words.Storage,
            ProducerName = state.Site.Name,
            ProducerAddress = state.Site.Address,
            ApprovalNumber = state.Site.ApprovalNumber,
            Cautions = words.Cautions,
            FeedParticulars = words.FeedParticulars,
            Ingredients = words.Ingredients,
            Allergens = words.Allergens,
            Contact = facts.Contact,
            DayShown = !facts.MonthOnly,
            Uri = PublicCode.AddTo(address, state.Site.PublicCodes == PublicCode.Unguessable ? new string('A', CodeLength) : null),
            Gtin = gtin,
            Logo = facts.Logo is { } logo ? state.Logos.Approved(logo)?.File : null,
            PrintNumber = 1,
        };
    }

    /// <summary>
    /// What shows a template by itself: every field has a short text, all of it invented. GS1's demonstration prefix is 952.
    /// </summary>
    public static LabelContent Example(string publicBaseUrl, DateOnly today, Mass netMass)
    {
        _ = Gtin.TryParse("09520123456788", out var gtin, out _);
        return new LabelContent
        {
            Language = "en",
            ProductName = "Dried larvae",
            Purpose = "Example, not for sale.",
            LotCode = Lot,
            ProductionDate = today,
            BestBefore = CalendarMonths.Add(today, 6),
            NetMass = netMass,
            Storage = "Keep dry.",
            ProducerName = "Example Producer",
            ProducerAddress = "1 Example Road",
            ApprovalNumber = "EX 1",
            Cautions = ["Caution."],
            FeedParticulars = "Protein.",
            Ingredients = "Ingredients.",
            Allergens = "Allergens.",
            Contact = "Contact.",
            Uri = DigitalLink.Uri(publicBaseUrl, gtin!, Lot),
            Gtin = gtin,
            Unit = new LabelledUnit(12, "19520123456785", "095201234567891235", Mass.FromGrams(3500).Milligrams, "Example Shop"),
            ShipTo = "Example Shop, 2 Example Road",
            Container = "DRUM-7",
            PrintNumber = 1,
        };
    }
}
