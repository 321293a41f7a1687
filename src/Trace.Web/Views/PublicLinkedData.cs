using System.Text.Json;

namespace Trace.Web.Views;

/// <summary>
/// A buyer's view as linked data (JSON-LD 1.1) in the terms of the GS1 Web Vocabulary. Only prefixes are declared, so that
/// whoever reads it fetches nothing.
/// </summary>
public static class PublicLinkedData
{
    public const string MediaType = "application/ld+json";

    /// <param name="address">Address of the lot's page with host, as the label says it.</param>
    public static byte[] Of(PublicLotView lot, string address)
    {
        using var text = new MemoryStream();
        using (var to = new Utf8JsonWriter(text))
        {
            to.WriteStartObject();
            to.WriteStartObject("@context");
            to.WriteString("gs1", "https://ref.gs1.org/voc/");
            to.WriteString("schema", "https://schema.org/");
            to.WriteString("xsd", "http://www.w3.org/2001/XMLSchema#");
            to.WriteEndObject();
            to.WriteString("@type", "gs1:Product");
            to.WriteString("@id", address);
            if (lot.Gtin is { } gtin) to.WriteString("gs1:gtin", gtin.PadLeft(14, '0'));
            InLanguages(to, lot, "gs1:productName", words => words.Name);
            to.WriteString("gs1:hasBatchLotNumber", lot.Lot);
            if (lot.Pack is { } pack) to.WriteString("gs1:hasSerialNumber", pack);
            Date(to, "gs1:productionDate", lot.ProductionDate);
            Date(to, "gs1:bestBeforeDate", lot.BestBefore);
            if (lot.NetMassGrams is { } net)
            {
                to.WriteStartObject("gs1:netContent");
                to.WriteString("@type", "gs1:QuantitativeValue");
                to.WriteNumber("gs1:value", net);
                to.WriteString("gs1:unitCode", "GRM");
                to.WriteEndObject();
            }

            InLanguages(to, lot, "gs1:consumerStorageInstructions", words => words.Storage);
            InLanguages(to, lot, "gs1:ingredientStatement", words => words.Ingredients);
            InLanguages(to, lot, "gs1:allergenStatement", words => words.Allergens);
            to.WriteStartObject("gs1:manufacturer");
            to.WriteString("@type", "gs1:Organization");
            to.WriteString("gs1:organizationName", lot.Producer);
            to.WriteEndObject();

            // Whether the lot may be used, a recall too, in the words of the JSON answer: the vocabulary has no term for it.
            to.WriteString("schema:description", lot.Training ? "Made up for training: there is no such product." : lot.StatusText);
            to.WriteEndObject();
        }

        return text.ToArray();
    }

    private static void Date(Utf8JsonWriter to, string term, DateOnly? date)
    {
        if (date is not { } day) return;
        to.WriteStartObject(term);
        to.WriteString("@value", day.ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture));
        to.WriteString("@type", "xsd:date");
        to.WriteEndObject();
    }

    private static void InLanguages(Utf8JsonWriter to, PublicLotView lot, string term, Func<Core.Specifications.LabelWords, string> text)
    {
        var said = lot.Words.Where(words => text(words).Length > 0).ToList();
        if (said.Count == 0) return;
        to.WriteStartArray(term);
        foreach (var words in said)
        {
            to.WriteStartObject();
            to.WriteString("@value", text(words));
            to.WriteString("@language", words.Language);
            to.WriteEndObject();
        }

        to.WriteEndArray();
    }
}
