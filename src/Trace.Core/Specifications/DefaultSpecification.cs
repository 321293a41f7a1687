namespace Trace.Core.Specifications;

/// <summary>The specification a new site starts with, so that the first record can be made at once.</summary>
public static class DefaultSpecification
{
    /// <summary>Product code of the default. Steps before a product is chosen (receiving, sanitising) are judged by it too.</summary>
    public const string Product = "DRIED";

    public static ProductSpecification Create() => new(Product, "Dried insect larvae")
    {
        Label = new LabelFacts
        {
            Cautions =
            [
                "May cause an allergic reaction in people allergic to crustaceans or dust mites.",
                "Dust: do not breathe in.",
            ],
        },
        Sources = "Defaults of the program. Yield band, cooling margin, shelf-life ceiling: common practice, no source. "
            + "Lethality: 2 min at 70 °C, quoted in New Zealand MPI Technical Paper 2016/05. Confirm with your authority before use.",
    };
}
